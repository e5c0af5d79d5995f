//! How long the record of a day takes, and the files made from it (`make bench`). All invented.

#[path = "../tests/book/works.rs"]
mod works;

use cullbook::book::*;
use cullbook::export::{DayRecord, day_record, day_xlsx, day_zip};
use cullbook::people::Day;
use divan::Bencher;

use works::*;

fn main() {
    divan::main();
}

fn day() -> Day {
    id("2026-11-25")
}

/// A book of one lot, each sheet examined in an entry of its own; one in `every` is marked.
fn book(sheets: u32, every: u32) -> Book {
    let mut works = Works::staffed();
    works.must("sue", lot("L", sheets, Some(numbered("KA", sheets, 1))));
    for number in 1..=sheets {
        let tags: &[&str] = match number % every {
            0 if number % (3 * every) == 0 => &["A1 PH", "b:B2 OM"],
            0 => &["A2 OM"],
            _ => &[],
        };
        // Within one production day, whatever the number of entries.
        works.set_clock("2026-11-25", 8 * 3600 + number % 36_000);
        works.must("ida", examined("L", number, number, tags));
    }
    works.book
}

fn record(book: &Book) -> DayRecord {
    day_record(book, day()).expect("an open book")
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn day_record_of_a_book_of_100_000_entries(bencher: Bencher) {
    let book = book(100_000, 20);
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
