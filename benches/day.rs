//! How long the record of a day takes, and the files made from it (`make bench`). All invented.

#[path = "../tests/book/long.rs"]
mod long;
#[path = "../tests/book/works.rs"]
mod works;

use cullbook::book::Book;
use cullbook::export::{DayRecord, day_record, day_xlsx, day_zip};
use cullbook::people::Day;
use divan::Bencher;

use works::id;

fn main() {
    divan::main();
}

fn day() -> Day {
    id("2026-11-25")
}

/// A book of one lot, each sheet examined in an entry of its own; one in `every` is marked.
fn book(sheets: u32, every: u32) -> Book {
    let mut book = Book::default();
    long::long_day(sheets, every, |text| {
        book.push_ahead(text).expect("a line that holds");
    });
    book
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
