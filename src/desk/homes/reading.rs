//! The first home's lines on their way into a book: slice by slice, so that the page draws and
//! answers in between.

use crate::book::{Book, BookError};

use super::super::ports::Stored;
use super::compare::Check;

/// Bytes of lines taken in at one go, far below a fifth of a second.
const SLICE: usize = 1 << 19;
/// The same where the signatures are checked as well, each of which takes as long as many bytes.
const CHECKED_SLICE: usize = 1 << 14;

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
    pub fn progress(&self) -> (u64, u64) {
        let all = self.stored.lines.as_ref().map_or(0, Vec::len);
        (self.taken as u64, all as u64)
    }

    /// What was stored, and the book that its lines make.
    pub fn into_parts(self) -> (Stored, Result<Book, BookError>) {
        (self.stored, self.book)
    }
}
