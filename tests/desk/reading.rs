//! A long book is read slice by slice; until the last the desk stays as it was.

use cullbook::book::{ClassesSet, Entry};
use cullbook::desk::homes::{Second, Tab};
use cullbook::desk::{Action, Desk, Effect, Part, Saved, Space, Startup, StoreError, Stored};
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

fn part(lines: &[String], before: usize, of: usize) -> Action {
    Action::Arrived(Part {
        before: before as u64,
        of: of as u64,
        lines: lines.to_vec(),
    })
}

/// Lines are read as they come; what was read ahead is not read again.
#[test]
fn a_book_is_read_while_it_comes() {
    let (mut bench, stored) = long();
    let head = bench.desk.book.head();
    let lines = stored.lines.clone().expect("lines");
    bench.desk = Desk::default();
    let mut before = 0;
    for some in lines.chunks(60) {
        let arrived = bench.step(part(some, before, lines.len()));
        assert_eq!(arrived, Ok(Vec::new()));
        before += some.len();
        let progress = (before as u64, lines.len() as u64);
        assert_eq!(bench.desk.lines_read(), Some(progress));
        assert!(bench.desk.book.is_empty(), "not before all of it is known");
    }
    let effects = loaded(&mut bench, stored);
    assert!(
        !effects.contains(&Effect::ReadSoon),
        "nothing is left to read"
    );
    assert_eq!(bench.desk.startup, Startup::Ready);
    assert_eq!(bench.desk.book.head(), head);
}

/// What came and is not what is stored, or came out of order, is no head start.
#[test]
fn a_head_start_on_other_lines_is_dropped() {
    let (mut bench, stored) = long();
    let (head, all) = (bench.desk.book.head(), bench.desk.book.len() as usize);
    let lines = stored.lines.clone().expect("lines");
    let mut other = lines.clone();
    other.pop();
    other.push("no line".to_owned());
    let starts = [
        // The last line is no line.
        vec![part(&other, 0, all)],
        // A part is missing.
        vec![part(&lines[..50], 0, all), part(&lines[60..], 60, all)],
        // More than there is in the end.
        vec![part(&lines, 0, all)],
    ];
    for (which, start) in starts.into_iter().enumerate() {
        bench.desk = Desk::default();
        for action in start {
            assert_eq!(bench.step(action), Ok(Vec::new()));
        }
        let mut now = stored.clone();
        let cut = usize::from(which == 2);
        if let Ok(lines) = &mut now.lines {
            lines.truncate(all - cut);
        }
        now.second = None;
        let mut effects = loaded(&mut bench, now);
        while effects == [Effect::ReadSoon] {
            effects = bench.step(Action::ReadOn).expect("goes on");
        }
        assert_eq!(bench.desk.book.len() as usize, all - cut, "{which}");
        assert_eq!(bench.desk.book.head() == head, cut == 0);
    }
}
