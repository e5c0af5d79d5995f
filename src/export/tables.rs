//! The day record as a set of CSV tables, with a page that says what each column means.

use crate::book::Hash;
use crate::people::Day;

use super::csv_text::{Cell, Table};
use super::day_record::DayRecord;
use super::table_cage;
use super::table_mass;
use super::table_rows as rows;
use super::zip::{Stored, zip};

/// One table: its CSV text and what it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayTable {
    /// What the table is called in its file name.
    pub name: &'static str,
    /// What one row is.
    pub about: &'static str,
    /// Each column with its meaning and unit.
    pub columns: Vec<(&'static str, &'static str)>,
    /// RFC 4180, with a header.
    pub csv: String,
}

/// A value of a cell.
pub(super) enum Value {
    Text(String),
    Whole(i64),
    Nothing,
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Value::Text(text.to_owned())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Value::Text(text)
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
    value.map_or(Value::Nothing, |value| Value::Text(value.to_string()))
}

pub(super) fn maybe_count(value: Option<u64>) -> Value {
    value.map_or(Value::Nothing, Value::from)
}

/// Several texts in one cell, a space between them: none of them has one itself.
pub(super) fn listed(values: &[impl ToString]) -> Value {
    let texts: Vec<_> = values.iter().map(ToString::to_string).collect();
    Value::Text(texts.join(" "))
}

pub(super) const HEAD: (&str, &str) = (
    "head",
    "the first 12 digits of the head of the book this is a record of",
);
pub(super) const DAY: (&str, &str) = ("day", "the production day, YYYY-MM-DD");

/// The two cells that begin every row.
pub(super) fn head(record: &DayRecord) -> Value {
    Value::Text(first_12(&record.head))
}

pub(super) fn day(record: &DayRecord) -> Value {
    Value::Text(record.day.to_string())
}

/// Writes one table.
pub(super) fn table<const N: usize>(
    name: &'static str,
    about: &'static str,
    columns: [(&'static str, &'static str); N],
    rows: impl IntoIterator<Item = [Value; N]>,
) -> DayTable {
    let mut csv = Table::new(columns.map(|(name, _)| name));
    for row in rows {
        csv.push(std::array::from_fn(|column| match &row[column] {
            Value::Text(text) => Cell::Text(text),
            Value::Whole(number) => Cell::Integer(*number),
            Value::Nothing => Cell::Text(""),
        }));
    }
    DayTable {
        name,
        about,
        columns: columns.to_vec(),
        csv: csv.into_text(),
    }
}

/// Every table of a day.
pub fn day_tables(record: &DayRecord) -> Vec<DayTable> {
    vec![
        rows::day(record),
        rows::examined(record),
        rows::tags(record),
        rows::sheets(record),
        rows::replacements(record),
        table_cage::containers(record),
        table_cage::spoils(record),
        table_cage::sessions(record),
        table_mass::weighings(record),
        table_mass::residue(record),
        rows::balance(record),
    ]
}

/// The day as one ZIP of CSV tables and `README.txt`. The same book gives the same bytes.
pub fn day_zip(record: &DayRecord) -> Vec<u8> {
    let tables = day_tables(record);
    let readme = Stored {
        name: "README.txt".to_owned(),
        bytes: readme(record, &tables).into_bytes(),
    };
    let name = |table: &str| format!("{}_{table}.csv", stem(&record.bench, record.day));
    let tables = tables.into_iter().map(|table| Stored {
        name: name(table.name),
        bytes: table.csv.into_bytes(),
    });
    zip(&std::iter::once(readme).chain(tables).collect::<Vec<_>>())
}

/// What file names of a bench and a day begin with: `B1_2026-11-25`.
pub fn stem(bench: &str, day: Day) -> String {
    format!("{bench}_{day}")
}

/// The first 12 digits of a hash.
fn first_12(hash: &Hash) -> String {
    hash.to_string().chars().take(12).collect()
}

/// What the set holds, for whoever opens it years from now.
fn readme(record: &DayRecord, tables: &[DayTable]) -> String {
    let mut text = format!(
        "Record of production day {} of bench {}, {}.\r\n\
         {}\
         Head of the book: {}\r\n\
         Entries in the book: {}\r\n\r\n\
         What was done is counted to the day. Places, balances and what is carried over are as the\r\n\
         book stands at this head. Shares are in parts per million (12345 is 1.2345 %). Times are as\r\n\
         recorded, with their offset. Tables are CSV (RFC 4180) in UTF-8; an apostrophe before a text\r\n\
         keeps a spreadsheet from changing it and is no part of it. An empty cell means nothing.\r\n",
        record.day,
        record.bench,
        record.works,
        if record.practice {
            "PRACTICE: everything in it is invented.\r\n"
        } else {
            ""
        },
        record.head,
        record.book_entries,
    );
    for table in tables {
        text += &format!("\r\n{}: {}\r\n", table.name, table.about);
        for (column, meaning) in &table.columns {
            text += &format!("  {column}: {meaning}\r\n");
        }
    }
    text
}
