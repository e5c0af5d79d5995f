//! What is wrong with a machine file as a whole, and what is wrong with one row of it.

use crate::inspect::{ClassCodeError, TagError};
use crate::sheet::{LotId, SheetNo, grouped};

use super::header::{Column, ColumnList};
use super::line::LINE_MAX;
use super::{MAX_BYTES, MAX_ROWS};

/// Why nothing of a file was taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MachineFileError {
    #[error("The file is empty. Save the machine's report again.")]
    Empty,
    #[error(
        "The file has {} bytes; at most {} are taken. Split it by sheets and take in each part.",
        grouped(*.bytes as u64), grouped(MAX_BYTES as u64)
    )]
    TooLarge { bytes: usize },
    #[error(
        "The file has {} rows; at most {} are taken. Split it by sheets and take in each part.",
        grouped(*.rows as u64), grouped(MAX_ROWS as u64)
    )]
    TooManyRows { rows: usize },
    #[error("The file is written in UTF-16. Save it again as \"CSV UTF-8\".")]
    Utf16,
    /// Both counted from 1.
    #[error(
        "The file is not UTF-8 text: byte {} (line {}) belongs to no letter. Save it again as \"CSV UTF-8\".",
        grouped(*.byte as u64), grouped(*.line as u64)
    )]
    NotUtf8 { byte: usize, line: usize },
    #[error(
        "The first line is split by {found}: \"{line}\". Save the file with commas between the fields."
    )]
    Separator { found: &'static str, line: String },
    #[error("The first line has a quote out of place: \"{line}\". {fault}")]
    HeaderQuotes { line: String, fault: QuoteFault },
    #[error(
        "The first line has {} bytes, too many for the names of 6 columns. The columns are {ColumnList}, in any order.",
        grouped(*.bytes as u64)
    )]
    HeaderTooLong { bytes: usize },
    #[error(
        "The first line names a column \"{column}\" that is not known: \"{line}\". The columns are {ColumnList}, in any order."
    )]
    UnknownColumn { column: String, line: String },
    #[error(
        "The first line names the column {column} twice: \"{line}\". The columns are {ColumnList}, in any order."
    )]
    ColumnTwice { column: Column, line: String },
    #[error(
        "The first line lacks the column {column}: \"{line}\". The columns are {ColumnList}, in any order."
    )]
    MissingColumn { column: Column, line: String },
}

/// How the quotes of a line are broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum QuoteFault {
    #[error(
        "A quoted field is not closed on its line. Close it, and put no line break inside a field."
    )]
    NotClosed,
    #[error(
        "Something follows a closing quote. Put the whole field in quotes and double each quote inside it."
    )]
    TextAfter,
    #[error(
        "A quote stands inside a field that is not quoted. Put the whole field in quotes and double each quote inside it."
    )]
    Inside,
}

/// Why one row was not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RowRefusal {
    #[error(transparent)]
    Quotes(#[from] QuoteFault),
    #[error(
        "The row has {} bytes; at most {} are read. Shorten it, or look for a line break that is missing.",
        grouped(*.bytes as u64), grouped(LINE_MAX as u64)
    )]
    TooLong { bytes: usize },
    #[error(
        "The row has {found} fields instead of 6. Write every field, empty where there is nothing to say, and put one that holds a comma in quotes."
    )]
    FieldCount { found: usize },
    #[error("The row is not about lot {expected}. Take it in with its own lot.")]
    OtherLot { expected: LotId },
    #[error("The sheet is not a whole number. Write it in figures, from 1.")]
    SheetNotANumber,
    #[error("The sheet is outside the lot. Give 1 to {}.", grouped((*.sheets).into()))]
    SheetOutsideLot { sheets: u32 },
    #[error("Sheet {} is already examined. Correct it in the book, with a reason.", grouped(.sheet.number().into()))]
    AlreadyExamined { sheet: SheetNo },
    #[error("The side is neither front nor back. Write front or back, f or b.")]
    Side,
    #[error(transparent)]
    ClassCode(#[from] ClassCodeError),
    /// The class and the position do not exist or do not go together, or the remark is too long.
    #[error(transparent)]
    Tag(#[from] TagError),
    #[error("The remark holds the control character {found:?}. Leave it out.")]
    RemarkControl { found: char },
    #[error(
        "The same defect of the same place stands in line {line} already. Keep one of the two rows."
    )]
    Duplicate { line: u32 },
}

/// A row that was not taken, and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedRow {
    /// Line of the file, counted from 1 with the header.
    pub line: u32,
    /// The column at fault; `None` when it is the row as a whole.
    pub column: Option<Column>,
    /// What stands there, shortened; empty when it is the row as a whole.
    pub value: String,
    pub reason: RowRefusal,
    /// The whole row as it stands in the file.
    pub row: String,
}
