//! How long it takes to lay the books of 32 benches together, 10,000 signed lines each
//! (`make bench`). All invented.

#[path = "../tests/book/long.rs"]
mod long;
#[path = "../tests/book/works.rs"]
mod works;

use std::sync::LazyLock;
use std::thread;

use cullbook::book::{Chained, Guest, lay_together};
use cullbook::export::{SeveralDay, several_day, several_zip};
use cullbook::people::Day;
use divan::{Bencher, black_box};

const BENCHES: u32 = 32;
const LINES: u64 = 10_000;

static FILES: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| (0..BENCHES).map(file).collect());

fn file(bench: u32) -> Vec<u8> {
    let mut file = Vec::new();
    long::long_book_of(&format!("B{bench:02}"), bench, LINES, |text| {
        file.extend(text.as_bytes());
        file.push(b'\n');
    });
    file
}

fn main() {
    divan::main();
}

fn read(file: &[u8]) -> Guest {
    Guest::read_file(file).expect("it holds")
}

fn guests() -> Vec<Guest> {
    FILES.iter().map(|file| read(file)).collect()
}

/// The day with the most work in it.
fn day(guests: &[Guest]) -> Day {
    let days = guests[0].verifier().state().days.iter();
    let busiest = days.max_by_key(|(_, totals)| totals.all.examined());
    *busiest.expect("a day").0
}

fn together(guests: &[Guest], day: Day) -> SeveralDay {
    let books: Vec<&dyn Chained> = guests.iter().map(|book| book as &dyn Chained).collect();
    several_day(&books, day).expect("open books")
}

/// Chain, rules and signatures of all 320,000 lines, on one core.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn a_verified(bencher: Bencher) {
    LazyLock::force(&FILES);
    bencher.bench_local(guests);
}

/// The same on every core, a few books each.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn b_verified_on_every_core(bencher: Bencher) {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let parts: Vec<&[Vec<u8>]> = FILES.chunks(FILES.len().div_ceil(cores)).collect();
    bencher.bench_local(|| {
        thread::scope(|scope| {
            for part in &parts {
                scope.spawn(|| part.iter().for_each(|file| drop(black_box(read(file)))));
            }
        });
    });
}

/// Every pair of books compared, and the lots added up.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn c_laid_together(bencher: Bencher) {
    let guests = guests();
    let books: Vec<&dyn Chained> = guests.iter().map(|book| book as &dyn Chained).collect();
    bencher.bench_local(|| assert_eq!(lay_together(&books).conflicts, []));
}

/// The combined day with every bench's own record.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn d_one_day(bencher: Bencher) {
    let guests = guests();
    let day = day(&guests);
    bencher.bench_local(|| together(&guests, day));
}

/// Its file.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn e_one_day_as_a_file(bencher: Bencher) {
    let guests = guests();
    let one = together(&guests, day(&guests));
    bencher.bench_local(|| several_zip(&one).expect("a file"));
}
