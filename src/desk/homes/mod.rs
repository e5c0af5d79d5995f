//! The two homes of a book. The first is a database that says when a line is on disk; "recorded"
//! means that it is there. The second is local storage, which keeps the destruction log, the most
//! recent other lines and how far the book reached, so that a loss in the first is seen and, where
//! the lines are at hand, mended.
//!
//! All of it is plain logic: `compare` decides at start, `Ledger` what the second home keeps, and
//! [`Homes`] is what the bar tells of it.

mod compare;
mod ledger;
mod reading;
mod second;

use crate::book::{Entry, Refusal, StoreHealed, cosigners};

use super::action::Space;
use super::ports::StoreError;

pub use compare::{Alarm, Check, CopyRefused, Opening, compare, may_take};
pub use ledger::{BUDGET, Ledger, PRACTICE_BUDGET, ROOM};
pub use reading::{Ahead, Reading};
pub use second::{DRAFT, Keep, Reach, SESSION, Second, both, key_name};

/// Share of the allowed room, in percent, above which the bar speaks up.
const ROOM_DUE: u64 = 80;
/// Appends after which the room is measured again.
const MEASURE_EVERY: u32 = 50;

/// What this tab may do with the book.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tab {
    /// The one tab that writes.
    #[default]
    Writes,
    /// Another tab writes; this one follows, and takes over when that one is gone.
    Reads,
    /// The browser cannot tell tabs apart: each append is checked against the store alone.
    Unguarded,
    /// Another tab runs a newer version of the app on this store.
    Outdated,
}

/// How the second home does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SecondState {
    #[default]
    Serves,
    /// The browser keeps nothing there.
    Blocked,
    /// Not even the destruction log fits any more.
    Full,
}

/// The room that the browser gives this address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Room {
    /// Bytes.
    pub used: u64,
    pub allowed: u64,
    /// Whether the browser promised not to clear it when the disk runs short.
    pub promised: bool,
}

impl Room {
    /// Share used, in percent, rounded up.
    pub fn percent(&self) -> u64 {
        match self.allowed {
            0 => 100,
            allowed => (self.used.saturating_mul(100)).div_ceil(allowed),
        }
    }

    pub fn is_due(&self) -> bool {
        self.percent() > ROOM_DUE
    }
}

/// The homes of the book on the desk.
#[derive(Debug, Default)]
pub struct Homes {
    pub tab: Tab,
    /// Why the first home cannot be reached; the second serves for reading.
    pub first_lost: Option<StoreError>,
    /// Lines in the first home.
    pub in_first: u64,
    pub second: SecondState,
    pub ledger: Ledger,
    /// Absent until the browser has answered, and where it does not say.
    pub room: Option<Room>,
    /// Healed since the page was opened.
    pub healed: Vec<StoreHealed>,
    /// Healings still to be entered in the book: with the next entry, by whoever records it.
    pub to_enter: Vec<StoreHealed>,
    /// What the second home held at start, until it is brought up to the book.
    pub(super) waiting: Option<Second>,
    /// Lines on their way into the first home that the second had.
    pub(super) healing: bool,
    /// A book was just taken in whole: the second home is new, not behind.
    pub(super) adopting: bool,
    /// A signature did not hold: the next reading trusts none.
    pub(super) distrust: bool,
    pub(super) appended: u32,
}

impl Homes {
    /// Whether this tab may record.
    ///
    /// # Errors
    /// Why not.
    pub fn may_write(&self) -> Result<(), Refusal> {
        match self.tab {
            Tab::Writes | Tab::Unguarded => Ok(()),
            Tab::Reads => Err(Refusal::ReadingOnly),
            Tab::Outdated => Err(Refusal::OutdatedTab),
        }
    }

    /// Puts what was healed to entries that are about to be recorded: before them, since they may
    /// end the author's right to write, but behind one that others have signed, since a statement
    /// names the line right before it.
    pub(super) fn enter_healings(&self, entries: &mut Vec<Entry>) {
        let signed = entries.iter().any(|entry| !cosigners(entry).is_empty());
        let at = if signed { entries.len() } else { 0 };
        let healed = self.to_enter.iter().copied().map(Entry::StoreHealed);
        entries.splice(at..at, healed);
    }

    /// Counts an append; says whether the room is to be measured.
    pub(super) fn measure_now(&mut self) -> bool {
        self.appended += 1;
        self.appended.is_multiple_of(MEASURE_EVERY)
    }
}

/// What the second home may take of other lines.
pub fn budget(space: Space) -> usize {
    match space {
        Space::Real => BUDGET,
        Space::Practice => PRACTICE_BUDGET,
    }
}

#[cfg(test)]
mod tests;
