//! One production day of several benches: each book's own record, what they come to together, and
//! where they contradict each other. The same whatever the order the books were given in.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::account::{Carried, Tally};
use crate::book::{BookName, Chained, Conflict, LotTogether, lay_together};
use crate::people::Day;
use crate::quality::pareto::pareto;
use crate::sheet::LotId;

use super::day_record::{Acts, DayRecord, ExaminedRow, Of, day_record_of, examined_row, ppm};
use super::day_tags::TagRow;

/// A production day of several benches.
#[derive(Clone, Debug, PartialEq)]
pub struct SeveralDay {
    pub day: Day,
    /// Each book with its own record, in the order of the books' names.
    pub benches: Vec<(BookName, DayRecord)>,
    pub together: Together,
    /// Each lot as the books stand.
    pub lots: BTreeMap<LotId, LotTogether>,
    pub conflicts: Vec<Conflict>,
    /// What is out of the ordinary about the books together, a sentence each.
    pub remarks: Vec<String>,
}

/// The sums over all benches. A sheet that two benches ruled counts once for each of them, so that
/// the benches' own figures add up to these.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Together {
    pub acts: Acts,
    /// The whole day first, then by product, stage, lot, inspector and hour. What two books name
    /// differently stays apart.
    pub examined: Vec<ExaminedRow>,
    pub tags: Vec<TagRow>,
}

/// The day of every book that counts. Nothing when none is open.
pub fn several_day(books: &[&dyn Chained], day: Day) -> Option<SeveralDay> {
    let several = lay_together(books);
    let record = |name: &BookName| {
        let same = books
            .iter()
            .filter(|book| BookName::of(**book).as_ref() == Some(name));
        // Of two that end alike, the one that has more of its lines.
        let book = same.min_by_key(|book| book.verifier().first_seq())?;
        Some((name.clone(), day_record_of(book.verifier(), day)?))
    };
    let benches: Vec<_> = several.books.iter().filter_map(record).collect();
    if benches.is_empty() {
        return None;
    }
    Some(SeveralDay {
        day,
        together: together(&benches),
        remarks: remarks(books, day, &benches, &several.lots),
        benches,
        lots: several.lots,
        conflicts: several.conflicts,
    })
}

impl SeveralDay {
    /// The row of the whole day.
    pub fn whole_day(&self) -> &ExaminedRow {
        &self.together.examined[0]
    }

    /// What is open over all benches, each by its own book.
    pub fn carried(&self, of: impl Fn(&DayRecord) -> &Carried) -> Carried {
        let mut sum = Carried::default();
        let parts = self.benches.iter().map(|(_, record)| of(record));
        parts.for_each(|part| sum.join(part));
        sum
    }

    /// Whether any of the books is a practice book.
    pub fn practice(&self) -> bool {
        self.benches.iter().any(|(_, record)| record.practice)
    }
}

fn together(benches: &[(BookName, DayRecord)]) -> Together {
    let records = || benches.iter().map(|(_, record)| record);
    let mut acts = Acts::default();
    records().for_each(|record| acts.join(&record.acts));
    let tags: Vec<&TagRow> = records().flat_map(|record| &record.tags).collect();
    Together {
        acts,
        examined: examined(records()),
        tags: summed_tags(&tags),
    }
}

fn examined<'a>(records: impl Iterator<Item = &'a DayRecord>) -> Vec<ExaminedRow> {
    let mut sums: BTreeMap<(Of, &str), Tally> = BTreeMap::new();
    let rows = records.flat_map(|record| &record.examined);
    for row in rows.filter(|row| !matches!(row.of, Of::Bench(_))) {
        let sum = sums.entry((row.of, &row.name)).or_default();
        sum.join(&Tally {
            good: row.good,
            mixed: row.mixed,
            spoiled: row.spoiled,
            notes_spoiled: row.notes_spoiled,
            notes_examined: row.notes,
        });
    }
    let rows = sums.into_iter();
    rows.map(|((of, name), tally)| examined_row(of, name.to_owned(), &tally))
        .collect()
}

/// By class, then by step, each in Pareto order.
fn summed_tags(rows: &[&TagRow]) -> Vec<TagRow> {
    let (classes, steps): (Vec<&TagRow>, Vec<&TagRow>) =
        rows.iter().copied().partition(|row| row.class.is_some());
    [classes, steps]
        .iter()
        .flat_map(|rows| ranked(rows))
        .collect()
}

fn ranked(rows: &[&TagRow]) -> Vec<TagRow> {
    let key = |row: &&TagRow| (row.class, row.step, row.name.clone());
    let mut sheets = BTreeMap::new();
    for row in rows {
        *sheets.entry(key(row)).or_insert(0) += row.sheets;
    }
    let bars = pareto(rows.iter().map(|row| (key(row), row.tags)));
    let rows = bars.into_iter().map(|bar| {
        let sheets = sheets.get(&bar.key).copied().unwrap_or(0);
        let (class, step, name) = bar.key;
        TagRow {
            class,
            name,
            step,
            tags: bar.count,
            sheets,
            share_ppm: ppm(bar.share),
            cumulative_ppm: ppm(bar.cumulative),
        }
    });
    rows.collect()
}

fn remarks(
    books: &[&dyn Chained],
    day: Day,
    benches: &[(BookName, DayRecord)],
    lots: &BTreeMap<LotId, LotTogether>,
) -> Vec<String> {
    let contested: u64 = lots.values().map(|lot| u64::from(lot.contested)).sum();
    let twice = (contested > 0).then(|| {
        format!(
            "Sheets that more than one bench has ruled, as the books stand: {contested}. Each counts once for every bench that ruled it; the conflicts name them."
        )
    });
    let hours: Vec<String> = benches
        .iter()
        .map(|(name, record)| format!("{} at {:02}:00", name.bench, record.cut_over_hour))
        .collect();
    let first = benches.first().map(|(_, record)| record.cut_over_hour);
    let uneven = benches
        .iter()
        .any(|(_, record)| Some(record.cut_over_hour) != first);
    let uneven = uneven.then(|| {
        format!(
            "The benches do not end their day at one hour ({}), so the day is not the same stretch of time for all.",
            hours.join(", ")
        )
    });
    let named = |which: &dyn Fn(&DayRecord) -> bool, says: &str| {
        let found = benches.iter().filter(|(_, record)| which(record));
        let found: Vec<String> = found.map(|(name, _)| name.bench.to_string()).collect();
        (!found.is_empty()).then(|| format!("{says}: {}.", found.join(", ")))
    };
    let archived = |record: &DayRecord| {
        let books = books.iter().map(|book| book.verifier());
        let mut books = books.filter(|book| book.head() == record.head);
        books.any(|book| book.state().is_archived(day))
    };
    let nothing = named(
        &|record| record.acts.entries == 0,
        "Nothing is recorded for this day by the bench",
    );
    let open = named(
        &|record| record.acts.entries > 0 && record.closed.is_none(),
        "The day is not closed at the bench",
    );
    let gone = named(
        &archived,
        "The day's lists are in the archive, only its totals are here, of the bench",
    );
    [twice, uneven, nothing, open, gone]
        .into_iter()
        .flatten()
        .collect()
}
