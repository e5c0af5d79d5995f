//! Books of other benches on the desk: held until the page is closed, only read, and never near
//! the store or the own book.

use crate::book::{BookError, Guest, Guests, Taken};

use super::core::Desk;

/// Files of which the outcome is told.
const TOLD: usize = 64;

/// The other benches' books, and what became of each file.
#[derive(Clone, Debug, Default)]
pub struct Visit {
    pub guests: Guests,
    /// The last file first.
    pub files: Vec<BroughtIn>,
}

/// A file that was brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtIn {
    pub file: String,
    /// How its book was taken, or why it does not count.
    pub outcome: Result<Taken, String>,
}

/// Why a file could not be read as a book.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotRead {
    #[error("{why} It does not hold, so nothing of it counts. Take another copy from its bench.")]
    DoesNotHold { why: BookError },
    #[error(
        "It is no book: {why} Choose a file that a bench saved with \"Save the book\" (.jsonl)."
    )]
    NotABook { why: BookError },
    #[error(
        "It has {megabytes} MB; this page reads books of up to {most} MB. Lay it beside the others with cullbook-audit merge."
    )]
    TooLarge { megabytes: u64, most: u64 },
    #[error("It could not be read ({0}). Choose it again.")]
    Unreadable(String),
    #[error("Stopped before it was verified. Bring it in again.")]
    Stopped,
}

impl From<BookError> for NotRead {
    /// What fails at the very first line is some other file.
    fn from(why: BookError) -> Self {
        match why {
            BookError::Line { line: 0, .. }
            | BookError::NotText { line: 0 }
            | BookError::NoLineEnd { line: 0 }
            | BookError::Empty => Self::NotABook { why },
            why => Self::DoesNotHold { why },
        }
    }
}

impl Desk {
    /// A file was read: its book is held beside the own one, or it is told why not.
    pub(super) fn bring_guest(&mut self, file: String, read: Result<Guest, NotRead>) {
        let outcome = read.map_err(|why| why.to_string());
        let outcome = outcome.and_then(|guest| {
            let taken = self.visit.guests.take(&self.book, guest);
            taken.map_err(|why| why.to_string())
        });
        self.visit.files.insert(0, BroughtIn { file, outcome });
        self.visit.files.truncate(TOLD);
    }
}
