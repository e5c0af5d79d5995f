//! The stock of replacement notes of one series, and what became of each.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::people::Day;
use crate::sheet::{LotId, Replacement, Serial, Series, pairs};

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

/// The notes of a series that were drawn before the last checkpoint. None is on hand.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settled {
    pub inserted: u64,
    pub spoiled: u64,
    pub returned: u64,
    /// Notes drawn on each of the last days with draws.
    #[serde(with = "pairs")]
    pub by_day: BTreeMap<Day, u64>,
}

impl Settled {
    /// Notes drawn, and so the place of the next one.
    pub fn count(&self) -> u64 {
        self.inserted + self.spoiled + self.returned
    }
}

/// A replacement series with its drawn notes, in the order of the series.
#[derive(Clone, Debug)]
pub struct Pool {
    pub series: Series,
    /// Its first notes, when they are in the archive.
    pub settled: Settled,
    /// The n-th is the n-th note of the series after the settled ones.
    pub drawn: Vec<Drawn>,
}

impl Pool {
    /// Notes drawn so far.
    pub fn used(&self) -> u64 {
        self.settled.count() + self.drawn.len() as u64
    }

    /// Notes not yet drawn.
    pub fn left(&self) -> u64 {
        self.series.len() - self.used()
    }

    /// The drawn notes with their places in the series, without the settled ones.
    pub fn placed(&self) -> impl Iterator<Item = (u64, &Drawn)> {
        (self.settled.count()..).zip(&self.drawn)
    }

    /// A drawn note by its place in the series; nothing for a settled one.
    pub fn drawn_at(&self, place: u64) -> Option<&Drawn> {
        let index = place.checked_sub(self.settled.count())?;
        self.drawn.get(usize::try_from(index).ok()?)
    }

    /// The same, to be changed.
    pub fn drawn_at_mut(&mut self, place: u64) -> Option<&mut Drawn> {
        let index = place.checked_sub(self.settled.count())?;
        self.drawn.get_mut(usize::try_from(index).ok()?)
    }

    /// The place of a drawn note in the series, by its serial.
    pub fn find(&self, serial: &Serial<Replacement>) -> Option<u64> {
        let place = self.series.find(serial.as_str()).ok()??;
        (place < self.used()).then_some(place)
    }

    /// How many drawn notes have this fate.
    pub fn count(&self, fate: Fate) -> u64 {
        let settled = match fate {
            Fate::OnHand => 0,
            Fate::Inserted => self.settled.inserted,
            Fate::Spoiled => self.settled.spoiled,
            Fate::Returned => self.settled.returned,
        };
        let drawn = self.drawn.iter().filter(|drawn| drawn.fate == fate);
        settled + drawn.count() as u64
    }

    /// Notes drawn on each production day.
    pub fn by_day(&self) -> BTreeMap<Day, u64> {
        let mut by_day = self.settled.by_day.clone();
        for drawn in &self.drawn {
            *by_day.entry(drawn.day).or_default() += 1;
        }
        by_day
    }
}
