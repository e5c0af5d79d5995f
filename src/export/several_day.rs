//! One production day of several benches: each book's own record, what they come to together, and
//! where they contradict each other. The same whatever the order the books were given in.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::account::{Carried, Tally};
use crate::book::{BookName, Chained, Conflict, Laying, LotTogether, Several};
use crate::people::Day;
use crate::quality::pareto::pareto;
use crate::sheet::LotId;

use super::day_making::RecordMaking;
use super::day_record::{Acts, DayRecord, ExaminedRow, Of, examined_row, ppm};
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
    let mut making = SeveralMaking::begin(books, day);
    while !making.is_done() {
        making.step(books);
    }
    making.finish(books)
}

/// The day of several books in the making, a step at a time, so that a page that waits for it
/// draws and answers in between. Every call is given the same books.
#[derive(Clone, Debug)]
pub struct SeveralMaking {
    day: Day,
    stand: Stand,
}

#[derive(Clone, Debug)]
enum Stand {
    Laying(Laying),
    /// Laid together; the records of the first books are made, that of the next is begun.
    Records {
        several: Several,
        benches: Vec<(BookName, DayRecord)>,
        next: Option<Box<RecordMaking>>,
    },
}

impl SeveralMaking {
    pub fn begin(books: &[&dyn Chained], day: Day) -> Self {
        let stand = Stand::Laying(Laying::begin(books));
        Self { day, stand }
    }

    pub fn is_done(&self) -> bool {
        match &self.stand {
            Stand::Laying(_) => false,
            Stand::Records {
                several, benches, ..
            } => benches.len() == several.books.len(),
        }
    }

    /// Steps that are done, and all there are.
    pub fn progress(&self) -> (usize, usize) {
        let of = |books| books * (1 + RecordMaking::STEPS);
        match &self.stand {
            Stand::Laying(laying) => {
                let (laid, books) = laying.progress();
                (laid, of(books))
            }
            Stand::Records {
                several,
                benches,
                next,
            } => {
                let (books, made) = (several.books.len(), benches.len());
                let begun = next.as_ref().map_or(0, |next| next.made());
                (books + made * RecordMaking::STEPS + begun, of(books))
            }
        }
    }

    /// Lays the next book beside the others, or makes the next part of a book's record.
    pub fn step(&mut self, books: &[&dyn Chained]) {
        match &mut self.stand {
            Stand::Laying(laying) => {
                laying.step(books);
                if laying.is_done() {
                    self.stand = Stand::Records {
                        several: std::mem::take(laying).finish(books),
                        benches: Vec::new(),
                        next: None,
                    };
                }
            }
            Stand::Records {
                several,
                benches,
                next,
            } => {
                let Some(name) = several.books.get(benches.len()) else {
                    return;
                };
                let book = named(books, name).verifier();
                let mut making = next.take().unwrap_or_else(|| {
                    let begun = RecordMaking::begin(book, self.day);
                    Box::new(begun.expect("a book with a name is open"))
                });
                making.step(book.state());
                match making.is_done() {
                    true => benches.push((name.clone(), making.finish())),
                    false => *next = Some(making),
                }
            }
        }
    }

    /// The day, once every step is done. Nothing when no book is open.
    pub fn finish(self, books: &[&dyn Chained]) -> Option<SeveralDay> {
        let Stand::Records {
            several, benches, ..
        } = self.stand
        else {
            return None;
        };
        if benches.is_empty() {
            return None;
        }
        Some(SeveralDay {
            day: self.day,
            together: together(&benches),
            remarks: remarks(books, self.day, &benches, &several.lots),
            benches,
            lots: several.lots,
            conflicts: several.conflicts,
        })
    }
}

/// The book of this name; of two that end alike, the one that has more of its lines.
fn named<'a>(books: &[&'a dyn Chained], name: &BookName) -> &'a dyn Chained {
    let same = books
        .iter()
        .filter(|book| BookName::of(**book).as_ref() == Some(name));
    let book = same.min_by_key(|book| book.verifier().first_seq());
    *book.expect("what was laid together is among the books")
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
