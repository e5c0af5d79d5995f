//! The first home's lines on their way into a book: slice by slice, so that the page draws and
//! answers in between.

use std::rc::Rc;

use crate::book::{Book, BookError};

use super::super::ports::{Part, Stored};
use super::compare::Check;

/// Bytes of lines taken in at one go, far below a fifth of a second.
const SLICE: usize = 1 << 19;
/// The same where the signatures are checked as well, each of which takes as long as many bytes.
const CHECKED_SLICE: usize = 1 << 14;

/// A head start: what the lines that came so far make, read while the rest is on its way.
#[derive(Debug, Default)]
pub struct Ahead {
    book: Book,
    of: u64,
}

impl Ahead {
    /// Reads the next lines. What does not follow, or does not hold, is left to [`Reading`], which
    /// says so.
    pub fn take(&mut self, part: &Part) {
        if part.before == 0 {
            *self = Self::default();
        }
        self.of = part.of;
        if self.book.texts().len() as u64 != part.before {
            return;
        }
        let mut lines = part.lines.iter();
        if lines.any(|text| self.book.push_ahead(text).is_err()) {
            self.book = Book::default();
        }
    }

    /// Lines read so far and all that are stored, once any have come.
    pub fn progress(&self) -> Option<(u64, u64)> {
        (self.of > 0).then(|| (self.book.texts().len() as u64, self.of))
    }
}

/// What is stored of a space, and how far its first home has been read.
#[derive(Debug)]
pub struct Reading {
    pub stored: Stored,
    check: Check,
    book: Result<Book, BookError>,
    taken: usize,
}

impl Reading {
    pub fn new(stored: Stored, check: Check) -> Self {
        Self {
            stored,
            check,
            book: Ok(Book::default()),
            taken: 0,
        }
    }

    /// The same with a head start, if it was made of these very lines. Signatures are checked later.
    pub fn after(ahead: Ahead, stored: Stored) -> Self {
        let mut reading = Self::new(stored, Check::Later);
        let lines = reading.stored.lines.as_deref().unwrap_or_default();
        let read = ahead.book.texts();
        let same = |(text, line): (&Rc<str>, &String)| **text == **line;
        if read.len() <= lines.len() && read.iter().zip(lines).all(same) {
            reading.taken = read.len();
            reading.book = Ok(ahead.book);
        }
        reading
    }

    /// Takes in the next lines. Back comes whether that was all, or one of them did not hold.
    pub fn go_on(&mut self) -> bool {
        let lines = self.stored.lines.as_deref().unwrap_or_default();
        let mut left = match self.check {
            Check::Now => CHECKED_SLICE,
            Check::Later => SLICE,
        };
        while let (Ok(book), Some(text)) = (&mut self.book, lines.get(self.taken)) {
            if left == 0 {
                return false;
            }
            left = left.saturating_sub(text.len());
            let taken = match self.check {
                Check::Now => book.push_text(text),
                Check::Later => book.push_ahead(text),
            };
            match taken {
                Ok(()) => self.taken += 1,
                Err(why) => self.book = Err(why),
            }
        }
        true
    }

    /// Lines read so far, and all that are stored.
    pub fn progress(&self) -> Option<(u64, u64)> {
        let all = self.stored.lines.as_ref().map_or(0, Vec::len);
        Some((self.taken as u64, all as u64))
    }

    /// What was stored, and the book that its lines make.
    pub fn into_parts(self) -> (Stored, Result<Book, BookError>) {
        (self.stored, self.book)
    }
}
