//! A real long book, line after line: a works that examines one sheet an entry, lot after lot.
//! Every line is signed and allowed; it is what a bench would have written in years.
#![allow(dead_code, reason = "each test program uses its own part of it")]

use cullbook::book::{BookOpened, Entry, Hash, Header, Line};
use time::format_description::well_known::Rfc3339;
use time::{Duration, OffsetDateTime};
use uuid::Uuid;

use super::works::*;

/// Sheets of one lot.
const LOT: u32 = 50_000;

/// One sheet in this many has a tag.
const TAGGED: u32 = 20;

/// Gives out the texts of the first `lines` lines. The people are those of [`Works::staffed`],
/// with the keys that [`key`] gives.
pub fn long_book(lines: u64, put: impl FnMut(&str)) {
    long_book_of("B1", 0, lines, put);
}

/// The same of another bench, whose lots are numbered from `first` on.
pub fn long_book_of(bench: &str, first: u32, lines: u64, mut put: impl FnMut(&str)) {
    let opening = BookOpened {
        book: Uuid::from_u128(u128::from(first) + 1),
        ..opening()
    };
    let mut staffed = Works::of_bench(bench, opening);
    staffed.staff();
    let staff = staffed.book.texts();
    staff.iter().take(lines as usize).for_each(|text| put(text));
    let mut head = staffed.book.head();
    let keys = ["sue", "ida", "ivo"].map(|code| (code, key(code)));
    let key = |by| &keys.iter().find(|(code, _)| *code == by).expect("a key").1;
    let mut seq = staff.len() as u64;
    for number in first.. {
        for (by, entry) in entries_of_a_lot(number) {
            if seq >= lines {
                return;
            }
            let line =
                Line::write(header(bench, seq, by, head), entry, None, key(by)).expect("a line");
            put(&line.text);
            (head, seq) = (line.hash, seq + 1);
        }
    }
}

/// The lines of one production day, 2026-11-25: a lot of so many sheets, each examined in an entry
/// of its own; one sheet in `every` has a tag.
pub fn long_day(sheets: u32, every: u32, mut put: impl FnMut(&str)) {
    let mut works = Works::staffed();
    works.must("sue", lot("L", sheets, Some(numbered("KA", sheets, 1))));
    works.book.texts().iter().for_each(|text| put(text));
    let (mut seq, mut head) = (works.book.len(), works.book.head());
    let ida = key("ida");
    for number in 1..=sheets {
        let tags: &[&str] = match number % every {
            0 if number % (3 * every) == 0 => &["A1 PH", "b:B2 OM"],
            0 => &["A2 OM"],
            _ => &[],
        };
        // Ten hours' work, from eight in the morning on (UTC), however many entries it takes.
        let start = OffsetDateTime::from_unix_timestamp(1_795_593_600).expect("a moment of 2026");
        let after = Duration::seconds(i64::from(number) * 36_000 / i64::from(sheets));
        let header = Header {
            at: id(&(start + after).format(&Rfc3339).expect("RFC 3339")),
            ..header("B1", seq, "ida", head)
        };
        let entry = examined("L", number, number, tags);
        let line = Line::write(header, entry, None, &ida).expect("a line");
        put(&line.text);
        (head, seq) = (line.hash, seq + 1);
    }
}

fn entries_of_a_lot(number: u32) -> impl Iterator<Item = (&'static str, Entry)> {
    let name = format!("L-{number:03}");
    let letter = |place: u32| char::from(b'A' + (place % 26) as u8);
    let prefix = format!("{}{}", letter(10 + number / 26), letter(number));
    let opened = lot(&name, LOT, Some(numbered(&prefix, LOT, 0)));
    let examined = (1..=LOT).map(move |sheet| {
        let tags: &[&str] = match sheet % TAGGED {
            0 => &["A1 PH", "b:B2 OM"],
            _ => &[],
        };
        let by = ["ida", "ivo"][(sheet / 1000 % 2) as usize];
        (by, examined(&name, sheet, sheet, tags))
    });
    std::iter::once(("sue", opened)).chain(examined)
}

/// One entry every seven seconds.
fn header(bench: &str, seq: u64, by: &str, prev: Hash) -> Header {
    let start = OffsetDateTime::from_unix_timestamp(1_795_000_000).expect("a moment of 2026");
    let at = start + Duration::seconds(7 * seq as i64);
    Header {
        seq,
        id: Uuid::from_u128(u128::from(seq) << 80 | 0x7000_8000_0000_0000_0000),
        bench: id(bench),
        at: id(&at.format(&Rfc3339).expect("RFC 3339")),
        by: id(by),
        prev,
    }
}
