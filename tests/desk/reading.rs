//! A long book is read slice by slice; until the last the desk stays as it was.

use cullbook::book::{ClassesSet, Entry};
use cullbook::desk::homes::{Second, Tab};
use cullbook::desk::{Action, Desk, Effect, Saved, Space, Startup, StoreError, Stored};
use cullbook::inspect::starter_catalogue;

use crate::machine::Bench;

/// Catalogues are long lines: this many are more than two slices.
const CATALOGUES: usize = 200;

fn catalogue() -> Entry {
    let classes = starter_catalogue();
    Entry::ClassesSet(ClassesSet { classes })
}

/// A bench with a long book, and what is stored of it.
fn long() -> (Bench, Stored) {
    let mut bench = Bench::new();
    bench.sign_in("maud");
    let entries = std::iter::repeat_n(catalogue(), CATALOGUES);
    bench.record(entries.collect()).expect("catalogues");
    let stored = Stored {
        lines: Ok(bench.stored.iter().map(ToString::to_string).collect()),
        second: bench.pocket.clone().map(Second::read),
        keys: Vec::new(),
        tab: Tab::Writes,
    };
    (bench, stored)
}

fn loaded(bench: &mut Bench, stored: Stored) -> Vec<Effect> {
    let space = Space::Real;
    bench.step(Action::Loaded { space, stored }).expect("taken")
}

#[test]
fn a_long_book_is_read_in_slices() {
    let (mut bench, stored) = long();
    let (head, all) = (bench.desk.book.head(), bench.desk.book.len());
    bench.desk = Desk::default();
    let mut effects = loaded(&mut bench, stored);
    let (mut slices, mut before) = (1, 0);
    while effects == [Effect::ReadSoon] {
        let (read, of) = bench.desk.lines_read().expect("still reading");
        assert!(before < read && read < of && of == all, "{before} {read}");
        assert_eq!(bench.desk.startup, Startup::Loading);
        assert!(bench.desk.book.is_empty());
        (slices, before) = (slices + 1, read);
        effects = bench.step(Action::ReadOn).expect("goes on");
    }
    assert!(slices >= 3, "{slices} slices");
    assert_eq!(bench.desk.startup, Startup::Ready);
    assert_eq!(
        (bench.desk.book.head(), bench.desk.lines_read()),
        (head, None)
    );
    assert_eq!(bench.step(Action::ReadOn), Ok(Vec::new()), "one too many");
}

/// The line that does not hold is in the second slice.
#[test]
fn a_bad_line_is_found_in_whatever_slice() {
    let (mut bench, mut stored) = long();
    let bad = bench.desk.book.len() - 20;
    if let Ok(lines) = &mut stored.lines {
        lines.remove(bad as usize);
    }
    bench.desk = Desk::default();
    let mut effects = loaded(&mut bench, stored);
    while effects == [Effect::ReadSoon] {
        effects = bench.step(Action::ReadOn).expect("goes on");
    }
    let Startup::Broken { why, lines, .. } = &bench.desk.startup else {
        panic!("{:?}", bench.desk.startup);
    };
    let expected = format!("Line {bad} says it is number {}.", bad + 1);
    assert!(why.starts_with(&expected), "{why}");
    assert_eq!(
        lines.len(),
        bench.stored.len() - 1,
        "all of it can be saved"
    );
}

/// What is written while a book is read is not in what was read.
#[test]
fn lines_written_meanwhile_are_read_again() {
    for result in [Ok(()), Err(StoreError::Quota)] {
        let (mut bench, stored) = long();
        bench.slow = true;
        bench.record(vec![catalogue()]).expect("it is on its way");
        assert_eq!(loaded(&mut bench, stored), [Effect::ReadSoon]);
        let failed = result.is_err();
        let effects = bench.step(Action::Stored(result)).expect("an answer");
        assert_eq!(effects, [Effect::Load(Space::Real)]);
        assert!(!bench.desk.is_saving());
        assert_eq!(bench.step(Action::ReadOn), Ok(Vec::new()));
        match failed {
            true => assert!(matches!(bench.desk.saved, Saved::Failed(_))),
            false => assert!(matches!(bench.desk.saved, Saved::At(_))),
        }
        let said = bench.desk.notice.as_ref().map_or("", |said| &said.text);
        assert_eq!(failed, said.starts_with("Not recorded."), "{said}");
    }
}

/// The lock may come while the book of a reading tab is read.
#[test]
fn a_lock_that_frees_meanwhile_is_not_missed() {
    let (mut bench, mut stored) = long();
    bench.desk = Desk::default();
    stored.tab = Tab::Reads;
    assert_eq!(loaded(&mut bench, stored), [Effect::ReadSoon]);
    let freed = bench.step(Action::LockFreed(Space::Real));
    assert_eq!(freed, Ok(vec![Effect::Load(Space::Real)]));
}
