//! The record of one production day, as plain data: what screens show, prints carry and tables
//! export.
//!
//! Acts are those of the day. What is carried in and over is as it stood before the day's first
//! entry and after its last. Places and balances are as the book stands at the head that the record
//! names. Shares are whole parts per million, so that every reader gets the same figure.

use serde::Serialize;
use uuid::Uuid;

use crate::account::{Amendment, Carried, Stage, Tally};
use crate::book::{BenchId, Book, Hash, Verifier};
use crate::people::{Day, PersonId, Stamp};
use crate::quality::intervals::{Level, wilson};
use crate::sheet::{LotId, ProductId};

use super::day_alike::{AlikeRow, MeasuredRow, SampleRow};
use super::day_charts::ChartOfLot;
use super::day_compared::Compared;
use super::day_findings::FindingRow;
use super::day_making::RecordMaking;
use super::day_rows::{
    BalanceRow, ContainerRow, ReplacementRow, SeriesRow, SessionRow, SheetRow, SpoilRow,
};
use super::day_tags::TagRow;
use super::mass_rows::{ResidueRow, WeighingRow};

/// A production day of one bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayRecord {
    pub works: String,
    pub bench: String,
    pub book: Uuid,
    pub practice: bool,
    pub day: Day,
    /// Hash of the last line the record takes in.
    pub head: Hash,
    /// Lines the record takes in.
    pub book_entries: u64,
    pub closed: Option<Closed>,
    /// What is out of the ordinary about the day, a sentence each.
    pub remarks: Vec<String>,
    /// The local hour at which the day ends.
    pub cut_over_hour: u8,
    pub acts: Acts,
    /// What was open before the first entry of the day.
    pub carried_in: Carried,
    /// What was open after its last entry.
    pub carried: Carried,
    /// The whole day first, then by bench, product, stage, lot, inspector and hour.
    pub examined: Vec<ExaminedRow>,
    /// Beside the last 7 and the last 30 production days.
    pub compared: Vec<Compared>,
    /// By class in Pareto order, then by step in the order of the works.
    pub tags: Vec<TagRow>,
    pub charts: Vec<ChartOfLot>,
    pub findings: Vec<FindingRow>,
    /// The classes of the day's products, side by side.
    pub alike: Vec<AlikeRow>,
    /// What was measured of the products measured on the day, side by side.
    pub measured: Vec<MeasuredRow>,
    /// Samples recorded on the day.
    pub samples: Vec<SampleRow>,
    /// Corrections and overrulings made on the day.
    pub amendments: Vec<Amendment>,
    pub sheets: Vec<SheetRow>,
    pub replacements: Vec<ReplacementRow>,
    pub series: Vec<SeriesRow>,
    pub containers: Vec<ContainerRow>,
    pub spoils: Vec<SpoilRow>,
    pub sessions: Vec<SessionRow>,
    pub weighings: Vec<WeighingRow>,
    pub residue: Vec<ResidueRow>,
    pub balance: Vec<BalanceRow>,
}

/// How the day was closed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closed {
    pub entry: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// Entries of the day, other than notes of copies, that came after its closing.
    pub late_entries: u64,
}

/// Counts of what was done on the day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Acts {
    pub entries: u64,
    pub corrections: u64,
    pub overrulings: u64,
    /// Sheets examined on the day by keeping the machine's tags of a range.
    pub on_machines_word: u64,
    pub replacements_drawn: u64,
    pub replacements_inserted: u64,
    pub replacements_spoiled: u64,
    pub replacements_returned: u64,
    pub containers_sealed: u64,
    pub sessions: u64,
    pub sheets_destroyed: u64,
    pub notes_destroyed: u64,
    /// Entries that corrected a filling or a sealing.
    pub custody_corrections: u64,
    pub spoils_declared_lost: u64,
}

impl Acts {
    /// Adds what another bench did.
    pub fn join(&mut self, other: &Acts) {
        self.entries += other.entries;
        self.corrections += other.corrections;
        self.overrulings += other.overrulings;
        self.on_machines_word += other.on_machines_word;
        self.replacements_drawn += other.replacements_drawn;
        self.replacements_inserted += other.replacements_inserted;
        self.replacements_spoiled += other.replacements_spoiled;
        self.replacements_returned += other.replacements_returned;
        self.containers_sealed += other.containers_sealed;
        self.sessions += other.sessions;
        self.sheets_destroyed += other.sheets_destroyed;
        self.notes_destroyed += other.notes_destroyed;
        self.custody_corrections += other.custody_corrections;
        self.spoils_declared_lost += other.spoils_declared_lost;
    }
}

/// A rate in parts per million with its 95 percent interval (Wilson's score interval).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Rate {
    pub ppm: u64,
    pub low_ppm: u64,
    pub high_ppm: u64,
}

/// What a row of examined sheets is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case", tag = "by", content = "key")]
pub enum Of {
    Day,
    Bench(BenchId),
    Product(ProductId),
    Stage(Stage),
    Lot(LotId),
    Inspector(PersonId),
    /// The local hour, 0 to 23.
    Hour(u8),
}

/// Sheets examined and notes spoiled on them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExaminedRow {
    #[serde(flatten)]
    pub of: Of,
    /// The title of a product, also of a lot's; the printed name of an inspector.
    pub name: String,
    pub sheets: u64,
    pub good: u64,
    pub mixed: u64,
    pub spoiled: u64,
    pub notes: u64,
    pub notes_spoiled: u64,
    /// Notes spoiled of notes examined; nothing when none was examined.
    pub spoilage: Option<Rate>,
}

/// The record of a day as the book stands. Nothing for a book that is not open.
pub fn day_record(book: &Book, day: Day) -> Option<DayRecord> {
    day_record_of(book.verifier(), day)
}

/// The same of a book whose lines were not kept.
pub fn day_record_of(book: &Verifier, day: Day) -> Option<DayRecord> {
    let mut making = RecordMaking::begin(book, day)?;
    while !making.is_done() {
        making.step(book.state());
    }
    Some(making.finish())
}

impl DayRecord {
    /// The row of the whole day.
    pub fn whole_day(&self) -> &ExaminedRow {
        &self.examined[0]
    }
}

pub(super) fn examined_row(of: Of, name: String, tally: &Tally) -> ExaminedRow {
    ExaminedRow {
        of,
        name,
        sheets: tally.examined(),
        good: tally.good,
        mixed: tally.mixed,
        spoiled: tally.spoiled,
        notes: tally.notes_examined,
        notes_spoiled: tally.notes_spoiled,
        spoilage: rate(tally),
    }
}

pub(super) fn rate(tally: &Tally) -> Option<Rate> {
    let share = tally.spoilage()?;
    let level = Level::Percent95;
    let interval = wilson(tally.notes_spoiled, tally.notes_examined, level).ok()?;
    Some(Rate {
        ppm: ppm(share),
        low_ppm: ppm(interval.low),
        high_ppm: ppm(interval.high),
    })
}

/// A share of 0 to 1 as whole parts per million, halves upwards.
pub(super) fn ppm(share: f64) -> u64 {
    (share * 1e6).round() as u64
}
