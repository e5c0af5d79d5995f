//! The record of a day in the making: one part after the other, so that a page that waits for it
//! draws and answers in between.

use serde::Serialize;

use crate::account::{Carried, DayTotals};
use crate::book::{BenchId, DayClosing, Hash, State, Verifier, carried};
use crate::people::Day;

use super::day_alike::{alike_rows, measured_rows, sample_rows};
use super::day_charts::charts;
use super::day_compared::compared;
use super::day_findings::finding_rows;
use super::day_record::{Acts, Closed, DayRecord, ExaminedRow, Of, examined_row};
use super::day_remarks::remarks;
use super::day_rows::{
    balance_rows, container_rows, replacement_rows, series_rows, session_rows, sheet_rows,
    spoil_rows,
};
use super::day_tags::{TagRow, class_rows, step_rows};
use super::mass_rows::{residue_rows, weighing_rows};

/// What a day comes to, without the lists behind it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayFigures {
    pub day: Day,
    pub closed: Option<Closed>,
    pub acts: Acts,
    pub carried_in: Carried,
    pub carried: Carried,
    pub examined: Vec<ExaminedRow>,
    pub tags: Vec<TagRow>,
}

/// The figures of a day, the same as in its record. Nothing for a book that is not open.
pub fn day_figures(state: &State, day: Day) -> Option<DayFigures> {
    let opened = state.opened.as_ref()?;
    Some(with_totals(state, day, |state, totals, day| DayFigures {
        day,
        closed: state.closed_days.get(&day).map(|c| closed(c, totals)),
        acts: acts(totals),
        carried_in: carried_in(state, totals, day),
        carried: left_after(state, day),
        examined: examined_rows(state, opened.bench, totals),
        tags: [
            class_rows(state, totals, day),
            step_rows(state, totals, day),
        ]
        .concat(),
    }))
}

/// A record of which the first parts are made.
#[derive(Clone, Debug)]
pub struct RecordMaking {
    record: DayRecord,
    made: usize,
}

/// Makes one part of the record of a day.
type Part = fn(&mut DayRecord, &State, Day);

/// What takes long in a long book, each looking at every sheet, spoil or drawn note.
const PARTS: [Part; 9] = [
    |record, state, day| record.carried = left_after(state, day),
    |record, state, day| record.tags = with_totals(state, day, class_rows),
    |record, state, day| record.tags.extend(with_totals(state, day, step_rows)),
    |record, state, day| record.charts = charts(state, day),
    |record, state, day| record.findings = finding_rows(state, day),
    |record, state, day| record.alike = alike_rows(state, day),
    |record, state, day| record.sheets = sheet_rows(state, day),
    |record, state, day| {
        record.replacements = replacement_rows(state, day);
        record.containers = container_rows(state, day);
        record.spoils = spoil_rows(state, day);
    },
    |record, state, _| record.balance = balance_rows(state),
];

impl RecordMaking {
    /// How many steps a record takes.
    pub const STEPS: usize = PARTS.len();

    /// Begins with what is soon made. Nothing for a book that is not open.
    pub fn begin(book: &Verifier, day: Day) -> Option<Self> {
        let state = book.state();
        let opened = state.opened.as_ref()?;
        let record = with_totals(state, day, |state, totals, day| DayRecord {
            works: opened.works.clone(),
            bench: opened.bench.to_string(),
            book: opened.book,
            practice: opened.practice,
            day,
            head: book.head(),
            book_entries: book.len(),
            closed: state.closed_days.get(&day).map(|c| closed(c, totals)),
            remarks: remarks(state, day, totals),
            cut_over_hour: match totals.entries {
                0 => state.rules.cut_over_hour,
                _ => totals.cut_over_hour,
            },
            acts: acts(totals),
            carried_in: carried_in(state, totals, day),
            carried: Carried::default(),
            examined: examined_rows(state, opened.bench, totals),
            compared: compared(state, day, &totals.all),
            tags: Vec::new(),
            charts: Vec::new(),
            findings: Vec::new(),
            alike: Vec::new(),
            measured: measured_rows(state, day),
            samples: sample_rows(state, day),
            amendments: totals.amendments.clone(),
            sheets: Vec::new(),
            replacements: Vec::new(),
            series: series_rows(state, day),
            containers: Vec::new(),
            spoils: Vec::new(),
            sessions: session_rows(state, day),
            weighings: weighing_rows(state, day),
            residue: residue_rows(state, day),
            balance: Vec::new(),
        });
        Some(Self { record, made: 0 })
    }

    pub fn is_done(&self) -> bool {
        self.made == Self::STEPS
    }

    /// Steps that are done.
    pub fn made(&self) -> usize {
        self.made
    }

    /// The book's head that the record was begun at: it is made of the book at this head alone.
    pub fn head(&self) -> Hash {
        self.record.head
    }

    /// Makes the next part, of the book that the record was begun with.
    pub fn step(&mut self, state: &State) {
        if let Some(part) = PARTS.get(self.made) {
            let day = self.record.day;
            part(&mut self.record, state, day);
            self.made += 1;
        }
    }

    /// The record, once every part is made.
    pub fn finish(self) -> DayRecord {
        self.record
    }
}

fn with_totals<T>(state: &State, day: Day, make: impl FnOnce(&State, &DayTotals, Day) -> T) -> T {
    match state.days.get(&day) {
        Some(totals) => make(state, totals, day),
        None => make(state, &DayTotals::default(), day),
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
        custody_corrections: totals.custody_corrections,
        spoils_declared_lost: totals.spoils_lost,
    }
}

fn carried_in(state: &State, totals: &DayTotals, day: Day) -> Carried {
    match totals.entries {
        0 => left_after(state, day),
        _ => totals.carried_in,
    }
}

/// What was open after the last entry of a day, or of the last day before it that has entries.
fn left_after(state: &State, day: Day) -> Carried {
    match state.days.range(..=day).next_back() {
        Some((_, totals)) => totals.carried_over.unwrap_or_else(|| carried(state)),
        None => Carried::default(),
    }
}

fn examined_rows(state: &State, bench: BenchId, totals: &DayTotals) -> Vec<ExaminedRow> {
    let mut rows = vec![examined_row(Of::Day, String::new(), &totals.all)];
    let bench = examined_row(Of::Bench(bench), String::new(), &totals.all);
    let products = totals.by_product.iter().map(|(product, tally)| {
        let title = state.products.get(product).map(|known| known.title.clone());
        examined_row(Of::Product(*product), title.unwrap_or_default(), tally)
    });
    let stages = totals.by_stage.iter().map(|(stage, tally)| {
        let name = stage.name().to_owned();
        examined_row(Of::Stage(*stage), name, tally)
    });
    let lots = totals.by_lot.iter().map(|(lot, tally)| {
        let title = state.title_of(*lot).unwrap_or_default().to_owned();
        examined_row(Of::Lot(*lot), title, tally)
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
    let works = std::iter::once(bench).chain(products).chain(stages);
    let parts = works.chain(lots).chain(inspectors).chain(hours);
    rows.extend(parts.filter(|row| row.sheets > 0));
    rows
}
