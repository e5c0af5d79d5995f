//! A head that was kept elsewhere, held against the book: the only thing that tells a book that
//! was put back to an earlier day, or written anew, from the one it pretends to be.

use uuid::Uuid;

use crate::people::{PersonId, Stamp};
use crate::sheet::grouped;

use super::glance::glance;
use super::hash::Hash;
use super::head_code::HeadCode;
use super::line::Line;
use super::shelf::Book;
use super::state::State;

/// The head of a book, with what tells whose it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    pub book: Uuid,
    /// Number of entries it stands behind.
    pub entries: u64,
    pub hash: Hash,
}

impl Head {
    pub fn code(&self) -> HeadCode {
        HeadCode::new(self.entries, &self.hash)
    }
}

/// A head as someone kept it: by its short code, or whole with what was kept beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeptHead {
    Code(HeadCode),
    Whole {
        hash: Hash,
        entries: Option<u64>,
        book: Option<Uuid>,
    },
}

impl KeptHead {
    /// Whether it is the head of a book that ends with this line.
    pub fn is_after(&self, line: &Line) -> bool {
        let entries = line.header.seq + 1;
        match self {
            KeptHead::Code(code) => code.entries() == entries && code.fits(&line.hash),
            KeptHead::Whole {
                hash,
                entries: counted,
                ..
            } => *hash == line.hash && counted.is_none_or(|counted| counted == entries),
        }
    }
}

/// What the book answers to a head.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeadAnswer {
    /// The entry whose hash it is, who wrote it and when, and how many came after.
    Contained {
        entry: u64,
        at: Stamp,
        by: PersonId,
        after: u64,
    },
    /// It stands behind more entries than the book has.
    TooShort { counted: u64, has: u64 },
    /// The entry that it stands behind is there, with another hash.
    Differs { entry: u64 },
    /// A hash without a count, which no line has.
    Nowhere,
    /// It is the head of the archive, behind which this book begins.
    ArchiveEnd { entry: u64 },
    /// Only the archive can tell: this book begins at entry `first`.
    InArchive { first: u64 },
    /// It says that it belongs to another book.
    OtherBook { named: Uuid },
}

impl Book {
    /// The head as it leaves the machine; nothing while the book is not open.
    pub fn whole_head(&self) -> Option<Head> {
        let opened = self.state().opened.as_ref()?;
        Some(Head {
            book: opened.book,
            entries: self.len(),
            hash: self.head(),
        })
    }

    /// Holds a head that was kept elsewhere against this book, which is not changed by it.
    pub fn answer(&self, kept: &KeptHead) -> HeadAnswer {
        match kept {
            KeptHead::Code(code) => self.at_entry(code.entries(), |hash| code.fits(hash)),
            KeptHead::Whole {
                book: Some(named), ..
            } if self.is_other(*named) => HeadAnswer::OtherBook { named: *named },
            KeptHead::Whole {
                hash,
                entries: Some(entries),
                ..
            } => self.at_entry(*entries, |found| found == hash),
            KeptHead::Whole { hash, .. } => self.anywhere(hash),
        }
    }

    fn is_other(&self, named: Uuid) -> bool {
        let opened = self.state().opened.as_ref();
        opened.is_none_or(|opened| opened.book != named)
    }

    fn at_entry(&self, entries: u64, fits: impl Fn(&Hash) -> bool) -> HeadAnswer {
        let short = HeadAnswer::TooShort {
            counted: entries,
            has: self.len(),
        };
        let Some(entry) = entries.checked_sub(1) else {
            return HeadAnswer::Nowhere;
        };
        let first = self.first_seq();
        if entry < first {
            let end = self.head_after(entries).is_some_and(|head| fits(&head));
            return match (entries == first, end) {
                (true, true) => HeadAnswer::ArchiveEnd { entry },
                (true, false) => HeadAnswer::Differs { entry },
                (false, _) => HeadAnswer::InArchive { first },
            };
        }
        let Some(text) = self.text(entry) else {
            return short;
        };
        if fits(&Hash::of_line(text.as_bytes())) {
            self.contained(entry)
        } else {
            HeadAnswer::Differs { entry }
        }
    }

    /// Each line names the hash of the one before, so nothing need be hashed again.
    fn anywhere(&self, hash: &Hash) -> HeadAnswer {
        if *hash == self.head() && !self.is_empty() {
            return self.contained(self.len() - 1);
        }
        let digits = hash.to_string();
        let names = |text: &str| glance(text).is_some_and(|line| line.prev == digits);
        let first = self.first_seq();
        let follower = self.texts().iter().position(|text| names(text));
        match follower.map(|index| (first + index as u64).checked_sub(1)) {
            Some(Some(entry)) if entry < first => HeadAnswer::ArchiveEnd { entry },
            Some(Some(entry)) => self.contained(entry),
            _ if first > 0 => HeadAnswer::InArchive { first },
            _ => HeadAnswer::Nowhere,
        }
    }

    fn contained(&self, entry: u64) -> HeadAnswer {
        match self.text(entry).and_then(|text| Line::read(text).ok()) {
            // Lines of a book were read before, so this one can be read again.
            None => HeadAnswer::Nowhere,
            Some(line) => HeadAnswer::Contained {
                entry,
                at: line.header.at,
                by: line.header.by,
                after: self.len() - 1 - entry,
            },
        }
    }
}

impl HeadAnswer {
    pub fn is_contained(&self) -> bool {
        matches!(
            self,
            HeadAnswer::Contained { .. } | HeadAnswer::ArchiveEnd { .. }
        )
    }

    /// The answer in one sentence.
    pub fn says(&self, state: &State) -> String {
        let no = "This book does not contain it";
        match self {
            HeadAnswer::Contained { entry, at, by, .. } => format!(
                "This book contains it at entry {}, written {} by {}.",
                grouped(*entry),
                at.dated(),
                state.name_of(*by)
            ),
            HeadAnswer::TooShort { counted, has } => format!(
                "{no}: the head stands behind {} entries, and the book has {}.",
                grouped(*counted),
                grouped(*has)
            ),
            HeadAnswer::Differs { entry } => {
                format!("{no}: its entry {} is another one.", grouped(*entry))
            }
            HeadAnswer::Nowhere => format!("{no}: none of its entries has this hash."),
            HeadAnswer::ArchiveEnd { entry } => format!(
                "It is the head of the archive, entry {}, and this book goes on behind it.",
                grouped(*entry)
            ),
            HeadAnswer::InArchive { first } => format!(
                "This book cannot tell: it begins at entry {}, and the entries before it are in the archive.",
                grouped(*first)
            ),
            HeadAnswer::OtherBook { named } => {
                format!("{no}: the head is of another book, {named}.")
            }
        }
    }

    /// What the answer means, and what to do.
    pub fn means(&self) -> String {
        match self {
            HeadAnswer::Contained { after: 0, .. } => {
                "It is the head of the book now. Every line is as it was when the head left.".into()
            }
            HeadAnswer::Contained { after, .. } => format!(
                "Every line up to there is as it was when the head left; {} written after it. Nothing needs doing.",
                match after {
                    1 => "1 entry was".to_owned(),
                    after => format!("{} entries were", grouped(*after)),
                }
            ),
            HeadAnswer::TooShort { .. } => "Entries at the end are missing: an older copy of the book was put back. Or the head is of another book. Record nothing more, save this book as it is, and look for the copy that was saved last.".into(),
            HeadAnswer::Differs { .. } | HeadAnswer::Nowhere => "Lines were changed and the book written anew after the head left, or the head is of another book. Make sure which bench it came from. If it is of this one, record nothing more, save this book as it is, and lay it together with an earlier copy (cullbook-audit compare).".into(),
            HeadAnswer::ArchiveEnd { .. } => "The archive must have this head too, and then nothing needs doing.".into(),
            HeadAnswer::InArchive { .. } => "Hold the head against the archive: cullbook-audit head ARCHIVE CODE, or bring the archive in on another machine.".into(),
            HeadAnswer::OtherBook { .. } => "It says nothing about this book. Take it to the bench that keeps that one.".into(),
        }
    }
}
