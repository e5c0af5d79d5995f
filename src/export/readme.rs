//! The page that goes with the tables of a day.

use super::day_record::DayRecord;
use super::tables::DayTables;

/// What the set holds, for whoever opens it years from now.
pub(super) fn readme(record: &DayRecord, set: &DayTables) -> String {
    let mut text = about_the_set(record);
    if !record.remarks.is_empty() {
        text += "\r\nOf this day it must be said:\r\n";
    }
    for remark in &record.remarks {
        text += &format!("  {remark}\r\n");
    }
    text + &columns(set)
}

/// Every table with its columns.
pub(super) fn columns(set: &DayTables) -> String {
    let mut text = String::new();
    for table in &set.tables {
        text += &format!("\r\n{}: {}\r\n", table.name, table.about);
        for (column, meaning) in &table.columns {
            text += &format!("  {column} [{}]: {meaning}\r\n", unit_of(column));
        }
    }
    text
}

fn about_the_set(record: &DayRecord) -> String {
    format!(
        "Record of production day {} of bench {}, {}.\r\n\
         {}\
         Head of the book: {}\r\n\
         Entries in the book: {}\r\n\r\n\
         Check it with: cullbook-audit export BOOK.jsonl THIS-FILE\r\n\r\n\
         What was done is counted to the day, which ends at {:02}:00 local time. What is carried in\r\n\
         and carried over is as it stood before the first entry of the day and after its last. Places\r\n\
         and balances are as the book stands at this head. Shares are in parts per million (12345 is\r\n\
         1.2345 %). Intervals take each note by itself; notes of one sheet are often spoiled together,\r\n\
         so that the truth is less certain than they say. Times are as recorded, with their offset.\r\n\
         Tables are CSV (RFC 4180) in UTF-8; an apostrophe before a text keeps a spreadsheet from\r\n\
         changing it and is no part of it. An empty cell means nothing. Units stand in brackets.\r\n",
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
        record.cut_over_hour,
    )
}

/// The unit of a column. One name has one unit, in whatever table it stands.
fn unit_of(column: &str) -> &'static str {
    match column {
        "spoilage_ppm" | "low_ppm" | "high_ppm" | "share_ppm" | "cumulative_ppm" | "change_ppm"
        | "change_low_ppm" | "change_high_ppm" | "value_ppm" | "centre_ppm" | "lower_ppm"
        | "upper_ppm" => "parts per million",
        "chance_ppb" | "q_ppb" | "means_ppb" | "means_q_ppb" | "spreads_ppb" | "spreads_q_ppb" => {
            "parts per billion"
        }
        "clumping_milli" | "cp_milli" | "cp_low_milli" | "cp_high_milli" | "cpk_milli"
        | "cpk_low_milli" | "cpk_high_milli" => "thousandths",
        "mean_millionths" | "spread_millionths" => "millionths of the column unit",
        "target_milli" | "lower_milli" | "upper_milli" | "readings_milli" => {
            "thousandths of the column unit"
        }
        "expected_milli" => "thousandths of a mark",
        mass if mass.ends_with("_mg") => "milligrams",
        "particles_measured" | "particles_above" => "particles",
        "largest_particle_mm2" => "square millimetres",
        "sheets" | "missing_sheets" | "sheets_with" | "good" | "mixed" | "spoiled"
        | "contested" | "not_examined" => "sheets",
        "notes" | "missing_notes" | "notes_spoiled" | "drawn" | "inserted" | "returned"
        | "on_hand" | "left" | "drawn_on_the_day" => "notes",
        "tags" => "tags",
        "samples" => "samples",
        "readings" | "readings_outside" => "readings",
        "days" | "window" => "production days",
        "entries" => "entries",
        "entry" | "amends" | "closed_in" | "corrected_in" => "entry number, from 0",
        "sheet" | "from_sheet" | "to_sheet" => "sheet number, from 1",
        "bundle" | "box" | "number" => "number, from 1",
        "count" | "size" | "found" => "count of what the row names",
        "day" | "from_day" | "to_day" | "date" => "date, YYYY-MM-DD",
        "at" | "sealed_at" | "started" | "ended" | "recorded_at" => "RFC 3339 time with offset",
        "serial" | "replacement" => "serial",
        "head" | "full_head" | "hash" => "hexadecimal digits",
        "value" => "as the column unit says",
        "lot" | "series" | "product" | "container" | "containers" | "session" | "inspector"
        | "class" | "sealed_by" | "second" | "operator" | "witnesses" | "recorded_by"
        | "person" | "seal" | "key" | "bench" => "code",
        _ => "text",
    }
}

#[cfg(test)]
mod tests {
    use super::super::day_record::day_record;
    use super::super::sample::{Works, id};
    use super::super::tables::Value;
    use super::*;

    /// A column in which any row holds a number has a unit that is no text.
    #[test]
    fn every_column_of_numbers_has_a_unit() {
        let mut works = Works::new();
        works.examine("ida", 1, &["A1"], true);
        let record = day_record(&works.book, id("2026-11-25")).expect("an open book");
        let set = DayTables::of(&record);
        for table in &set.tables {
            for (place, (column, _)) in table.columns.iter().enumerate() {
                let number = |row: &Vec<Value>| matches!(row[place], Value::Whole(_));
                let unit = unit_of(column);
                let measured = ["_mg", "_mm2", "_ppm", "_ppb"];
                let measured = measured.iter().any(|end| column.ends_with(end));
                assert!(
                    unit != "text" || !(measured || table.rows.iter().any(number)),
                    "{} {column}",
                    table.name
                );
            }
        }
        let page = readme(&record, &set);
        for table in &set.tables {
            let lines = table
                .columns
                .iter()
                .map(|(column, _)| format!("\r\n  {column} ["));
            assert!(
                lines.clone().all(|line| page.contains(&line)),
                "{}",
                table.name
            );
        }
    }
}
