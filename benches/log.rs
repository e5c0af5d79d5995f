//! How long it takes to look through a book of 100,000 lines (`make bench`): one slice as the page
//! takes it, the whole of it, and the rows of one screen. All of it invented.

#[path = "../tests/book/works.rs"]
mod works;

use std::sync::OnceLock;

use cullbook::book::*;
use cullbook::desk::log::{LogFilter, LogSearch, log_row};
use divan::{Bencher, black_box};

use works::*;

const LINES: u32 = 100_000;
/// As src/ui/book/log.rs and rows.rs have them.
const SLICE: u64 = 2_000;
const ROWS: u64 = 44;

fn main() {
    divan::main();
}

/// The lines, made once: a book itself stays with the thread that reads it.
fn lines() -> &'static [String] {
    static LINES_OF_BOOK: OnceLock<Vec<String>> = OnceLock::new();
    LINES_OF_BOOK.get_or_init(|| {
        let mut works = Works::staffed();
        works.must("sue", lot("L9", LINES, Some(numbered("KL", LINES, 0))));
        let numbers: Vec<u32> = (1..=LINES).collect();
        for part in numbers.chunks(5_000) {
            let tags = |number: u32| {
                if number % 20 == 0 {
                    &["A1 PH"][..]
                } else {
                    &[]
                }
            };
            let exams = part
                .iter()
                .map(|number| examined("L9", *number, *number, tags(*number)));
            works
                .write_all("ida", exams.collect())
                .expect("sheets of the lot");
        }
        works.book.texts().iter().map(ToString::to_string).collect()
    })
}

fn book() -> Book {
    Book::read_ahead(lines().iter().map(String::as_str)).expect("a book that holds")
}

fn words() -> LogFilter {
    LogFilter::default().with_words("L9 99998")
}

#[divan::bench(sample_count = 20)]
fn a_slice_of_a_search(bencher: Bencher) {
    let book = book();
    bencher.bench_local(|| {
        let mut search = LogSearch::new(words(), &book);
        search.look(black_box(&book), SLICE);
        search
    });
}

#[divan::bench(sample_count = 5)]
fn a_whole_search(bencher: Bencher) {
    let book = book();
    bencher.bench_local(|| {
        let mut search = LogSearch::new(words(), &book);
        search.look(black_box(&book), u64::MAX);
        assert_eq!(search.len(), 1);
        search
    });
}

#[divan::bench(sample_count = 50)]
fn the_rows_of_a_screen(bencher: Bencher) {
    let book = book();
    let middle = book.len() / 2;
    bencher.bench_local(|| {
        let rows = middle..middle + ROWS;
        rows.filter_map(|seq| log_row(black_box(&book), seq))
            .count()
    });
}

#[divan::bench(sample_count = 20)]
fn a_bare_hash_looked_for(bencher: Bencher) {
    let book = book();
    let kept = KeptHead::Whole {
        hash: Hash::NONE,
        entries: None,
        book: None,
    };
    bencher.bench_local(|| black_box(&book).answer(&kept));
}
