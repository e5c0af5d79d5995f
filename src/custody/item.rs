//! A spoil: one piece that must be destroyed before witnesses, with its identity.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::sheet::{LotId, Printed, Replacement, Serial, SheetNo};

/// One spoil. It is in exactly one place at any time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Item {
    /// A whole spoiled sheet.
    Sheet(LotId, SheetNo),
    /// A defective note pulled from a mixed sheet.
    Note(Serial<Printed>),
    /// A replacement note that was itself spoiled.
    Replacement(Serial<Replacement>),
}

impl fmt::Display for Item {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Item::Sheet(lot, sheet) => write!(f, "sheet {sheet} of lot {lot}"),
            Item::Note(serial) => write!(f, "note {serial}"),
            Item::Replacement(serial) => write!(f, "replacement note {serial}"),
        }
    }
}
