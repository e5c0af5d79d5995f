//! The stock of replacement notes of one series, and what became of each.

use crate::people::Day;
use crate::sheet::{LotId, Replacement, Serial, Series};

/// What became of a replacement note that was drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    OnHand,
    Inserted,
    Spoiled,
    /// Given back unused; never drawn again.
    Returned,
}

/// One drawn replacement note: for which note of which lot, and its fate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawn {
    pub lot: LotId,
    /// Serial number of the note it replaces.
    pub note: u64,
    pub fate: Fate,
    /// The entry that drew it.
    pub seq: u64,
    /// The production day it was drawn on.
    pub day: Day,
}

/// A replacement series with its drawn notes, in the order of the series.
#[derive(Clone, Debug)]
pub struct Pool {
    pub series: Series,
    /// The n-th is the n-th note of the series.
    pub drawn: Vec<Drawn>,
}

impl Pool {
    /// Notes drawn so far.
    pub fn used(&self) -> u64 {
        self.drawn.len() as u64
    }

    /// Notes not yet drawn.
    pub fn left(&self) -> u64 {
        self.series.len() - self.used()
    }

    /// A drawn note by its serial: its place in [`Pool::drawn`].
    pub fn find(&self, serial: &Serial<Replacement>) -> Option<usize> {
        let place = self.series.find(serial.as_str()).ok()?? as usize;
        (place < self.drawn.len()).then_some(place)
    }

    /// How many drawn notes have this fate.
    pub fn count(&self, fate: Fate) -> u64 {
        self.drawn.iter().filter(|drawn| drawn.fate == fate).count() as u64
    }
}
