//! The bench by keys: what an inspector does all day.

use cullbook::book::{Entry, Refusal};
use cullbook::desk::Action;
use cullbook::desk::bench::{Command, TypedFor};
use cullbook::desk::forms::acceptance::{acceptance_drawn, acceptance_start};
use cullbook::inspect::{Source, Spot, Verdict};

use crate::machine::{Bench, SHEETS, machine_tags, sheet};

fn positions(bench: &Bench) -> Vec<(String, String)> {
    let lot = bench.desk.bench.lot(bench.desk.state()).expect("a lot");
    let name = |spot| match spot {
        Spot::WholeSheet => "sheet".to_owned(),
        Spot::Note(position) => lot.product.layout.name(position).to_owned(),
    };
    bench
        .desk
        .bench
        .draft
        .tags()
        .iter()
        .map(|tag| (name(tag.spot), tag.class.to_string()))
        .collect()
}

fn verdict(bench: &Bench, number: u32) -> Option<Verdict> {
    let lot = bench.desk.bench.lot(bench.desk.state()).expect("a lot");
    lot.sheet(sheet(number))
        .and_then(|sheet| Some(sheet.exam.as_ref()?.ruling.verdict))
}

#[test]
fn a_clean_sheet_is_one_key() {
    let mut bench = Bench::new();
    let before = bench.stored.len();
    bench.keys(&["Enter"]);
    assert_eq!(bench.stored.len(), before + 1);
    assert_eq!(
        (bench.sheet(), verdict(&bench, 1)),
        (2, Some(Verdict::Good))
    );
}

#[test]
fn three_tags_by_keys_alone() {
    let mut bench = Bench::new();
    bench.keys(&["o", "s", "ArrowRight", "i", "w", "ArrowDown", "n", "b"]);
    let expected = [("A1", "OS"), ("A2", "IW"), ("B2", "NB")]
        .map(|(at, class)| (at.to_owned(), class.to_owned()));
    assert_eq!(positions(&bench), expected);
    bench.keys(&["Enter"]);
    assert_eq!(
        (bench.sheet(), verdict(&bench, 1)),
        (2, Some(Verdict::Mixed))
    );
    assert_eq!(
        bench.stored_book().state().cage.spoils.len(),
        2,
        "the minor tag makes no spoil"
    );
}

#[test]
fn a_tag_on_the_back_names_the_same_note() {
    let mut bench = Bench::new();
    // What is selected stays selected when the sheet is turned.
    bench.keys(&["ArrowRight", " ", "o", "s"]);
    assert_eq!(positions(&bench), [("A2".to_owned(), "OS".to_owned())]);
    assert_eq!(bench.desk.bench.draft.tags()[0].side.name(), "back");
    // Work-and-turn: the top left of the back is the top right of the front.
    bench.keys(&["Ctrl+z", "Home", "o", "s"]);
    assert_eq!(positions(&bench), [("A5".to_owned(), "OS".to_owned())]);
    bench.keys(&["Ctrl+z", " ", "o", "s"]);
    assert_eq!(positions(&bench), [("A5".to_owned(), "OS".to_owned())]);
    assert_eq!(bench.desk.bench.draft.tags()[0].side.name(), "front");
}

#[test]
fn a_rectangle_a_row_and_a_column_are_tagged_at_once() {
    let mut bench = Bench::new();
    bench.keys(&["Shift+ArrowRight", "Shift+ArrowDown", "o", "m"]);
    assert_eq!(positions(&bench).len(), 4);
    bench.keys(&["Ctrl+z", "Shift+ ", "o", "m"]);
    assert_eq!(positions(&bench).len(), 5);
    bench.keys(&["Ctrl+z", "Home", "Ctrl+ ", "o", "m"]);
    assert_eq!(positions(&bench).len(), 8);
    bench.keys(&["o", "m"]);
    assert!(
        positions(&bench).is_empty(),
        "the same class again takes it off"
    );
}

#[test]
fn a_whole_sheet_class_spoils_the_sheet() {
    let mut bench = Bench::new();
    bench.keys(&["p", "t", "Enter"]);
    assert_eq!(verdict(&bench, 1), Some(Verdict::Spoiled));
    let lot = bench.desk.bench.lot(bench.desk.state()).expect("a lot");
    assert_eq!(lot.needs().len(), 40);
}

#[test]
fn an_unknown_code_says_so_and_changes_nothing() {
    let mut bench = Bench::new();
    bench.keys(&["o", "q"]);
    assert_eq!(bench.desk.bench.hint.as_deref(), Some("OQ is not a class."));
    bench.keys(&["z"]);
    assert_eq!(
        bench.desk.bench.hint.as_deref(),
        Some("No class begins with Z.")
    );
    assert!(positions(&bench).is_empty());
}

#[test]
fn undo_redo_again_and_repeat() {
    let mut bench = Bench::new();
    bench.keys(&["o", "s", "ArrowRight", ".", "Ctrl+z"]);
    assert_eq!(positions(&bench).len(), 1);
    bench.keys(&["Ctrl+y"]);
    assert_eq!(positions(&bench).len(), 2);
    bench.keys(&["Enter", "="]);
    assert_eq!((bench.sheet(), positions(&bench).len()), (2, 2));
}

#[test]
fn the_machine_s_tags_wait_to_be_confirmed_or_overruled() {
    let mut bench = Bench::new();
    bench
        .record(vec![machine_tags(&[1, 2])])
        .expect("the file is read");
    bench.command(Command::Turn(sheet(1))).expect("turns");
    assert_eq!(positions(&bench), [("D5".to_owned(), "OS".to_owned())]);
    bench.keys(&["Enter"]);
    let exam = bench
        .stored_book()
        .state()
        .lots
        .values()
        .next()
        .and_then(|lot| lot.sheets[0].exam.clone());
    assert_eq!(exam.map(|exam| exam.tags[0].source), Some(Source::Machine));
    let tag = bench.desk.bench.draft.tags()[0].clone();
    bench.command(Command::Remove(tag)).expect("overruled");
    bench.keys(&["Enter"]);
    assert_eq!(verdict(&bench, 2), Some(Verdict::Good));
}

#[test]
fn passing_a_range_leaves_sheets_that_the_machine_marked() {
    let mut bench = Bench::new();
    bench
        .record(vec![machine_tags(&[5, 9])])
        .expect("the file is read");
    bench.keys(&["-", "1", "2", "Enter"]);
    let passed = (1..=12)
        .filter(|number| verdict(&bench, *number) == Some(Verdict::Good))
        .count();
    assert_eq!((passed, bench.sheet()), (10, 5));
    assert_eq!(
        bench.desk.bench.hint.as_deref(),
        Some("10 sheets recorded; left: 2 with machine tags, 0 examined before.")
    );
}

#[test]
fn the_machine_s_word_can_be_taken_for_a_range() {
    let mut bench = Bench::new();
    bench
        .record(vec![machine_tags(&[5, 9])])
        .expect("the file is read");
    bench.keys(&["*", "1", "2", "Enter"]);
    assert_eq!(
        (verdict(&bench, 5), verdict(&bench, 6)),
        (Some(Verdict::Mixed), Some(Verdict::Good))
    );
    assert_eq!(bench.sheet(), 13);
}

#[test]
fn the_same_tags_for_a_range() {
    let mut bench = Bench::new();
    bench.keys(&["o", "m", "+", "6", "Enter"]);
    assert!((1..=6).all(|number| verdict(&bench, number) == Some(Verdict::Mixed)));
    assert_eq!((verdict(&bench, 7), bench.sheet()), (None, 7));
}

#[test]
fn figures_go_to_a_sheet_but_never_away_from_tags_that_are_not_recorded() {
    let mut bench = Bench::new();
    bench.keys(&["4", "2", "Enter"]);
    assert_eq!(bench.sheet(), 42);
    bench.keys(&["o", "s", "7", "Enter"]);
    assert_eq!(bench.sheet(), 42);
    assert!(
        bench
            .desk
            .bench
            .hint
            .as_ref()
            .is_some_and(|hint| hint.contains("not recorded"))
    );
}

#[test]
fn a_sheet_outside_the_lot_and_a_range_backwards_are_refused() {
    let mut bench = Bench::new();
    bench.command(Command::Turn(sheet(100))).expect("turns");
    let outside = bench.command(Command::Turn(sheet(SHEETS + 1)));
    assert!(matches!(outside, Err(Refusal::SheetOutside { .. })));
    bench
        .command(Command::Range(TypedFor::Pass))
        .expect("a range");
    bench.command(Command::Figure('7')).expect("a figure");
    assert!(matches!(
        bench.command(Command::Enter),
        Err(Refusal::RangeBackwards { .. })
    ));
}

#[test]
fn a_correction_needs_a_reason_and_keeps_the_first_examination() {
    let mut bench = Bench::new();
    bench.keys(&["o", "s", "Enter", "1", "Enter", "Ctrl+Home", "Delete"]);
    assert!(matches!(
        bench.command(Command::Enter),
        Err(Refusal::Empty { .. })
    ));
    assert_eq!(bench.sheet(), 1, "the sheet stays on the bench");
    bench
        .command(Command::Reason("Dust on the magnifier".to_owned()))
        .expect("a reason");
    bench.keys(&["Enter"]);
    assert_eq!(verdict(&bench, 1), Some(Verdict::Good));
    let book = bench.stored_book();
    assert!(
        book.state().cage.spoils.is_empty(),
        "the note is no longer a spoil"
    );
    let lot = book.state().lots.values().next().expect("a lot");
    assert_eq!((lot.tally.good, lot.tally.mixed), (1, 0));
    assert!(
        book.texts()
            .iter()
            .any(|line| line.contains("Dust on the magnifier"))
    );
}

#[test]
fn an_acceptance_sample_is_looked_at_without_what_others_saw() {
    let mut bench = Bench::new();
    bench.record(vec![machine_tags(&[1, 2])]).unwrap();
    // Ten sheets passed by the inspector, one of them with a tag that does no harm.
    bench.keys(&["o", "s", "Enter"]);
    for _ in 1..10 {
        bench.keys(&["Enter"]);
    }
    bench.sign_in("maud");
    let lot = bench.desk.bench.lot(bench.desk.state()).unwrap().clone();
    let typed = acceptance_start(&lot, bench.desk.state());
    let entry = acceptance_drawn(&typed, &lot, bench.desk.state(), 7).unwrap();
    let Entry::AcceptanceDrawn(drawn) = entry.clone() else {
        panic!("{entry:?}")
    };
    bench.record(vec![entry]).unwrap();
    bench.act(Action::ChooseSample(drawn.acceptance)).unwrap();
    let first = drawn.sheets[0].number();
    assert_eq!((bench.sheet(), positions(&bench)), (first, Vec::new()));
    bench.keys(&["i", "w"]);
    // A reload keeps the unfinished look.
    bench.reload();
    assert_eq!(bench.desk.bench.sample, Some(drawn.acceptance));
    assert_eq!(positions(&bench), [("A1".to_owned(), "IW".to_owned())]);
    bench.sign_in("maud");
    bench.keys(&["Enter"]);
    assert_eq!(bench.sheet(), drawn.sheets[1].number());
    let sample = |bench: &Bench| {
        let book = bench.stored_book();
        book.state().acceptance(drawn.acceptance).unwrap().clone()
    };
    assert_eq!(sample(&bench).bad(), 1);
    // Only sheets that were drawn come to the bench, one at a time.
    let outside = (1..=10).find(|n| !drawn.sheets.contains(&sheet(*n)));
    if let Some(outside) = outside {
        let turned = bench.command(Command::Turn(sheet(outside)));
        assert!(matches!(turned, Err(Refusal::NotInSample { .. })));
    }
    bench.keys(&["*", "9", "Enter"]);
    assert!(
        bench
            .desk
            .bench
            .hint
            .as_ref()
            .unwrap()
            .contains("one by one")
    );
    for _ in 1..drawn.sheets.len() {
        bench.keys(&["Enter"]);
    }
    assert!(sample(&bench).decision().is_some());
    assert!(
        bench
            .desk
            .bench
            .hint
            .as_ref()
            .unwrap()
            .contains("is looked at")
    );
    // The passing itself is as it was until somebody corrects it.
    assert_eq!(verdict(&bench, first), Some(Verdict::Good));
    bench.act(Action::ChooseLot(lot.id)).unwrap();
    assert_eq!(bench.desk.bench.sample, None);
}
