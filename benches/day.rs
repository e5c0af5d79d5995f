//! How long the record of a day takes, and the files made from it (`make bench`). All invented.

#[path = "../tests/book/works.rs"]
mod works;

use cullbook::book::*;
use cullbook::export::{DayRecord, day_record, day_xlsx, day_zip};
use cullbook::people::Day;
use divan::Bencher;
use uuid::Uuid;

use works::*;

/// Seconds over which the entries are spread.
const WORKED: u64 = 10 * 3600;

fn main() {
    divan::main();
}

fn day() -> Day {
    id("2026-11-25")
}

/// A book of one lot, each sheet examined in an entry of its own; one in `every` is marked. All of
/// it is of one production day, whatever the number of entries.
fn book(sheets: u32, every: u32) -> Book {
    let mut works = Works::staffed();
    works.must("sue", lot("L", sheets, Some(numbered("KA", sheets, 1))));
    let (mut book, ida) = (works.book, key("ida"));
    for number in 1..=sheets {
        let tags: &[&str] = match number % every {
            0 if number % (3 * every) == 0 => &["A1 PH", "b:B2 OM"],
            0 => &["A2 OM"],
            _ => &[],
        };
        let second = u64::from(number) * WORKED / u64::from(sheets);
        let header = header(book.len(), second, book.head());
        let line = Line::write(header, examined("L", number, number, tags), None, &ida);
        let text = line.expect("a line").text;
        book.push_ahead(&text).expect("an examination of this lot");
    }
    book
}

/// Of an entry of inspector `ida`, so many seconds after nine in the morning.
fn header(seq: u64, second: u64, prev: Hash) -> Header {
    let (minutes, seconds) = (second / 60, second % 60);
    let (hours, minutes) = (9 + minutes / 60, minutes % 60);
    Header {
        seq,
        id: Uuid::from_u128(u128::from(seq) << 80 | 0x7000_8000_0000_0000_0000),
        bench: id("B1"),
        at: id(&format!(
            "{}T{hours:02}:{minutes:02}:{seconds:02}+01:00",
            day()
        )),
        by: id("ida"),
        prev,
    }
}

fn record(book: &Book) -> DayRecord {
    day_record(book, day()).expect("an open book")
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn day_record_of_a_book_of_100_000_entries(bencher: Bencher) {
    let book = book(100_000, 20);
    assert_eq!(record(&book).whole_day().sheets, 100_000);
    bencher.bench_local(|| record(&book));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn csv_set_of_100_000_rows(bencher: Bencher) {
    let record = record(&book(50_000, 1));
    bencher.bench_local(|| day_zip(&record));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn workbook_of_100_000_rows(bencher: Bencher) {
    let record = record(&book(50_000, 1));
    bencher.bench_local(|| day_xlsx(&record).expect("a workbook"));
}
