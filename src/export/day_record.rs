//! The record of one production day, as plain data: what screens show, prints carry and tables
//! export.
//!
//! Acts are those of the day. Places, balances and what is carried over are as the book stands at
//! the head that the record names. Shares are whole parts per million, so that every reader gets
//! the same figure.

use serde::Serialize;
use uuid::Uuid;

use crate::account::{DayTotals, Tally};
use crate::book::{Book, DayClosing, Hash, State, Verifier};
use crate::inspect::{ClassCode, Step};
use crate::people::{Day, PersonId, Stamp};
use crate::quality::intervals::{Level, wilson};
use crate::quality::pareto::{Bar, pareto};
use crate::sheet::LotId;

use super::day_rows::{
    BalanceRow, ContainerRow, ReplacementRow, SessionRow, SheetRow, SpoilRow, balance_rows,
    container_rows, replacement_rows, session_rows, sheet_rows, spoil_rows,
};
use super::mass_rows::{ResidueRow, WeighingRow, residue_rows, weighing_rows};

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
    pub acts: Acts,
    pub carried: Carried,
    /// The whole day first, then by lot, by inspector and by hour.
    pub examined: Vec<ExaminedRow>,
    /// By class in Pareto order, then by step in the order of the works.
    pub tags: Vec<TagRow>,
    pub sheets: Vec<SheetRow>,
    pub replacements: Vec<ReplacementRow>,
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
}

/// What is still to be done, over all lots, as the book stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Carried {
    pub sheets_not_examined: u64,
    pub notes_to_replace: u64,
    pub replacements_on_hand: u64,
    pub spoils_loose: u64,
    pub spoils_in_open_containers: u64,
    pub spoils_sealed: u64,
}

impl Carried {
    /// Whether nothing is carried over.
    pub fn is_nothing(&self) -> bool {
        *self == Carried::default()
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "by", content = "key")]
pub enum Of {
    Day,
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
    /// The product of a lot, the printed name of an inspector.
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

/// Tags of one class or one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagRow {
    /// Absent for a whole step.
    pub class: Option<ClassCode>,
    pub name: String,
    pub step: Step,
    pub tags: u64,
    pub share_ppm: u64,
    /// With all rows before it; only classes stand in Pareto order.
    pub cumulative_ppm: Option<u64>,
}

/// The record of a day as the book stands. Nothing for a book that is not open.
pub fn day_record(book: &Book, day: Day) -> Option<DayRecord> {
    day_record_of(book.verifier(), day)
}

/// The same of a book whose lines were not kept.
pub fn day_record_of(book: &Verifier, day: Day) -> Option<DayRecord> {
    let state = book.state();
    let opened = state.opened.as_ref()?;
    let none = DayTotals::default();
    let totals = state.days.get(&day).unwrap_or(&none);
    let mut tags = class_rows(state, totals);
    tags.extend(step_rows(totals));
    Some(DayRecord {
        works: opened.works.clone(),
        bench: opened.bench.to_string(),
        book: opened.book,
        practice: opened.practice,
        day,
        head: book.head(),
        book_entries: book.len(),
        closed: state.closed_days.get(&day).map(|c| closed(c, totals)),
        acts: acts(totals),
        carried: carried(state),
        examined: examined_rows(state, totals),
        tags,
        sheets: sheet_rows(state, day),
        replacements: replacement_rows(state, day),
        containers: container_rows(state, day),
        spoils: spoil_rows(state, day),
        sessions: session_rows(state, day),
        weighings: weighing_rows(state, day),
        residue: residue_rows(state, day),
        balance: balance_rows(state),
    })
}

impl DayRecord {
    /// The row of the whole day.
    pub fn whole_day(&self) -> &ExaminedRow {
        &self.examined[0]
    }

    pub fn classes(&self) -> impl Iterator<Item = (ClassCode, &TagRow)> {
        self.tags.iter().filter_map(|row| Some((row.class?, row)))
    }

    pub fn steps(&self) -> impl Iterator<Item = &TagRow> {
        self.tags.iter().filter(|row| row.class.is_none())
    }
}

fn closed(closing: &DayClosing, totals: &DayTotals) -> Closed {
    Closed {
        entry: closing.seq,
        by: closing.by,
        at: closing.at.clone(),
        late_entries: totals.late,
    }
}

fn acts(totals: &DayTotals) -> Acts {
    Acts {
        entries: totals.entries,
        corrections: totals.corrections,
        overrulings: totals.overrulings,
        on_machines_word: totals.on_machines_word,
        replacements_drawn: totals.replacements_drawn,
        replacements_inserted: totals.replacements_inserted,
        replacements_spoiled: totals.replacements_spoiled,
        replacements_returned: totals.replacements_returned,
        containers_sealed: totals.containers_sealed,
        sessions: totals.sessions,
        sheets_destroyed: totals.sheets_destroyed,
        notes_destroyed: totals.notes_destroyed,
    }
}

/// What the whole book carries over.
pub fn carried(state: &State) -> Carried {
    let account = crate::book::book_account(state);
    let spoils = account.spoil_figures;
    let needs = state.lots.values().map(|lot| lot.needs().len() as u64);
    Carried {
        sheets_not_examined: account.sheet_figures.not_examined,
        notes_to_replace: needs.sum(),
        replacements_on_hand: account.replacement_figures.on_hand,
        spoils_loose: spoils.loose,
        spoils_in_open_containers: spoils.in_open_containers,
        spoils_sealed: spoils.sealed,
    }
}

fn examined_rows(state: &State, totals: &DayTotals) -> Vec<ExaminedRow> {
    let mut rows = vec![examined_row(Of::Day, String::new(), &totals.all)];
    let lots = totals.by_lot.iter().map(|(lot, tally)| {
        let title = state.lots.get(lot).map(|lot| lot.product.title.clone());
        examined_row(Of::Lot(*lot), title.unwrap_or_default(), tally)
    });
    let inspectors = totals
        .by_inspector
        .iter()
        .map(|(who, tally)| examined_row(Of::Inspector(*who), state.name_of(*who), tally));
    let hours = totals
        .by_hour
        .iter()
        .map(|(hour, tally)| examined_row(Of::Hour(*hour), String::new(), tally));
    // A row that corrections have emptied tells nothing.
    let parts = lots.chain(inspectors).chain(hours);
    rows.extend(parts.filter(|row| row.sheets > 0));
    rows
}

fn examined_row(of: Of, name: String, tally: &Tally) -> ExaminedRow {
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

fn rate(tally: &Tally) -> Option<Rate> {
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
fn ppm(share: f64) -> u64 {
    (share * 1e6).round() as u64
}

fn class_rows(state: &State, totals: &DayTotals) -> Vec<TagRow> {
    let counts = totals
        .by_class
        .iter()
        .map(|(class, count)| (*class, *count));
    let row = |bar: Bar<ClassCode>| {
        let (name, step) = class_of(state, bar.key);
        TagRow {
            class: Some(bar.key),
            name,
            step,
            tags: bar.count,
            share_ppm: ppm(bar.share),
            cumulative_ppm: Some(ppm(bar.cumulative)),
        }
    };
    pareto(counts).into_iter().map(row).collect()
}

/// Name and step of a class: as in the catalogue in force, else as in the lot opened last that
/// has it.
fn class_of(state: &State, code: ClassCode) -> (String, Step) {
    let mut lots: Vec<_> = state.lots.values().collect();
    lots.sort_by_key(|lot| std::cmp::Reverse(lot.seq));
    let catalogues = lots.into_iter().map(|lot| &lot.catalogue);
    let class = std::iter::once(&state.catalogue)
        .chain(catalogues)
        .find_map(|catalogue| catalogue.get(code));
    // A tag is only taken with a class of its lot's catalogue, so one is found.
    class.map_or_else(
        || (String::new(), Step::Handling),
        |class| (class.name.clone(), class.step),
    )
}

fn step_rows(totals: &DayTotals) -> Vec<TagRow> {
    let whole: u64 = totals.by_step.values().sum();
    let steps = totals.by_step.iter().filter(|(_, count)| **count > 0);
    let row = |(step, count): (&Step, &u64)| TagRow {
        class: None,
        name: step.name().to_owned(),
        step: *step,
        tags: *count,
        share_ppm: ppm(*count as f64 / whole as f64),
        cumulative_ppm: None,
    };
    steps.map(row).collect()
}
