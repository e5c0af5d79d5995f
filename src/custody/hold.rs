//! Why a container is held, and how that is settled: counted again by two and explained.

use std::fmt;

use crate::people::PersonId;

use super::container::{Act, Contents, SealNumber};
use super::item::Item;

/// What is in doubt about a held container.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeldFor {
    /// Another seal was on it than the book knows.
    OtherSeal(SealNumber),
    /// None, when it was torn so that its number cannot be read.
    BrokenSeal(Option<SealNumber>),
    NoSeal,
    /// In somebody's words: a count that differs, damage, not found in its place.
    Said(String),
}

impl fmt::Display for HeldFor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            HeldFor::OtherSeal(found) => write!(f, "the seal found on it was {found}"),
            HeldFor::BrokenSeal(Some(found)) => write!(f, "its seal {found} was broken"),
            HeldFor::BrokenSeal(None) => f.write_str("its seal was broken and could not be read"),
            HeldFor::NoSeal => f.write_str("there was no seal on it"),
            HeldFor::Said(why) => f.write_str(why),
        }
    }
}

/// A container put on hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    pub why: HeldFor,
    pub act: Act,
    /// Counts by two, the last one last. Sealed anew only after at least one.
    pub recounts: Vec<Recount>,
}

impl Hold {
    /// The last count, once there is one.
    pub fn explained(&self) -> Option<&Recount> {
        self.recounts.last()
    }
}

/// A held container counted again and explained by two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recount {
    pub act: Act,
    pub second: PersonId,
    pub declared: Contents,
    pub counted: Contents,
    /// Declared and not there.
    pub missing: Vec<Item>,
    /// There, though the book had them as missing or loose.
    pub found: Vec<Item>,
    pub explanation: String,
}
