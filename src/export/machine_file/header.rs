//! The first line of a machine file: which column stands where.

use std::borrow::Cow;
use std::fmt;

use super::error::MachineFileError;
use super::line::{LINE_MAX, shortened, split};

/// A column of a machine file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    Lot,
    Sheet,
    Side,
    Position,
    Class,
    Remark,
}

impl Column {
    pub const ALL: [Column; 6] = [
        Column::Lot,
        Column::Sheet,
        Column::Side,
        Column::Position,
        Column::Class,
        Column::Remark,
    ];

    /// The name in the first line.
    pub fn name(self) -> &'static str {
        match self {
            Column::Lot => "lot",
            Column::Sheet => "sheet",
            Column::Side => "side",
            Column::Position => "position",
            Column::Class => "class",
            Column::Remark => "remark",
        }
    }
}

impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// All column names, for messages.
pub(super) struct ColumnList;

impl fmt::Display for ColumnList {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&Column::ALL.map(Column::name).join(", "))
    }
}

/// Where each column stands in a row; every column stands once.
#[derive(Debug, Clone, Copy)]
pub(super) struct Header {
    /// By column, in the order of [`Column::ALL`].
    places: [usize; Column::ALL.len()],
}

const LINE_SHOWN: usize = 120;

impl Header {
    pub fn read(line: &str) -> Result<Self, MachineFileError> {
        if line.len() > LINE_MAX {
            return Err(MachineFileError::HeaderTooLong { bytes: line.len() });
        }
        let shown = || shortened(line, LINE_SHOWN);
        if let Some(found) = other_separator(line) {
            return Err(MachineFileError::Separator {
                found,
                line: shown(),
            });
        }
        let mut names = Vec::new();
        split(line, &mut names).map_err(|fault| MachineFileError::HeaderQuotes {
            line: shown(),
            fault,
        })?;
        if let Some(name) = names.iter().find(|name| column_of(name).is_none()) {
            let column = shortened(name, LINE_SHOWN);
            return Err(MachineFileError::UnknownColumn {
                column,
                line: shown(),
            });
        }
        let mut places = [0; Column::ALL.len()];
        for column in Column::ALL {
            places[column as usize] = only_place(column, &names, shown)?;
        }
        Ok(Self { places })
    }

    /// The field of a column, without spaces around it. `fields` has one for each column.
    pub fn field<'f>(&self, fields: &'f [Cow<'_, str>], column: Column) -> &'f str {
        fields[self.places[column as usize]].trim()
    }
}

fn column_of(name: &str) -> Option<Column> {
    let name = name.trim();
    Column::ALL
        .into_iter()
        .find(|column| column.name().eq_ignore_ascii_case(name))
}

fn only_place(
    column: Column,
    names: &[Cow<'_, str>],
    shown: impl Fn() -> String,
) -> Result<usize, MachineFileError> {
    let mut places = (0..names.len()).filter(|&place| column_of(&names[place]) == Some(column));
    match (places.next(), places.next()) {
        (Some(place), None) => Ok(place),
        (None, _) => Err(MachineFileError::MissingColumn {
            column,
            line: shown(),
        }),
        (Some(_), Some(_)) => Err(MachineFileError::ColumnTwice {
            column,
            line: shown(),
        }),
    }
}

/// Spreadsheets of some countries write semicolons or tabs and call it CSV.
fn other_separator(line: &str) -> Option<&'static str> {
    match (line.contains(','), line.contains(';'), line.contains('\t')) {
        (false, true, _) => Some("semicolons"),
        (false, false, true) => Some("tabs"),
        _ => None,
    }
}
