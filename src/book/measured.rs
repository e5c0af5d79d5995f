//! Measured samples as the state keeps them.

use crate::people::{Day, PersonId, Stamp};
use crate::quality::spread::Moments;

use super::entry::MeasureTaken;
use super::state::State;

/// A sample in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sample {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// The production day it was recorded on.
    pub day: Day,
    pub taken: MeasureTaken,
}

impl Sample {
    /// In thousandths of the unit.
    pub fn readings(&self) -> Vec<f64> {
        self.taken.readings()
    }
}

impl MeasureTaken {
    /// In thousandths of the unit.
    pub fn readings(&self) -> Vec<f64> {
        self.readings.iter().map(|one| f64::from(one.0)).collect()
    }

    /// "10 readings, mean 136.02 mm, spread 0.031 mm".
    pub(super) fn says(&self) -> String {
        let unit = self.quantity.unit();
        let Some(moments) = Moments::of(&self.readings()) else {
            return "no reading".to_owned();
        };
        let mean = moments.mean / 1000.0;
        match moments.spread {
            Some(spread) => {
                let (n, spread) = (moments.n, spread / 1000.0);
                format!("{n} readings, mean {mean:.3} {unit}, spread {spread:.3} {unit}")
            }
            None => format!("1 reading, {mean:.3} {unit}"),
        }
    }

    /// The works that printed the notes.
    pub fn site_in<'a>(&'a self, state: &'a State) -> &'a str {
        let own = || state.opened.as_ref().map_or("", |opened| &opened.works);
        self.site.as_ref().map_or_else(own, |site| site.as_str())
    }
}
