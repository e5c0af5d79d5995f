//! Books of other benches brought in beside the own one, and their day together.

use cullbook::book::*;
use cullbook::export::{
    Of, RecordMaking, SeveralDay, SeveralMaking, several_day, several_tables, several_zip,
};
use uuid::Uuid;

use super::several::{bench, bench_with_lot};
use super::works::*;

fn guest(works: &Works) -> Guest {
    Guest::read_file(works.book.to_jsonl().as_bytes()).expect("a book that holds")
}

/// The own bench `B1` with half of lot `L1` examined.
fn own() -> Works {
    let mut works = bench_with_lot("B1", 1);
    works.must("ida", examined("L1", 1, 4, &[]));
    works.must("ida", examined("L1", 5, 5, &["A1 PH", "A2 PH"]));
    works
}

/// Another bench with the other half.
fn other() -> Works {
    let mut works = bench_with_lot("B2", 2);
    works.must("ivo", examined("L1", 6, 11, &["A1 PD"]));
    works.must("ivo", examined("L1", 12, 12, &["- PT"]));
    works
}

fn day_of(own: &Works, guests: &Guests) -> SeveralDay {
    several_day(&guests.beside(&own.book), id("2026-11-25")).expect("an open book")
}

fn names(guests: &Guests) -> Vec<(String, u64)> {
    let names = guests.names();
    names
        .map(|name| (name.bench.to_string(), name.lines))
        .collect()
}

/// The reason why a book is not taken; what is here must stay as it is.
#[track_caller]
fn refused(guests: &mut Guests, own: &Works, works: &Works) -> String {
    let before = names(guests);
    let why = guests.take(&own.book, guest(works));
    let why = why.expect_err("it cannot stand beside them");
    assert_eq!(names(guests), before, "after {why}");
    why.to_string()
}

/// Step by step to the end it counted on; the day is that of [`several_day`].
#[test]
fn a_day_in_the_making_says_how_far_it_is() {
    let (own, other) = (own(), other());
    let mut guests = Guests::default();
    assert_eq!(guests.take(&own.book, guest(&other)), Ok(Taken::New));
    let books = guests.beside(&own.book);
    let mut making = SeveralMaking::begin(&books, id("2026-11-25"));
    let of = 2 * (1 + RecordMaking::STEPS);
    for done in 0..of {
        assert_eq!(making.progress(), (done, of));
        assert!(!making.is_done());
        making.step(&books);
    }
    assert!(making.is_done());
    assert_eq!(making.progress(), (of, of));
    assert_eq!(making.finish(&books), Some(day_of(&own, &guests)));
}

#[test]
fn two_benches_add_up_and_each_row_names_its_bench() {
    let (own, other) = (own(), other());
    let mut guests = Guests::default();
    assert_eq!(guests.take(&own.book, guest(&other)), Ok(Taken::New));
    let day = day_of(&own, &guests);
    let whole = day.whole_day();
    assert_eq!(
        (whole.sheets, whole.good, whole.mixed, whole.spoiled),
        (12, 10, 1, 1)
    );
    assert_eq!((whole.notes, whole.notes_spoiled), (72, 2 + 6));
    let lot = day.lots[&id("L1")];
    assert_eq!((lot.contested, lot.not_examined()), (0, 0));
    let inspectors = day.together.examined.iter();
    let inspectors = inspectors.filter(|row| matches!(row.of, Of::Inspector(_)));
    let sheets: Vec<_> = inspectors.map(|row| row.sheets).collect();
    assert_eq!(sheets, [5, 7]);
    assert_eq!(day.conflicts, []);

    let set = several_tables(&day);
    let csv = |name: &str| {
        let table = set.tables.iter().find(|table| table.name == name);
        set.csv(table.expect("a table"))
    };
    let sheets = csv("sheets");
    let heads = [&own, &other].map(|works| works.book.head().to_string()[..12].to_owned());
    let begins = [("B1", &heads[0]), ("B2", &heads[1])];
    for ((bench, head), line) in begins.iter().zip(sheets.lines().skip(1)) {
        assert!(
            line.starts_with(&format!("{bench},{head},2026-11-25,L1,")),
            "{line}"
        );
    }
    assert_eq!(sheets.lines().count(), 3);
    assert!(csv("examined").contains("\r\n,,2026-11-25,day,,,12,10,1,1,72,8,"));
    assert!(csv("books").contains(&other.book.head().to_string()));
}

#[test]
fn the_own_book_and_a_copy_of_it_are_no_guests() {
    let own = own();
    let mut guests = Guests::default();
    let short = bench_with_lot("B1", 1);
    for copy in [&own, &short] {
        let why = refused(&mut guests, &own, copy);
        assert!(why.contains("the book that is open here"), "{why}");
    }
    let mut longer = own.clone();
    longer.must("ida", examined("L1", 6, 6, &[]));
    let why = refused(&mut guests, &own, &longer);
    let (last, here) = (own.book.len(), own.book.len() - 1);
    assert!(
        why.contains("ALARM")
            && why.contains(&format!(
                "entry {last}; the one here ends with entry {here}"
            )),
        "{why}"
    );
    let mut fork = bench_with_lot("B1", 1);
    fork.must("ivo", examined("L1", 9, 9, &[]));
    let why = refused(&mut guests, &own, &fork);
    assert!(
        why.contains(&format!("up to entry {}", short.book.len())),
        "{why}"
    );
}

#[test]
fn the_longer_copy_stays_whichever_came_first() {
    let own = own();
    let (short, long) = (bench_with_lot("B2", 2), other());
    let mut guests = Guests::default();
    let lines = short.book.len();
    assert_eq!(guests.take(&own.book, guest(&short)), Ok(Taken::New));
    assert_eq!(
        guests.take(&own.book, guest(&long)),
        Ok(Taken::Continues { lines })
    );
    assert_eq!(guests.take(&own.book, guest(&long)), Ok(Taken::Known));
    let why = refused(&mut guests, &own, &short);
    assert!(
        why.contains("older copy") && why.contains(&format!("{lines} lines")),
        "{why}"
    );
    assert_eq!(names(&guests), [("B2".to_owned(), long.book.len())]);
}

#[test]
fn a_copy_that_parts_from_one_that_is_here_is_an_alarm_and_stays_out() {
    let own = own();
    let long = other();
    let mut fork = bench_with_lot("B2", 2);
    fork.must("ida", examined("L1", 6, 12, &[]));
    let mut guests = Guests::default();
    guests.take(&own.book, guest(&long)).expect("a new book");
    let before = day_of(&own, &guests);
    let why = refused(&mut guests, &own, &fork);
    let entry = bench_with_lot("B2", 2).book.len();
    assert!(
        why.contains("ALARM") && why.contains(&format!("up to entry {entry}")),
        "{why}"
    );
    assert_eq!(day_of(&own, &guests), before);
}

#[test]
fn other_works_and_practice_books_stay_out() {
    let of = |book, works: &str, practice| {
        let (book, works) = (Uuid::from_u128(book), works.to_owned());
        let opening = BookOpened {
            book,
            works,
            practice,
            ..opening()
        };
        Works::of_bench("B9", opening)
    };
    let (real, practice) = (own(), of(9, "Brackwater works", true));
    let mut guests = Guests::default();
    let elsewhere = of(8, "Saltmarsh works", false);
    let why = refused(&mut guests, &real, &elsewhere);
    assert!(why.contains("Saltmarsh works"), "{why}");
    let why = refused(&mut guests, &real, &practice);
    assert!(why.contains("practice book of bench B9"), "{why}");
    let why = refused(&mut guests, &practice, &real);
    assert!(why.contains("practice book, this one is real"), "{why}");
}

#[test]
fn no_more_than_so_many_are_held_and_one_can_be_taken_out() {
    let own = own();
    let mut guests = Guests::default();
    let tiny = |number: usize| {
        let opening = BookOpened {
            book: Uuid::from_u128(100 + number as u128),
            ..opening()
        };
        Works::of_bench(&format!("T{number}"), opening)
    };
    for number in 0..GUESTS_MAX {
        let taken = guests.take(&own.book, guest(&tiny(number)));
        assert_eq!(taken, Ok(Taken::New));
    }
    let one_more = tiny(GUESTS_MAX);
    let why = refused(&mut guests, &own, &one_more);
    assert!(why.starts_with("32 books are here"), "{why}");
    // A copy of one that is here takes no more room.
    let again = guests.take(&own.book, guest(&tiny(3)));
    assert_eq!(again, Ok(Taken::Known));
    let name = guests.names().next().expect("a book").clone();
    guests.take_out(&name);
    let taken = guests.take(&own.book, guest(&one_more));
    assert_eq!(taken, Ok(Taken::New));
}

#[test]
fn a_file_that_does_not_hold_names_its_line() {
    let file = other().book.to_jsonl();
    let last = file.lines().count() - 1;
    let altered = file.replacen("\"to\":11", "\"to\":10", 1);
    let of = |bytes: &[u8]| {
        Guest::read_file(bytes)
            .map(drop)
            .expect_err("it does not hold")
    };
    let says = [
        (of(altered.as_bytes()), format!("Line {}", last - 1)),
        (of(b""), "The book is empty".to_owned()),
        (of(b"PK\x03\x04 no book\n"), "Line 0".to_owned()),
        (
            of(&file.as_bytes()[..file.len() - 1]),
            format!("Line {last} has no line end"),
        ),
    ];
    for (why, part) in says {
        assert!(why.to_string().contains(&part), "{why}");
    }
}

#[test]
fn a_sheet_that_two_ruled_counts_for_each_and_is_said() {
    let (own, mut other) = (own(), bench_with_lot("B2", 2));
    other.must("ivo", examined("L1", 5, 6, &[]));
    let mut guests = Guests::default();
    guests.take(&own.book, guest(&other)).expect("a new book");
    let day = day_of(&own, &guests);
    assert_eq!(day.whole_day().sheets, 5 + 2);
    assert_eq!(day.lots[&id("L1")].contested, 1);
    let [conflict] = day.conflicts.as_slice() else {
        panic!("one conflict: {:?}", day.conflicts)
    };
    let (one, two) = conflict.sides();
    assert!(one.contains("of bench B1"), "{one}");
    assert!(two.expect("two sides").contains("of bench B2"));
    assert!(day.remarks[0].contains("more than one bench has ruled, as the books stand: 1."));
    assert!(several_zip(&day).is_ok());
}

#[test]
fn benches_without_the_day_or_with_another_hour_are_said() {
    let own = own();
    let mut late = bench("B2", 2);
    let hour = cullbook::inspect::Rules {
        cut_over_hour: 4,
        ..rules()
    };
    late.must("sue", Entry::RulesSet(hour));
    let mut guests = Guests::default();
    guests.take(&own.book, guest(&late)).expect("a new book");
    let books = guests.beside(&own.book);
    let next = several_day(&books, id("2026-11-26")).expect("open books");
    let says = next.remarks.join("\n");
    assert!(
        says.contains("one hour (B1 at 06:00, B2 at 04:00)"),
        "{says}"
    );
    assert!(
        says.contains("Nothing is recorded for this day by the bench: B1, B2."),
        "{says}"
    );
    assert_eq!(next.whole_day().sheets, 0);
}
