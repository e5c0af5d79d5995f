//! What a certificate says besides of a session: containers left out, who was not there all the
//! time, and what was corrected since.

use serde::Serialize;

use crate::book::{SessionRecord, State};
use crate::custody::{ContainerId, Destruction, LeftOut};
use crate::people::{PersonId, Stamp};

/// A container that was called for and is not destroyed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedLeftOut {
    pub container: ContainerId,
    /// How it differed, as a part of a sentence.
    pub why: String,
}

/// Somebody who was not there all the time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedPresence {
    pub person: PersonId,
    pub name: String,
    pub part: &'static str,
    /// From and to which step, like "left before the residue".
    pub was_there: String,
}

/// A fact that was corrected after the session was recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedCorrection {
    /// The entry of the book that corrects it, and when.
    pub entry: u64,
    pub at: Stamp,
    /// Printed names of its author and of the second person.
    pub by: [String; 2],
    pub fact: &'static str,
    pub was: String,
    pub now: String,
    pub reason: String,
}

pub(super) fn left_out(one: &LeftOut) -> CertifiedLeftOut {
    CertifiedLeftOut {
        container: one.container,
        why: one.why.to_string(),
    }
}

pub(super) fn presence(state: &State, record: &Destruction) -> Vec<CertifiedPresence> {
    let all = record.presence.iter();
    all.map(|one| CertifiedPresence {
        person: one.person,
        name: state.name_of(one.person),
        part: one.part.name(),
        was_there: one.to_string(),
    })
    .collect()
}

pub(super) fn corrections(state: &State, session: &SessionRecord) -> Vec<CertifiedCorrection> {
    let all = session.corrections.iter();
    all.map(|one| CertifiedCorrection {
        entry: one.seq,
        at: one.at.clone(),
        by: [one.by, one.second].map(|person| state.name_of(person)),
        fact: one.now.name(),
        was: one.was.to_string(),
        now: one.now.to_string(),
        reason: one.reason.clone(),
    })
    .collect()
}

impl super::Certificate {
    /// The same as sentences, one for each, for print.
    pub fn notes(&self) -> Vec<String> {
        let sampled = self.containers.iter().filter_map(|one| {
            let says = one.sampled.as_ref()?;
            Some(format!("Container {}: {says}.", one.container))
        });
        let left_out = self.left_out.iter();
        let left_out = left_out.map(|one| {
            format!(
                "Container {} was left out and is not destroyed: {}.",
                one.container, one.why
            )
        });
        let presence = self.presence.iter();
        let presence =
            presence.map(|one| format!("{}, {}, {}.", one.name, one.part, one.was_there));
        let corrections = self.corrections.iter();
        let corrections = corrections.map(|one| {
            let [by, second] = &one.by;
            format!(
                "Corrected in entry {} by {by} and {second}: {} {} (signed as {}), {}.",
                one.entry,
                one.fact,
                one.now,
                one.was,
                one.reason.trim().trim_end_matches('.')
            )
        });
        let all = sampled.chain(left_out).chain(presence);
        all.chain(corrections).collect()
    }
}
