//! Reading the book line by line: which lines are wanted, found in slices so that a page stays
//! quick over very many, and each read whole only when it is shown.

use crate::book::{Book, KindGroup, Line, glance, kind_words, says};
use crate::people::{Day, PersonId, Stamp};
use crate::sheet::grouped;

/// Which lines are wanted. All that is set must hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LogFilter {
    pub group: Option<KindGroup>,
    pub person: Option<PersonId>,
    pub day: Option<Day>,
    /// Each must stand somewhere in the line. In small letters: see [`LogFilter::with_words`].
    pub words: Vec<String>,
}

impl LogFilter {
    /// Looks for every word of the text.
    pub fn with_words(mut self, text: &str) -> Self {
        let words = text.split_whitespace().map(str::to_lowercase);
        self.words = words.collect();
        self
    }

    pub fn is_all(&self) -> bool {
        *self == LogFilter::default()
    }

    /// Whether a line of this book is wanted. What its text cannot tell is not asked of it: it is
    /// searched as written, with the name of its author and its kind in words.
    fn wants(&self, book: &Book, text: &str) -> bool {
        let Some(line) = glance(text) else {
            return false;
        };
        let state = book.state();
        let of_group = |group| KindGroup::of(line.kind) == group;
        let on_day = |day| {
            let at = line.at.parse::<Stamp>();
            at.is_ok_and(|at| state.day_of(&at) == day)
        };
        self.group.is_none_or(of_group)
            && self.person.is_none_or(|person| line.by == person.as_str())
            && self.day.is_none_or(on_day)
            && (self.words.is_empty() || {
                let name = line.by.parse().map(|by| state.name_of(by));
                let name = name.unwrap_or_default().to_lowercase();
                let kind = kind_words(line.kind).to_lowercase();
                let searched = said(line.rest).to_lowercase();
                let there = |word: &String| {
                    [&searched, &kind, &name]
                        .iter()
                        .any(|text| text.contains(word))
                };
                self.words.iter().all(there)
            })
    }
}

/// The line without its signatures, in which any figure might be found.
fn said(rest: &str) -> &str {
    let end = rest.find(r#","statement":"#);
    let end = end.or_else(|| rest.rfind(r#","sig":"#));
    &rest[..end.unwrap_or(rest.len())]
}

/// A search through the book, the last line first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogSearch {
    filter: LogFilter,
    /// The lines that were here when the search began: from `first` to before `of`.
    first: u64,
    of: u64,
    /// Lines that were looked at.
    looked: u64,
    found: Vec<u64>,
}

impl LogSearch {
    /// A search that has not looked yet. Without a filter there is nothing to look for.
    pub fn new(filter: LogFilter, book: &Book) -> Self {
        let (first, of) = (book.first_seq(), book.len());
        let looked = if filter.is_all() { of - first } else { 0 };
        Self {
            filter,
            first,
            of,
            looked,
            found: Vec::new(),
        }
    }

    /// Looks at up to `most` more lines.
    pub fn look(&mut self, book: &Book, most: u64) {
        let last = self.of - self.looked;
        let first = last.saturating_sub(most).max(self.first);
        let lines = (first..last).rev();
        let wanted = lines.filter(|seq| {
            let text = book.text(*seq);
            text.is_some_and(|text| self.filter.wants(book, text))
        });
        self.found.extend(wanted);
        self.looked += last - first;
    }

    pub fn is_done(&self) -> bool {
        self.looked == self.of - self.first
    }

    /// Whether it is a search of this filter through the book as it is now.
    pub fn is_of(&self, filter: &LogFilter, book: &Book) -> bool {
        let here = (book.first_seq(), book.len());
        self.filter == *filter && (self.first, self.of) == here
    }

    pub fn looked(&self) -> u64 {
        self.looked
    }

    /// Lines found so far.
    pub fn len(&self) -> u64 {
        match self.filter.is_all() {
            true => self.of - self.first,
            false => self.found.len() as u64,
        }
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Number of the line at a place of the list.
    pub fn seq(&self, place: u64) -> Option<u64> {
        match self.filter.is_all() {
            true => {
                let seq = (self.of.checked_sub(1)?).checked_sub(place);
                seq.filter(|seq| *seq >= self.first)
            }
            false => self.found.get(place as usize).copied(),
        }
    }

    /// Where a line stands in the list, if it was found.
    pub fn place_of(&self, seq: u64) -> Option<u64> {
        match self.filter.is_all() {
            true => {
                let seq = Some(seq).filter(|seq| *seq >= self.first)?;
                (self.of.checked_sub(1)?).checked_sub(seq)
            }
            false => {
                let place = self.found.binary_search_by(|found| seq.cmp(found));
                place.ok().map(|place| place as u64)
            }
        }
    }
}

/// A line as a list shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct LogRow {
    pub seq: u64,
    pub at: Stamp,
    pub name: String,
    pub kind: String,
    pub says: String,
    /// Where it was corrected: "corrected in entry 45".
    pub corrected: Option<String>,
}

/// Reads one line for a list; nothing for a number that the book does not have.
pub fn log_row(book: &Book, seq: u64) -> Option<LogRow> {
    let line = read(book, seq)?;
    let state = book.state();
    Some(LogRow {
        seq,
        at: line.header.at.clone(),
        name: state.name_of(line.header.by),
        kind: kind_words(line.entry.kind()),
        says: says(&line, book),
        corrected: corrected_in(book.corrections_of(seq)),
    })
}

/// Entries that a row names; a range of sheets may be corrected sheet by sheet.
const NAMED: usize = 3;

fn corrected_in(entries: &[u64]) -> Option<String> {
    let named: Vec<String> = entries
        .iter()
        .take(NAMED)
        .map(|seq| grouped(*seq))
        .collect();
    let named = named.join(", ");
    match entries.len() {
        0 => None,
        1 => Some(format!("corrected in entry {named}")),
        len if len <= NAMED => Some(format!("corrected in entries {named}")),
        len => {
            let more = grouped((len - NAMED) as u64);
            Some(format!("corrected in entries {named} and {more} more"))
        }
    }
}

/// A line of the book, read whole.
pub fn read(book: &Book, seq: u64) -> Option<Line> {
    Line::read(book.text(seq)?).ok()
}
