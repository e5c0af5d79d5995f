//! An entry counts only once the store has it; nothing typed is lost when it has not.

use cullbook::desk::{Saved, StoreError, Tone};

use crate::machine::Bench;

#[test]
fn nothing_is_recorded_before_the_store_has_answered() {
    let mut bench = Bench::new();
    bench.slow = true;
    let before = bench.desk.book.len();
    bench.keys(&["Enter"]);
    assert_eq!((bench.desk.book.len(), bench.sheet()), (before, 1));
    assert_eq!(bench.desk.saved, Saved::Saving);
    bench.answer();
    assert_eq!((bench.desk.book.len(), bench.sheet()), (before + 1, 2));
}

#[test]
fn keys_pressed_while_saving_go_to_the_next_sheet() {
    let mut bench = Bench::new();
    bench.slow = true;
    bench.keys(&["Enter", "o", "s", "Enter", "Enter"]);
    bench.answer();
    assert_eq!(bench.sheet(), 4);
    let book = bench.stored_book();
    let lot = book.state().lots.values().next().expect("a lot");
    assert_eq!(
        (lot.tally.good, lot.tally.mixed),
        (2, 1),
        "the tag is on sheet 2 alone"
    );
    assert_eq!(
        lot.sheets[1].exam.as_ref().map(|exam| exam.tags.len()),
        Some(1)
    );
}

#[test]
fn a_full_store_records_nothing_and_keeps_what_was_tagged() {
    let mut bench = Bench::new();
    let before = bench.stored.len();
    bench.keys(&["o", "s"]);
    bench.fail_with = Some(StoreError::Quota);
    bench.keys(&["Enter"]);
    assert_eq!((bench.stored.len(), bench.sheet()), (before, 1));
    assert_eq!(bench.desk.bench.draft.tags().len(), 1);
    let notice = bench.desk.notice.clone().expect("a message");
    assert!(notice.tone == Tone::Problem && notice.text.contains("storage is full"));
    bench.keys(&["Enter"]);
    assert_eq!(
        (bench.stored.len(), bench.sheet()),
        (before + 1, 2),
        "and it can be tried again"
    );
}

#[test]
fn another_tab_s_lines_are_never_overwritten() {
    let mut bench = Bench::new();
    let other = bench.stored[0].clone();
    bench.stored.push(other);
    bench.keys(&["Enter"]);
    assert!(matches!(
        bench.desk.saved,
        Saved::Failed(StoreError::Conflict { .. })
    ));
}

#[test]
fn the_unfinished_sheet_comes_back_after_a_reload() {
    let mut bench = Bench::new();
    bench.keys(&["Enter", "Enter", "ArrowDown", "i", "w"]);
    bench.reload();
    assert_eq!(bench.sheet(), 3);
    assert_eq!(bench.desk.bench.draft.tags().len(), 1);
    bench.keys(&["Enter"]);
    bench.reload();
    assert_eq!((bench.sheet(), bench.desk.bench.draft.tags().len()), (4, 0));
}
