//! Where the browser keeps a book, and which lines are always kept twice.

use serde::{Deserialize, Serialize};

use super::entry::Entry;

/// One home of the book lacked lines that the other had, and has been healed from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoreHealed {
    /// The home that lacked them.
    pub home: Home,
    /// The first line it lacked, and the last.
    pub from: u64,
    pub to: u64,
}

/// Where the browser keeps the book: the database, and local storage beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Home {
    First,
    Second,
}

impl Home {
    pub fn name(self) -> &'static str {
        match self {
            Home::First => "first",
            Home::Second => "second",
        }
    }
}

/// Kinds of the witnessed destruction log: who may sign, what was put under seal, what was
/// destroyed before whom, what was closed on the strength of it, and what left the machine.
const DESTRUCTION_LOG: &[&str] = &[
    "book.opened",
    "person.enrolled",
    "person.retired",
    "person.rekeyed",
    "container.opened",
    "container.filled",
    "container.sealed",
    "container.moved",
    "container.retired",
    "seal.checked",
    "container.held",
    "container.recounted",
    "container.resealed",
    "filling.corrected",
    "sealing.corrected",
    "spoils.lost",
    "spoils.found",
    "session.begun",
    "session.step",
    "session.team",
    "session.abandoned",
    "spoils.destroyed",
    "residue.sent",
    "session.corrected",
    "passphrase.failed",
    "shift.handed_over",
    "lot.closed",
    "day.closed",
    "copy.taken",
    "store.healed",
    "book.checkpoint",
];

impl Entry {
    /// Whether lines of this kind are part of the witnessed destruction log.
    pub fn belongs_to_destruction_log(kind: &str) -> bool {
        DESTRUCTION_LOG.contains(&kind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_destruction_log_is_of_kinds_that_exist() {
        for kind in DESTRUCTION_LOG {
            assert!(Entry::KINDS.contains(kind), "{kind}");
        }
        assert!(Entry::belongs_to_destruction_log("spoils.destroyed"));
        assert!(!Entry::belongs_to_destruction_log("sheets.examined"));
    }
}
