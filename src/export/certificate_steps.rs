//! The steps of a session as a certificate names them: what was recorded when, and by whom.

use serde::Serialize;

use crate::book::{SessionRecord, State};
use crate::custody::SessionLog;
use crate::people::Stamp;

/// One step on record, or the beginning.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedStep {
    /// What was recorded, like "the seals as found".
    pub step: &'static str,
    pub entry: u64,
    pub at: Stamp,
    /// The printed name of who recorded it.
    pub by: String,
    /// Why it was recorded anew; the one before it does not stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub anew: Option<String>,
}

/// A key that was locked after wrong passphrases.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedLock {
    /// The printed name of whose key it is.
    pub name: String,
    pub at: Stamp,
}

pub(super) fn steps(state: &State, session: &SessionRecord) -> Vec<CertifiedStep> {
    session.log.as_ref().map_or_else(Vec::new, |log| {
        let begun = CertifiedStep {
            step: "the beginning",
            entry: log.seq,
            at: log.at.clone(),
            by: state.name_of(log.by),
            anew: None,
        };
        std::iter::once(begun).chain(recorded(state, log)).collect()
    })
}

fn recorded(state: &State, log: &SessionLog) -> impl Iterator<Item = CertifiedStep> {
    log.steps.iter().map(|one| CertifiedStep {
        step: one.done.stage().name(),
        entry: one.seq,
        at: one.at.clone(),
        by: state.name_of(one.by),
        anew: one.reason.clone(),
    })
}

pub(super) fn locks(state: &State, session: &SessionRecord) -> Vec<CertifiedLock> {
    let failed = session.log.iter().flat_map(|log| &log.failed_keys);
    let lock = |(person, at): &(_, Stamp)| CertifiedLock {
        name: state.name_of(*person),
        at: at.clone(),
    };
    failed.map(lock).collect()
}

/// "the beginning 14:02:11 (entry 101), the seals as found 14:03:40 (102), …", with a name
/// wherever somebody else records than before.
pub(super) fn in_words(steps: &[CertifiedStep]) -> String {
    let mut by = "";
    let words = steps.iter().map(|one| {
        let name = match by == one.by {
            true => String::new(),
            false => format!(", {}", one.by),
        };
        by = &one.by;
        let entry = match one.entry == steps[0].entry {
            true => format!("entry {}", one.entry),
            false => one.entry.to_string(),
        };
        let anew = one.anew.as_deref().map(str::trim);
        let anew = anew.map_or_else(String::new, |why| format!(", anew: {why}"));
        format!("{} {} ({entry}{name}{anew})", one.step, one.at.clock())
    });
    let words: Vec<String> = words.collect();
    words.join(", ")
}
