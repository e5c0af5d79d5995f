//! Several books laid side by side: what they hold together, and where they contradict each
//! other. Nothing is settled here; each conflict is named, for people to settle.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;
use uuid::Uuid;

use crate::sheet::{LotId, SheetNo};

use super::guest::Chained;
use super::hash::Hash;
use super::line::BenchId;
use super::state::State;

mod conflict;
mod guests;
mod laying;
mod pair;

pub use conflict::{Conflict, Where};
pub use guests::{GUESTS_MAX, Guests, NotTaken, Taken};
pub use laying::Laying;

/// Which book it is, and up to which line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct BookName {
    pub bench: BenchId,
    /// The random id of its opening line.
    pub book: Uuid,
    pub lines: u64,
    pub head: Hash,
}

impl fmt::Display for BookName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "bench {} (head {})", self.bench, self.head.short())
    }
}

/// A copy that a longer copy of the same book makes needless.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Contained {
    pub copy: BookName,
    pub within: BookName,
}

/// One lot as all books know it together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LotTogether {
    pub sheets: u32,
    pub good: u32,
    pub mixed: u32,
    pub spoiled: u32,
    /// Sheets on which more than one book has ruled; in none of the figures before.
    pub contested: u32,
}

impl LotTogether {
    /// Sheets on which no book has ruled.
    pub fn not_examined(&self) -> u32 {
        self.sheets - (self.good + self.mixed + self.spoiled + self.contested)
    }
}

/// What several books come to. The same whatever the order they were given in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Several {
    /// The books that count, each once.
    pub books: Vec<BookName>,
    /// Copies left out because a longer copy of the same book says all that they say.
    pub contained: Vec<Contained>,
    pub lots: BTreeMap<LotId, LotTogether>,
    /// In a fixed order, each once. Empty when the books agree.
    pub conflicts: Vec<Conflict>,
}

/// A book with its name, while books are compared.
struct Known<'a> {
    name: BookName,
    book: &'a dyn Chained,
}

/// How far two copies of one book are the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shared {
    /// So many lines from the first on.
    Lines(u64),
    /// They had parted before this entry, with which the later of the two begins.
    PartedBefore(u64),
    /// One ends before this entry, with which the other begins.
    Unknown(u64),
}

impl BookName {
    /// The name of a book; one without its opening line has none.
    pub fn of(book: &dyn Chained) -> Option<Self> {
        let verifier = book.verifier();
        let opened = verifier.state().opened.as_ref()?;
        Some(Self {
            bench: opened.bench,
            book: opened.book,
            lines: verifier.len(),
            head: verifier.head(),
        })
    }
}

impl<'a> Known<'a> {
    /// A book without its opening line has nothing to compare.
    fn new(book: &'a dyn Chained) -> Option<Self> {
        let name = BookName::of(book)?;
        Some(Self { name, book })
    }

    fn state(&self) -> &'a State {
        self.book.verifier().state()
    }

    fn first_seq(&self) -> u64 {
        self.book.verifier().first_seq()
    }

    /// How far two books are the same. A line names the one before it, so books that share one
    /// share all before it, in an archive or not.
    fn shared(&self, other: &Known<'_>) -> Shared {
        let heads = |lines| Some((self.book.head_after(lines)?, other.book.head_after(lines)?));
        let start = self.first_seq().max(other.first_seq());
        match heads(start) {
            None => Shared::Unknown(start),
            Some((one, another)) if one != another => Shared::PartedBefore(start),
            Some(_) => {
                let (mut lines, mut most) = (start, self.name.lines.min(other.name.lines));
                while lines < most {
                    let middle = most - (most - lines) / 2;
                    match heads(middle) {
                        Some((one, another)) if one == another => lines = middle,
                        _ => most = middle - 1,
                    }
                }
                Shared::Lines(lines)
            }
        }
    }
}

/// Lays verified books side by side.
pub fn lay_together(books: &[&dyn Chained]) -> Several {
    let mut laying = Laying::begin(books);
    while !laying.is_done() {
        laying.step(books);
    }
    laying.finish(books)
}

/// The books that count, in the order of their names, and the copies that do not.
fn counting<'a>(books: &[&'a dyn Chained]) -> (Vec<Known<'a>>, Vec<Contained>) {
    let mut known: Vec<Known> = books.iter().filter_map(|book| Known::new(*book)).collect();
    // Of two that end alike, the one that has more of its lines comes first and is kept.
    known.sort_by(|a, b| (&a.name, a.first_seq()).cmp(&(&b.name, b.first_seq())));
    known.dedup_by(|a, b| a.name == b.name);
    let contained = contained(&known);
    known.retain(|one| !contained.iter().any(|copy| copy.copy == one.name));
    (known, contained)
}

/// Each copy that is the beginning of another, with the longest that holds it.
fn contained(known: &[Known]) -> Vec<Contained> {
    let within = |copy: &Known| {
        let longer = known.iter().filter(|other| {
            other.name.book == copy.name.book
                && other.name.lines > copy.name.lines
                && other.shared(copy) == Shared::Lines(copy.name.lines)
        });
        longer.max_by(|a, b| (a.name.lines, &a.name).cmp(&(b.name.lines, &b.name)))
    };
    let pairs = known.iter().filter_map(|copy| {
        Some(Contained {
            copy: copy.name.clone(),
            within: within(copy)?.name.clone(),
        })
    });
    pairs.collect()
}

/// The sheets that two lists of rulings have both ruled, as ranges in order.
fn both_ruled(first: &super::lot::Lot, second: &super::lot::Lot) -> Vec<(SheetNo, SheetNo)> {
    let ruled = first.sheets.iter().zip(&second.sheets);
    let mut ranges: Vec<(u32, u32)> = Vec::new();
    for (index, (a, b)) in (0..).zip(ruled) {
        match ranges.last_mut() {
            _ if a.exam.is_none() || b.exam.is_none() => {}
            Some((_, to)) if *to + 1 == index => *to = index,
            _ => ranges.push((index, index)),
        }
    }
    let numbers = ranges.into_iter();
    numbers
        .map(|(from, to)| (SheetNo::from_index(from), SheetNo::from_index(to)))
        .collect()
}
