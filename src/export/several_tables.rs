//! The day of several benches as a set of files: the same tables as a day record, each row with its
//! bench, behind the sums of all of them; and the sums as JSON.

use serde::Serialize;

use crate::account::Carried;
use crate::book::{BookName, Conflict};
use crate::people::Day;

use super::day_record::{Acts, Closed, DayRecord, ExaminedRow};
use super::day_tags::TagRow;
use super::readme::columns;
use super::several_day::{SeveralDay, Together};
use super::table_rows as rows;
use super::tables::{
    DAY, DayTable, DayTables, HEAD, Row, Value, first_12, maybe, maybe_count, table,
};
use super::zip::{Stored, zip};

const BENCH: (&str, &str) = (
    "bench",
    "the bench whose book says it; empty for all together",
);

/// The JSON says of itself what it is.
pub const SEVERAL_FORMAT: &str = "cullbook day of several benches v1";

/// What file names of a day of several benches begin with: `several-benches_2026-11-25`.
pub fn several_stem(day: Day) -> String {
    format!("several-benches_{day}")
}

/// Every table: the books, the lots, the conflicts, then those of a day record.
pub fn several_tables(several: &SeveralDay) -> DayTables {
    let mut tables = vec![books(several), lots(several), conflicts(several)];
    let each = several.benches.iter();
    let mut sets: Vec<_> = each
        .map(|(_, record)| (record, DayTables::of(record).tables.into_iter()))
        .collect();
    loop {
        let next = sets
            .iter_mut()
            .filter_map(|(record, set)| Some((*record, set.next()?)));
        match joined(several, next) {
            Some(joined) => tables.push(joined),
            None => break,
        }
    }
    DayTables {
        head: String::new(),
        day: several.day.to_string(),
        tables,
    }
}

/// One table of every bench as one, the sums before them.
fn joined<'a>(
    several: &SeveralDay,
    parts: impl Iterator<Item = (&'a DayRecord, DayTable)>,
) -> Option<DayTable> {
    let mut joined: Option<DayTable> = None;
    for (record, part) in parts {
        let whole = joined.get_or_insert_with(|| {
            let mut columns = part.columns.clone();
            columns.insert(0, (BENCH.0.into(), BENCH.1.into()));
            DayTable {
                rows: sums(several, &part.name),
                name: part.name.clone(),
                about: part.about.clone(),
                columns,
            }
        });
        let bench: Value = record.bench.as_str().into();
        let head: Value = first_12(&record.head).into();
        let rows = part.rows.into_iter();
        whole
            .rows
            .extend(rows.map(|row| of_bench(row, &bench, &head)));
    }
    joined
}

fn of_bench(row: Row, bench: &Value, head: &Value) -> Row {
    let cells = row.into_iter().map(|cell| match cell {
        Value::Head => head.clone(),
        other => other,
    });
    std::iter::once(bench.clone()).chain(cells).collect()
}

/// The rows of all benches together, for the tables whose figures can be added.
fn sums(several: &SeveralDay, table: &str) -> Vec<Row> {
    let all = &several.together;
    let of_all = |row: Row| of_bench(row, &Value::Nothing, &Value::Nothing);
    match table {
        "day" => figures(several).into_iter().map(of_all).collect(),
        "remarks" => {
            let rows = several.remarks.iter();
            let rows = rows.map(|remark| vec![Value::Head, Value::Day, remark.as_str().into()]);
            rows.map(of_all).collect()
        }
        "examined" => {
            let rows = all.examined.iter();
            rows.map(|row| of_all(rows::examined_row(row).into()))
                .collect()
        }
        "tags" => {
            let rows = all.tags.iter();
            rows.map(|row| of_all(rows::tag_row(row).into())).collect()
        }
        _ => Vec::new(),
    }
}

/// What was done, and what is carried in and over but for sheets not examined: a lot that two
/// benches share is open at both.
fn figures(several: &SeveralDay) -> Vec<Row> {
    let acts = rows::act_figures(&several.together.acts).into_iter();
    let acts = acts.map(|(figure, value, unit)| (figure.to_owned(), value, unit));
    let sums = [
        ("carried in", several.carried(|record| &record.carried_in)),
        ("carried over", several.carried(|record| &record.carried)),
    ];
    let carried = sums.iter().flat_map(|(when, carried)| {
        let added = rows::carried_figures(carried).into_iter().skip(1);
        added.map(move |(figure, count, unit)| (format!("{when}: {figure}"), count.into(), unit))
    });
    acts.chain(carried)
        .map(|(figure, value, unit)| {
            vec![Value::Head, Value::Day, figure.into(), value, unit.into()]
        })
        .collect()
}

fn books(several: &SeveralDay) -> DayTable {
    table(
        "books",
        "every book that counts",
        [
            BENCH,
            HEAD,
            DAY,
            ("book", "the random name of the book"),
            ("full_head", "hash of its last line"),
            ("entries", "how many it has"),
            ("closed_in", "the entry that closed the day"),
        ],
        several.benches.iter().map(|(name, record)| {
            [
                name.bench.to_string().into(),
                first_12(&name.head).into(),
                Value::Day,
                name.book.to_string().into(),
                name.head.to_string().into(),
                name.lines.into(),
                maybe_count(record.closed.as_ref().map(|closed| closed.entry)),
            ]
        }),
    )
}

fn lots(several: &SeveralDay) -> DayTable {
    table(
        "lots",
        "every lot as all books know it together, as they stand",
        [
            DAY,
            ("lot", "the lot"),
            ("sheets", "sheets of the lot"),
            ("good", "sheets ruled good by one bench"),
            ("mixed", "sheets ruled mixed by one bench"),
            ("spoiled", "sheets ruled spoiled by one bench"),
            ("contested", "sheets that more than one bench ruled"),
            ("not_examined", "sheets that none has ruled"),
        ],
        several.lots.iter().map(|(lot, sheets)| {
            [
                Value::Day,
                lot.to_string().into(),
                u64::from(sheets.sheets).into(),
                u64::from(sheets.good).into(),
                u64::from(sheets.mixed).into(),
                u64::from(sheets.spoiled).into(),
                u64::from(sheets.contested).into(),
                u64::from(sheets.not_examined()).into(),
            ]
        }),
    )
}

fn conflicts(several: &SeveralDay) -> DayTable {
    let numbered = (1_u64..).zip(&several.conflicts);
    table(
        "conflicts",
        "every contradiction between two books; nothing is settled here",
        [
            DAY,
            ("number", "its place in this list, from 1"),
            (
                "one_side",
                "one side: the bench, with the entry where there is one",
            ),
            ("other_side", "the other side"),
            ("conflict", "what contradicts, and what to do"),
        ],
        numbered.map(|(number, conflict)| {
            let (one, other) = conflict.sides();
            [
                Value::Day,
                number.into(),
                one.into(),
                maybe(other),
                conflict.to_string().into(),
            ]
        }),
    )
}

/// The JSON, made from the parts of the day that others may want to add up.
#[derive(Serialize)]
struct Written<'a> {
    format: &'static str,
    day: Day,
    practice: bool,
    remarks: &'a [String],
    books: Vec<WrittenBook<'a>>,
    together: &'a Together,
    lots: Vec<serde_json::Value>,
    conflicts: Vec<WrittenConflict<'a>>,
}

#[derive(Serialize)]
struct WrittenBook<'a> {
    #[serde(flatten)]
    name: &'a BookName,
    works: &'a str,
    cut_over_hour: u8,
    closed: &'a Option<Closed>,
    acts: &'a Acts,
    carried_in: &'a Carried,
    carried: &'a Carried,
    examined: &'a [ExaminedRow],
    tags: &'a [TagRow],
}

#[derive(Serialize)]
struct WrittenConflict<'a> {
    says: String,
    #[serde(flatten)]
    conflict: &'a Conflict,
}

/// The day as JSON, which ends with a line end.
///
/// # Errors
/// What the writer says; plain figures and texts can always be written.
pub fn several_json(several: &SeveralDay) -> Result<String, serde_json::Error> {
    let books = several.benches.iter().map(|(name, record)| WrittenBook {
        name,
        works: &record.works,
        cut_over_hour: record.cut_over_hour,
        closed: &record.closed,
        acts: &record.acts,
        carried_in: &record.carried_in,
        carried: &record.carried,
        examined: &record.examined,
        tags: &record.tags,
    });
    let lots = several.lots.iter().map(|(lot, sheets)| {
        serde_json::json!({ "lot": lot, "sheets": sheets.sheets, "good": sheets.good,
            "mixed": sheets.mixed, "spoiled": sheets.spoiled, "contested": sheets.contested,
            "not_examined": sheets.not_examined() })
    });
    let conflicts = several.conflicts.iter().map(|conflict| WrittenConflict {
        says: conflict.to_string(),
        conflict,
    });
    let written = Written {
        format: SEVERAL_FORMAT,
        day: several.day,
        practice: several.practice(),
        remarks: &several.remarks,
        books: books.collect(),
        together: &several.together,
        lots: lots.collect(),
        conflicts: conflicts.collect(),
    };
    Ok(serde_json::to_string_pretty(&written)? + "\n")
}

/// The day as one ZIP: the JSON, the CSV tables, and `README.txt`. The same books give the same
/// bytes, in whatever order they came.
///
/// # Errors
/// What the writer of the JSON says.
pub fn several_zip(several: &SeveralDay) -> Result<Vec<u8>, serde_json::Error> {
    let (set, stem) = (several_tables(several), several_stem(several.day));
    let mut files = vec![
        Stored {
            name: "README.txt".to_owned(),
            bytes: (about(several) + &columns(&set)).into_bytes(),
        },
        Stored {
            name: format!("{stem}.json"),
            bytes: several_json(several)?.into_bytes(),
        },
    ];
    files.extend(set.tables.iter().map(|table| Stored {
        name: format!("{stem}_{}.csv", table.name),
        bytes: set.csv(table).into_bytes(),
    }));
    Ok(zip(&files))
}

fn about(several: &SeveralDay) -> String {
    let mut text = format!(
        "Day {} of {} benches together.\r\n",
        several.day,
        several.benches.len()
    );
    if several.practice() {
        text += "PRACTICE: everything in it is invented.\r\n";
    }
    for (name, _) in &several.benches {
        text += &format!(
            "Bench {}, book {}, {} entries, head {}\r\n",
            name.bench, name.book, name.lines, name.head
        );
    }
    text += "\r\nCheck it with: cullbook-audit export BOOK.jsonl BOOK.jsonl... THIS-FILE\r\n\r\n\
         Each bench's rows are those of its own day record. Rows without a bench are the sums of\r\n\
         all of them: a sheet that two benches ruled counts once for each, and is in the list of\r\n\
         conflicts. Sheets not examined are not added up, for a lot that two benches share is open\r\n\
         at both; the table of lots has them. Shares are in parts per million. Tables are CSV\r\n\
         (RFC 4180) in UTF-8; an apostrophe before a text keeps a spreadsheet from changing it and\r\n\
         is no part of it. Units stand in brackets.\r\n";
    for remark in &several.remarks {
        text += &format!("  {remark}\r\n");
    }
    text
}
