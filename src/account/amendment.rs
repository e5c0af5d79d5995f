//! What was said again of a sheet that had been ruled before.

use serde::Serialize;

use crate::inspect::Verdict;
use crate::people::{PersonId, Stamp};
use crate::sheet::{LotId, SheetNo};

/// How a ruling was amended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Amended {
    /// The sheet was examined anew.
    Correction,
    /// A supervisor overruled the rules.
    Overruling,
}

impl Amended {
    pub fn name(self) -> &'static str {
        match self {
            Self::Correction => "correction",
            Self::Overruling => "overruling",
        }
    }
}

/// One amendment: which entry it is, which one it amends, and what changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Amendment {
    pub entry: u64,
    pub what: Amended,
    pub lot: LotId,
    pub sheet: SheetNo,
    /// The entry that had the last word before.
    pub amends: u64,
    pub before: Verdict,
    pub after: Verdict,
    pub reason: String,
    pub by: PersonId,
    pub at: Stamp,
}
