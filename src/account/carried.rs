//! What is still to be done at some moment: what a day takes over and what it leaves.

use serde::{Deserialize, Serialize};

/// Open work over all lots.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Carried {
    pub sheets_not_examined: u64,
    pub notes_to_replace: u64,
    pub replacements_on_hand: u64,
    pub spoils_loose: u64,
    pub spoils_in_open_containers: u64,
    pub spoils_sealed: u64,
    pub spoils_held: u64,
    /// The difference of the account of spoils.
    pub spoils_missing: u64,
}

impl Carried {
    /// Adds what is open elsewhere.
    pub fn join(&mut self, other: &Carried) {
        self.sheets_not_examined += other.sheets_not_examined;
        self.notes_to_replace += other.notes_to_replace;
        self.replacements_on_hand += other.replacements_on_hand;
        self.spoils_loose += other.spoils_loose;
        self.spoils_in_open_containers += other.spoils_in_open_containers;
        self.spoils_sealed += other.spoils_sealed;
        self.spoils_held += other.spoils_held;
        self.spoils_missing += other.spoils_missing;
    }

    /// Whether nothing is carried over.
    pub fn is_nothing(&self) -> bool {
        *self == Carried::default()
    }
}
