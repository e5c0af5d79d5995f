//! Books of other benches on the desk: held beside the own one, which they cannot change.

use cullbook::book::{BookOpened, Guest, GuestReader, Taken};
use cullbook::desk::{Action, NotRead, Space};
use uuid::Uuid;

use crate::machine::Bench;
use crate::works::*;

fn other() -> Works {
    let opening = BookOpened {
        book: Uuid::from_u128(2),
        ..opening()
    };
    let mut works = Works::of_bench("B2", opening);
    works.staff();
    works
}

fn read(file: &str) -> Result<Guest, NotRead> {
    let mut reader = GuestReader::new(file.as_bytes());
    while !reader.is_done() {
        reader.step()?;
    }
    Ok(reader.finish()?)
}

fn bring(bench: &mut Bench, name: &str, file: &str) {
    let (file, read) = (name.to_owned(), Box::new(read(file)));
    bench
        .act(Action::BringGuest { file, read })
        .expect("it is never refused");
}

/// The sentence about the file brought in last.
fn told(bench: &Bench) -> String {
    let last = &bench.desk.visit.files[0];
    match &last.outcome {
        Ok(taken) => format!("{}: {taken:?}", last.file),
        Err(why) => format!("{}: {why}", last.file),
    }
}

#[test]
fn guests_change_nothing_of_the_own_book_and_are_told_file_by_file() {
    let mut bench = Bench::new();
    let (head, stored) = (bench.desk.book.head(), bench.stored.clone());
    let book = other().book.to_jsonl();
    bring(&mut bench, "B2.jsonl", &book);
    assert_eq!(told(&bench), format!("B2.jsonl: {:?}", Taken::New));
    bring(&mut bench, "B2 again.jsonl", &book);
    assert_eq!(told(&bench), format!("B2 again.jsonl: {:?}", Taken::Known));
    let broken = book.replacen("wes of the works", "wes of no works", 1);
    bring(&mut bench, "broken.jsonl", &broken);
    let said = told(&bench);
    assert!(said.starts_with("broken.jsonl: Line 6 "), "{said}");
    assert!(said.contains("nothing of it counts"), "{said}");
    bring(&mut bench, "notes.txt", "no book at all\n");
    let said = told(&bench);
    assert!(
        said.starts_with("notes.txt: It is no book: Line 0"),
        "{said}"
    );
    let own = bench.desk.book.to_jsonl();
    bring(&mut bench, "own.jsonl", &own);
    let said = told(&bench);
    assert!(said.contains("the book that is open here"), "{said}");

    assert_eq!(bench.desk.visit.guests.names().count(), 1);
    assert_eq!(bench.desk.visit.files.len(), 5);
    assert_eq!((bench.desk.book.head(), &bench.stored), (head, &stored));
    bench.keys(&["Enter"]);
    assert_eq!(bench.stored.len(), stored.len() + 1, "work goes on");
}

#[test]
fn a_guest_can_be_taken_out_and_none_outlives_its_visit() {
    let mut bench = Bench::new();
    let book = other().book.to_jsonl();
    bring(&mut bench, "B2.jsonl", &book);
    let name = bench
        .desk
        .visit
        .guests
        .names()
        .next()
        .expect("a book")
        .clone();
    bench.act(Action::TakeGuestOut(name)).expect("taken out");
    assert!(bench.desk.visit.guests.is_empty());
    bring(&mut bench, "B2.jsonl", &book);
    assert!(!bench.desk.visit.guests.is_empty());
    bench.act(Action::Start(Space::Real)).expect("starts");
    assert!(bench.desk.visit.guests.is_empty());
    assert!(bench.desk.visit.files.is_empty());
}
