//! What was corrected of a session after its certificate was made. It is no part of it: a
//! certificate that a witness keeps must still be the book's own after a correction.

use crate::book::{SessionCorrection, SessionRecord, State};
use crate::custody::Fact;
use crate::people::Stamp;

/// A fact that was corrected after the session was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CertifiedCorrection {
    /// The entry of the book that corrects it, and when.
    pub entry: u64,
    pub at: Stamp,
    /// Printed names of its author and of the second person.
    pub by: [String; 2],
    pub was: Fact,
    pub now: Fact,
    pub reason: String,
    /// Of masses: what the weighing says with them. Of the largest particle: when it is coarser
    /// than its class.
    pub so: Option<String>,
}

/// The corrections of a session, in order.
pub fn corrections_of(state: &State, session: &SessionRecord) -> Vec<CertifiedCorrection> {
    let all = session.corrections.iter();
    all.map(|one| CertifiedCorrection {
        entry: one.seq,
        at: one.at.clone(),
        by: [one.by, one.second].map(|person| state.name_of(person)),
        was: one.was.clone(),
        now: one.now.clone(),
        reason: one.reason.clone(),
        so: weighed(session, one).or_else(|| coarse(session, one)),
    })
    .collect()
}

fn coarse(session: &SessionRecord, one: &SessionCorrection) -> Option<String> {
    let Fact::LargestParticle(mm2) = one.now else {
        return None;
    };
    let class = session.record.particle_class?;
    let allowed = match session.record.sample {
        Some(_) => class.tolerated_mm2(),
        None => class.largest_mm2(),
    };
    let name = class.name();
    (mm2 > allowed).then(|| format!("class {name}, which allows {allowed} mm², was not met"))
}

fn weighed(session: &SessionRecord, one: &SessionCorrection) -> Option<String> {
    let Fact::Masses(masses) = &one.now else {
        return None;
    };
    let mut found = session.record.containers.iter();
    let at = found.position(|found| found.container == masses.container)?;
    let net = masses.gross.less(masses.tare)?;
    let expected = &session.weighed.get(at)?.expected;
    Some(format!(
        "net {net}, expected {}: {}",
        expected.mass,
        expected.judge(net).name()
    ))
}
