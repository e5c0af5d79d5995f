//! The reader of a machine-inspection file: one row for each defect that the machine saw.
//!
//! CSV in UTF-8, a byte order mark allowed, first line `lot,sheet,side,position,class,remark` in
//! any order. A file that is wrong as a whole is refused as a whole; a wrong row is refused alone,
//! with its line, its column, its value and a reason. Each row is either accepted or refused.

mod error;
mod header;
mod line;
mod row;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::inspect::{Catalogue, ClassCode, Spot, Tag};
use crate::sheet::{Layout, LotId, SheetNo, Side};

use super::{Cell, Table};
use header::Header;
use line::{Lines, shortened};
use row::{Fault, VALUE_SHOWN, fields_of, resolve};

pub use error::{MachineFileError, QuoteFault, RefusedRow, RowRefusal};
pub use header::Column;

/// The largest file taken, in bytes.
pub const MAX_BYTES: usize = 40_000_000;
/// The most rows taken, without the first line and blank lines.
pub const MAX_ROWS: usize = 200_000;

/// The lot that the file must be about.
#[derive(Clone, Copy)]
pub struct MachineContext<'a> {
    pub lot: LotId,
    /// Sheets of the lot; the file may name 1 to this.
    pub sheets: u32,
    pub layout: &'a Layout,
    pub catalogue: &'a Catalogue,
    /// Whether a sheet was examined before; the machine may say nothing new about it.
    pub examined: &'a dyn Fn(SheetNo) -> bool,
}

/// What a file gave: `accepted.len() + refused.len() == rows`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MachineReport {
    /// By sheet, then by position.
    pub accepted: Vec<(SheetNo, Tag)>,
    /// In the order of the file.
    pub refused: Vec<RefusedRow>,
    /// Rows of the file, without the first line and blank lines.
    pub rows: usize,
}

/// How far a reader has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Rows read.
    pub done: usize,
    /// Rows of the file.
    pub rows: usize,
}

impl Progress {
    pub fn is_done(self) -> bool {
        self.done == self.rows
    }
}

/// Reads a file in steps, so that a page stays alive meanwhile.
pub struct MachineReader<'a> {
    context: MachineContext<'a>,
    header: Header,
    lines: Lines<'a>,
    fields: Vec<Cow<'a, str>>,
    /// The line in which each defect was first named.
    first_lines: HashMap<(SheetNo, Spot, Side, ClassCode), u32>,
    progress: Progress,
    accepted: Vec<(SheetNo, Tag)>,
    refused: Vec<RefusedRow>,
}

impl<'a> MachineReader<'a> {
    /// Checks the file as a whole and its first line.
    ///
    /// # Errors
    /// Whatever makes the whole file useless; once this succeeds, only rows can be refused.
    pub fn new(bytes: &'a [u8], context: MachineContext<'a>) -> Result<Self, MachineFileError> {
        let mut lines = Lines::new(text_of(bytes)?);
        let (_, first) = lines.next().ok_or(MachineFileError::Empty)?;
        let header = Header::read(first)?;
        let rows = lines.clone().count();
        if rows > MAX_ROWS {
            return Err(MachineFileError::TooManyRows { rows });
        }
        Ok(Self {
            context,
            header,
            lines,
            fields: Vec::new(),
            // Grown once: growing under way would stop the page for a moment.
            first_lines: HashMap::with_capacity(rows),
            progress: Progress { done: 0, rows },
            accepted: Vec::new(),
            refused: Vec::new(),
        })
    }

    /// Reads at most this many rows more.
    pub fn step(&mut self, rows: usize) -> Progress {
        for _ in 0..rows {
            let Some((line, text)) = self.lines.next() else {
                break;
            };
            match self.take_row(line, text) {
                Ok(found) => self.accepted.push(found),
                Err(fault) => self.refuse(line, text, fault),
            }
            self.progress.done += 1;
        }
        self.progress
    }

    /// Reads what is left and gives the report.
    pub fn finish(mut self) -> MachineReport {
        self.step(self.progress.rows);
        self.accepted.sort_unstable();
        MachineReport {
            accepted: self.accepted,
            refused: self.refused,
            rows: self.progress.rows,
        }
    }

    fn take_row(&mut self, line: u32, text: &'a str) -> Result<(SheetNo, Tag), Fault> {
        fields_of(text, &mut self.fields)?;
        let (sheet, tag) = resolve(&self.header, &self.fields, &self.context)?;
        match self
            .first_lines
            .entry((sheet, tag.spot, tag.side, tag.class))
        {
            Entry::Occupied(first) => Err((None, RowRefusal::Duplicate { line: *first.get() })),
            Entry::Vacant(entry) => {
                entry.insert(line);
                Ok((sheet, tag))
            }
        }
    }

    /// `take_row` has just split this row, so `fields` still holds it where a column is at fault.
    fn refuse(&mut self, line: u32, text: &str, (column, reason): Fault) {
        let field = column.map(|column| self.header.field(&self.fields, column));
        let value = shortened(field.unwrap_or_default(), VALUE_SHOWN);
        self.refused.push(RefusedRow {
            line,
            column,
            value,
            reason,
            row: text.to_owned(),
        });
    }
}

/// Reads a machine file in one go.
///
/// # Errors
/// A file that is wrong as a whole: not text, too large, a wrong first line.
pub fn read_machine_file(
    bytes: &[u8],
    expected: &MachineContext<'_>,
) -> Result<MachineReport, MachineFileError> {
    Ok(MachineReader::new(bytes, *expected)?.finish())
}

/// The refused rows as CSV: line, column, value, reason and the row as it was.
pub fn refusals_csv(report: &MachineReport) -> String {
    let mut table = Table::new(["line", "column", "value", "reason", "row"]);
    for refused in &report.refused {
        table.push([
            Cell::Integer(refused.line.into()),
            Cell::Text(refused.column.map_or("", Column::name)),
            Cell::Text(&refused.value),
            Cell::Text(&refused.reason.to_string()),
            Cell::Text(&refused.row),
        ]);
    }
    table.into_text()
}

fn text_of(bytes: &[u8]) -> Result<&str, MachineFileError> {
    if bytes.len() > MAX_BYTES {
        return Err(MachineFileError::TooLarge { bytes: bytes.len() });
    }
    // Plain letters in UTF-16 have a zero in every second byte, with or without its mark.
    if let [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] | [1..=0xFF, 0, ..] | [0, 1..=0xFF, ..] = bytes {
        return Err(MachineFileError::Utf16);
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let good = &bytes[..error.valid_up_to()];
        let breaks = good.iter().filter(|&&byte| byte == b'\n').count();
        MachineFileError::NotUtf8 {
            byte: good.len() + 1,
            line: breaks + 1,
        }
    })?;
    Ok(text.strip_prefix('\u{FEFF}').unwrap_or(text))
}
