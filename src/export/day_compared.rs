//! A day beside the production days before it.

use serde::Serialize;

use crate::account::Tally;
use crate::book::State;
use crate::people::Day;
use crate::quality::intervals::{Level, rate_difference};

use super::day_record::{Rate, rate};

/// How many production days a day is compared with.
pub const WINDOWS: [u8; 2] = [7, 30];

/// The last production days before a day on which sheets were examined, taken together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// How many days were asked for.
    pub window: u8,
    /// How many the book has.
    pub days: u64,
    pub from: Option<Day>,
    pub to: Option<Day>,
    pub sheets: u64,
    pub good: u64,
    pub mixed: u64,
    pub spoiled: u64,
    pub notes: u64,
    pub notes_spoiled: u64,
    pub spoilage: Option<Rate>,
    /// The day less those days; nothing when either has no sheet.
    pub change: Option<Change>,
}

/// A difference of two rates in parts per million with its 95 percent interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    pub ppm: i64,
    pub low_ppm: i64,
    pub high_ppm: i64,
}

impl Change {
    /// What the interval allows to say.
    pub fn word(&self) -> &'static str {
        match self {
            _ if self.low_ppm > 0 => "higher",
            _ if self.high_ppm < 0 => "lower",
            _ => "no clear difference",
        }
    }
}

pub(super) fn compared(state: &State, day: Day, today: &Tally) -> Vec<Compared> {
    let before = || {
        let days = state.days.range(..day).rev();
        days.filter(|(_, totals)| totals.all.examined() > 0)
    };
    let of_window = |window: u8| {
        let days: Vec<_> = before().take(window.into()).collect();
        let mut all = Tally::default();
        for (_, totals) in &days {
            all.join(&totals.all);
        }
        Compared {
            window,
            days: days.len() as u64,
            from: days.last().map(|(day, _)| **day),
            to: days.first().map(|(day, _)| **day),
            sheets: all.examined(),
            good: all.good,
            mixed: all.mixed,
            spoiled: all.spoiled,
            notes: all.notes_examined,
            notes_spoiled: all.notes_spoiled,
            spoilage: rate(&all),
            change: change(today, &all),
        }
    };
    WINDOWS.map(of_window).into()
}

fn change(today: &Tally, before: &Tally) -> Option<Change> {
    let counts = |tally: &Tally| (tally.notes_spoiled, tally.notes_examined);
    let (difference, interval) =
        rate_difference(counts(today), counts(before), Level::Percent95).ok()?;
    let ppm = |share: f64| (share * 1e6).round() as i64;
    Some(Change {
        ppm: ppm(difference),
        low_ppm: ppm(interval.low),
        high_ppm: ppm(interval.high),
    })
}
