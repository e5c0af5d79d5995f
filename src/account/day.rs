//! Totals of one production day.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::inspect::{ClassCode, Step, Verdict};
use crate::people::PersonId;
use crate::sheet::{LotId, ProductId, pairs};

use super::amendment::Amendment;
use super::carried::Carried;

/// Whether the notes of a sheet had serials when it was examined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    Unnumbered,
    Numbered,
}

impl Stage {
    pub fn name(self) -> &'static str {
        match self {
            Self::Unnumbered => "unnumbered",
            Self::Numbered => "numbered",
        }
    }
}

/// An entry that moved the end of the production day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CutOverMove {
    pub entry: u64,
    /// Local hours, 0 to 23.
    pub from: u8,
    pub to: u8,
}

/// Sheets examined, by verdict, and notes spoiled on them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tally {
    pub good: u64,
    pub mixed: u64,
    pub spoiled: u64,
    /// Notes spoiled: the defective ones of mixed sheets and all of spoiled sheets.
    pub notes_spoiled: u64,
    /// Notes on all sheets examined.
    pub notes_examined: u64,
}

impl Tally {
    /// Counts one sheet of `notes` notes of which `spoiled` are lost.
    pub fn add(&mut self, verdict: Verdict, notes: u16, spoiled: u16) {
        match verdict {
            Verdict::Good => self.good += 1,
            Verdict::Mixed => self.mixed += 1,
            Verdict::Spoiled => self.spoiled += 1,
        }
        self.notes_examined += u64::from(notes);
        self.notes_spoiled += u64::from(spoiled);
    }

    /// Takes back a sheet counted before, when a correction replaces its examination.
    pub fn remove(&mut self, verdict: Verdict, notes: u16, spoiled: u16) {
        match verdict {
            Verdict::Good => self.good -= 1,
            Verdict::Mixed => self.mixed -= 1,
            Verdict::Spoiled => self.spoiled -= 1,
        }
        self.notes_examined -= u64::from(notes);
        self.notes_spoiled -= u64::from(spoiled);
    }

    /// Adds what another tally counted.
    pub fn join(&mut self, other: &Tally) {
        self.good += other.good;
        self.mixed += other.mixed;
        self.spoiled += other.spoiled;
        self.notes_examined += other.notes_examined;
        self.notes_spoiled += other.notes_spoiled;
    }

    pub fn examined(&self) -> u64 {
        self.good + self.mixed + self.spoiled
    }

    /// Notes spoiled of notes examined, 0 to 1; nothing before a sheet was examined.
    pub fn spoilage(&self) -> Option<f64> {
        (self.notes_examined > 0).then(|| self.notes_spoiled as f64 / self.notes_examined as f64)
    }
}

/// What one production day adds up to.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayTotals {
    pub all: Tally,
    #[serde(with = "pairs")]
    pub by_product: BTreeMap<ProductId, Tally>,
    #[serde(with = "pairs")]
    pub by_stage: BTreeMap<Stage, Tally>,
    #[serde(with = "pairs")]
    pub by_lot: BTreeMap<LotId, Tally>,
    #[serde(with = "pairs")]
    pub by_inspector: BTreeMap<PersonId, Tally>,
    /// By the local hour in which sheets were examined, 0 to 23.
    #[serde(with = "pairs")]
    pub by_hour: BTreeMap<u8, Tally>,
    /// Tags by class.
    #[serde(with = "pairs")]
    pub by_class: BTreeMap<ClassCode, u64>,
    /// Tags by the step that each lot's catalogue gives their class.
    #[serde(with = "pairs")]
    pub by_step: BTreeMap<Step, u64>,
    pub replacements_drawn: u64,
    pub replacements_inserted: u64,
    pub replacements_spoiled: u64,
    pub replacements_returned: u64,
    pub containers_sealed: u64,
    pub sheets_destroyed: u64,
    pub notes_destroyed: u64,
    pub sessions: u64,
    /// Pieces declared lost.
    pub spoils_lost: u64,
    /// Entries that corrected a filling or a sealing.
    pub custody_corrections: u64,
    pub corrections: u64,
    /// Verdicts overruled.
    pub overrulings: u64,
    /// Sheets passed on the machine's word, as examined now.
    pub on_machines_word: u64,
    pub entries: u64,
    /// Entries, other than notes of copies, that came after the day was closed.
    pub late: u64,
    /// As it stood before the first entry of the day.
    pub carried_in: Carried,
    /// As it stood after the last entry of the day; nothing while no other day followed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carried_over: Option<Carried>,
    /// The hour at which the day ends, by the rules in force at its last entry.
    pub cut_over_hour: u8,
    pub cut_over_moves: Vec<CutOverMove>,
    /// Corrections and overrulings made on the day, those of the cage too, in the order of the book. A list, so it goes
    /// into the archive and is not carried over.
    #[serde(skip)]
    pub amendments: Vec<Amendment>,
}

impl DayTotals {
    /// Whether anything but the Office's own entries was written: sheets, replacement notes or
    /// spoils were handled.
    pub fn has_work(&self) -> bool {
        let acts = [
            self.replacements_drawn,
            self.replacements_inserted,
            self.replacements_spoiled,
            self.replacements_returned,
            self.containers_sealed,
            self.sessions,
            self.spoils_lost,
            self.custody_corrections,
            self.corrections,
            self.overrulings,
        ];
        self.all != Tally::default() || acts.iter().any(|acts| *acts > 0)
    }
}
