//! What can contradict between two books.

use std::fmt;

use serde::Serialize;

use crate::custody::{ContainerId, SealNumber};
use crate::sheet::{LotId, Replacement, Serial, SeriesId, SheetNo};

use super::BookName;

/// An entry of a book.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Where {
    pub book: BookName,
    pub entry: u64,
}

impl fmt::Display for Where {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "entry {} of {}", self.entry, self.book)
    }
}

/// Two books contradict each other. The gravest come first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, thiserror::Error)]
#[serde(tag = "conflict", rename_all = "snake_case")]
pub enum Conflict {
    #[error(
        "ALARM: the book of {first} and the book of {second} are the same book up to entry {entry}, where they differ. One of the two was replaced or rolled back. Keep both, and compare them with the heads on prints and certificates."
    )]
    Forked {
        /// The first entry that is not the same in both.
        entry: u64,
        first: BookName,
        second: BookName,
    },
    #[error(
        "ALARM: the book of {first} and the book of {second} are the same book, but had parted before entry {entry}, where the second begins. One of the two was replaced or rolled back. Keep both, and compare them with the archive and with the heads on prints and certificates."
    )]
    ForkedInArchive {
        entry: u64,
        first: BookName,
        second: BookName,
    },
    #[error(
        "The book of {first} ends before the book of {second} begins: its entries before entry {entry} are in an archive. Lay that archive with it, or nobody can tell whether the two belong together."
    )]
    ArchiveMissing {
        /// The first entry of the second book.
        entry: u64,
        first: BookName,
        second: BookName,
    },
    #[error("The practice book of {book} is among real books. Leave it out.")]
    PracticeAmongReal { book: BookName },
    #[error(
        "The book of {first} is of \"{first_works}\", the book of {second} of \"{second_works}\". Lay only books of one works together."
    )]
    OtherWorks {
        first: BookName,
        first_works: String,
        second: BookName,
        second_works: String,
    },
    #[error(
        "Lot {lot} has another {what} in {first} than in {second}. Find out which is right before either is used."
    )]
    LotDiffers {
        lot: LotId,
        what: &'static str,
        first: Where,
        second: Where,
    },
    #[error(
        "Lot {lot} is in the book of {first} and in that of {second}, of which one has it in its archive. Lay the archive with it to see whether both ruled the same sheets."
    )]
    LotInArchive {
        lot: LotId,
        first: BookName,
        second: BookName,
    },
    #[error(
        "Replacement series {series} is defined in two ways, by the book of {first} and by the book of {second}. Find out which is right before more is drawn."
    )]
    SeriesDiffers {
        series: SeriesId,
        first: BookName,
        second: BookName,
    },
    #[error(
        "Serials {from} to {to} are used by {first_use} in the book of {first} and by {second_use} in the book of {second}. Find out which notes carry them."
    )]
    SerialsTwice {
        from: String,
        to: String,
        first: BookName,
        first_use: String,
        second: BookName,
        second_use: String,
    },
    #[error(
        "{} of lot {lot} ruled twice: {first}, and {second}. Look at them again; one of the two rulings is to be explained.", sheets(*.from, *.to)
    )]
    SheetsRuledTwice {
        lot: LotId,
        from: SheetNo,
        to: SheetNo,
        /// Where the first of the sheets was ruled.
        first: Where,
        second: Where,
    },
    #[error(
        "{} of series {series} drawn twice: {first}, and {second}. Find where each note went.", notes(.from, .to)
    )]
    ReplacementsDrawnTwice {
        series: SeriesId,
        from: Serial<Replacement>,
        to: Serial<Replacement>,
        /// Where the first of the notes was drawn.
        first: Where,
        second: Where,
    },
    #[error(
        "Seal {seal} is on container {first_container} in the book of {first} and on container {second_container} in the book of {second}. A seal number is used once: look at both containers."
    )]
    SealTwice {
        seal: SealNumber,
        first: BookName,
        first_container: ContainerId,
        second: BookName,
        second_container: ContainerId,
    },
}

impl Conflict {
    /// The books that contradict each other, with the entry where there is one.
    pub fn sides(&self) -> (String, Option<String>) {
        match self {
            Self::PracticeAmongReal { book } => (book.to_string(), None),
            Self::LotDiffers { first, second, .. }
            | Self::SheetsRuledTwice { first, second, .. }
            | Self::ReplacementsDrawnTwice { first, second, .. } => {
                (first.to_string(), Some(second.to_string()))
            }
            Self::Forked { first, second, .. }
            | Self::ForkedInArchive { first, second, .. }
            | Self::ArchiveMissing { first, second, .. }
            | Self::OtherWorks { first, second, .. }
            | Self::LotInArchive { first, second, .. }
            | Self::SeriesDiffers { first, second, .. }
            | Self::SerialsTwice { first, second, .. }
            | Self::SealTwice { first, second, .. } => {
                (first.to_string(), Some(second.to_string()))
            }
        }
    }
}

fn sheets(from: SheetNo, to: SheetNo) -> String {
    match from == to {
        true => format!("Sheet {from}"),
        false => format!("Sheets {from} to {to}"),
    }
}

fn notes(from: &Serial<Replacement>, to: &Serial<Replacement>) -> String {
    match from == to {
        true => format!("Replacement note {from}"),
        false => format!("Replacement notes {from} to {to}"),
    }
}
