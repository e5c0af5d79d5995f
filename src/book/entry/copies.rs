//! Copies of the book, and heads, that leave the machine.

use serde::{Deserialize, Serialize};

use crate::book::hash::Hash;

/// A copy of the book, or its head, left this machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CopyTaken {
    pub what: Copied,
    /// The head it carried.
    pub head: Hash,
    /// How it left; a head alone says so, older lines do not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how: Option<Way>,
    /// Who has it now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
}

impl CopyTaken {
    /// A copy of which no more is said.
    pub fn new(what: Copied, head: Hash) -> Self {
        Self {
            what,
            head,
            how: None,
            to: None,
        }
    }
}

/// How something leaves the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    Print,
    File,
    /// Read out to someone who wrote it down.
    Told,
}

/// What left the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Copied {
    Book,
    DayRecord,
    Certificate,
    /// Only the head.
    Head,
}
