//! The day record as tables, and as a set of CSV files with a page that says what each column
//! means.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use crate::book::Hash;
use crate::people::Day;

use super::csv_text::{Cell, push_row};
use super::day_record::DayRecord;
use super::readme::readme;
use super::table_mass;
use super::table_rows as rows;
use super::zip::{Stored, zip};
use super::{table_alike, table_cage, table_press};

/// Text of the program, or of a message that carried it.
pub type Word = Cow<'static, str>;

/// Every table of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayTables {
    /// The first 12 digits of the head of the book, which begin every row.
    pub head: String,
    /// The production day, which comes next.
    pub day: String,
    pub tables: Vec<DayTable>,
}

/// One table: what it holds, and its rows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DayTable {
    pub name: Word,
    /// What one row is.
    pub about: Word,
    /// Each column with its meaning.
    pub columns: Vec<(Word, Word)>,
    /// Each as long as `columns`.
    pub rows: Vec<Row>,
}

pub type Row = Vec<Value>;

/// A value of a cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Value {
    Text(Word),
    Whole(i64),
    /// The head of the set.
    Head,
    /// The day of the set.
    Day,
    Nothing,
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Value::Text(text.to_owned().into())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Value::Text(text.into())
    }
}

impl From<u64> for Value {
    /// Counts and milligrams of things that were handled fit an i64 many times over.
    fn from(count: u64) -> Self {
        Value::Whole(count as i64)
    }
}

/// Anything with a text, or nothing.
pub(super) fn maybe(value: Option<impl ToString>) -> Value {
    value.map_or(Value::Nothing, |value| value.to_string().into())
}

pub(super) fn maybe_count(value: Option<u64>) -> Value {
    value.map_or(Value::Nothing, Value::from)
}

/// Several texts in one cell, a space between them: none of them has one itself.
pub(super) fn listed(values: &[impl ToString]) -> Value {
    let texts: Vec<_> = values.iter().map(ToString::to_string).collect();
    texts.join(" ").into()
}

pub(super) const HEAD: (&str, &str) = (
    "head",
    "the first 12 digits of the head of the book this is a record of",
);
pub(super) const DAY: (&str, &str) = ("day", "the production day, YYYY-MM-DD");

/// The two cells that begin every row.
pub(super) fn head(_: &DayRecord) -> Value {
    Value::Head
}

pub(super) fn day(_: &DayRecord) -> Value {
    Value::Day
}

/// Lays out one table.
pub(super) fn table<const N: usize>(
    name: &'static str,
    about: &'static str,
    columns: [(&'static str, &'static str); N],
    rows: impl IntoIterator<Item = [Value; N]>,
) -> DayTable {
    let columns = columns.map(|(name, meaning)| (name.into(), meaning.into()));
    DayTable {
        name: name.into(),
        about: about.into(),
        columns: columns.into(),
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

impl DayTables {
    /// Every table of a day.
    pub fn of(record: &DayRecord) -> Self {
        Self {
            head: first_12(&record.head),
            day: record.day.to_string(),
            tables: vec![
                rows::day(record),
                table_press::remarks(record),
                rows::examined(record),
                table_press::compared(record),
                rows::tags(record),
                table_press::charts(record),
                table_press::findings(record),
                table_alike::classes(record),
                table_alike::measured(record),
                table_alike::samples(record),
                rows::sheets(record),
                table_press::corrections(record),
                rows::replacements(record),
                table_press::series(record),
                table_cage::containers(record),
                table_cage::spoils(record),
                table_cage::sessions(record),
                table_mass::weighings(record),
                table_mass::residue(record),
                rows::balance(record),
            ],
        }
    }

    /// Rows of all tables together, their headers left out.
    pub fn rows(&self) -> usize {
        self.tables.iter().map(|table| table.rows.len()).sum()
    }

    /// A table as CSV (RFC 4180) with a header.
    pub fn csv(&self, table: &DayTable) -> String {
        let mut text = String::new();
        let names = table.columns.iter();
        push_row(&mut text, names.map(|(name, _)| Cell::Text(name)));
        for row in &table.rows {
            push_row(&mut text, row.iter().map(|value| self.cell(value)));
        }
        text
    }

    fn cell<'a>(&'a self, value: &'a Value) -> Cell<'a> {
        match value {
            Value::Text(text) => Cell::Text(text),
            Value::Whole(number) => Cell::Integer(*number),
            Value::Head => Cell::Text(&self.head),
            Value::Day => Cell::Text(&self.day),
            Value::Nothing => Cell::Text(""),
        }
    }
}

/// The day as one ZIP of CSV tables and `README.txt`. The same book gives the same bytes.
pub fn day_zip(record: &DayRecord) -> Vec<u8> {
    let set = DayTables::of(record);
    let readme = Stored {
        name: "README.txt".to_owned(),
        bytes: readme(record, &set).into_bytes(),
    };
    let stem = stem(&record.bench, record.day);
    let tables = set.tables.iter().map(|table| Stored {
        name: format!("{stem}_{}.csv", table.name),
        bytes: set.csv(table).into_bytes(),
    });
    zip(&std::iter::once(readme).chain(tables).collect::<Vec<_>>())
}

/// What file names of a bench and a day begin with: `B1_2026-11-25`.
pub fn stem(bench: &str, day: Day) -> String {
    format!("{bench}_{day}")
}

/// The first 12 digits of a hash.
pub(super) fn first_12(hash: &Hash) -> String {
    hash.to_string().chars().take(12).collect()
}
