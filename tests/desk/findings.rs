//! What the Bench says of the press while sheets are tagged.

use cullbook::book::{Entry, VerdictOverruled};
use cullbook::desk::Action;
use cullbook::desk::bench::Command;
use cullbook::desk::findings::{Told, repeating};
use cullbook::desk::forms::acceptance::{acceptance_drawn, acceptance_start};
use cullbook::inspect::Verdict;
use cullbook::sheet::grouped;

use crate::machine::{Bench, sheet};

fn told(bench: &Bench) -> Vec<Told> {
    let lot = bench.desk.bench.lot(bench.desk.state()).expect("a lot");
    repeating(lot, &bench.desk.bench, 3)
}

/// The same void at A1, sheet after sheet. By hand: two other sheets of 40 notes have 78 other
/// chances and no mark, so the rate is 1 / 80 and three in a row have the chance 1 / 512 000. Two
/// in a row, 1 / 41², are no surprise among all positions and classes.
#[test]
fn a_run_is_said_with_its_chance_from_its_third_sheet() {
    let mut bench = Bench::new();
    bench.keys(&["o", "m", "Enter", "o", "m"]);
    assert_eq!(told(&bench), []);
    bench.keys(&["Enter", "o", "m"]);
    let said = &told(&bench)[0];
    let odds = grouped(510_000);
    let expected = format!("OM at A1 on the last 3 sheets; chance 1 in {odds}");
    assert_eq!(said.what, expected);
    assert!(said.look_at.contains("plate or blanket"));
    // The run breaks where the tag is taken off again, and nothing is said of another place.
    bench.keys(&["Ctrl+z", "ArrowRight", "o", "m"]);
    assert!(told(&bench).iter().all(|told| !told.what.contains("last")));
}

#[test]
fn what_stood_out_stays_said_on_clean_sheets_and_each_position_once() {
    let mut bench = Bench::new();
    for _ in 0..6 {
        bench.keys(&["o", "m", "Enter"]);
    }
    let clean = told(&bench);
    assert_eq!(clean.len(), 1, "{clean:?}");
    assert_eq!(clean[0].what, "OM at A1, 6 in a row, sheets 1–6");
    bench.keys(&["o", "m"]);
    let tagged = told(&bench);
    assert_eq!(tagged.len(), 1, "{tagged:?}");
    assert!(tagged[0].what.starts_with("OM at A1 on the last 7 sheets"));
    assert_eq!(bench.desk.bench.press.examined(), 6);
    bench.reload();
    assert_eq!(bench.desk.bench.press.examined(), 6);
}

#[test]
fn an_overruled_sheet_shows_the_ruling_in_force_until_its_tags_are_changed() {
    let mut bench = Bench::new();
    bench.keys(&["o", "m", "Enter"]);
    let ruling = |bench: &Bench| {
        let lot = bench.desk.bench.lot(bench.desk.state()).expect("a lot");
        bench.desk.bench.ruling(lot)
    };
    let lot = bench.desk.bench.lot.expect("a lot");
    bench.sign_in("maud");
    let corrects = bench.desk.book.len() - 1;
    let overruled = Entry::VerdictOverruled(VerdictOverruled {
        lot,
        sheet: sheet(1),
        verdict: Verdict::Good,
        reason: "printed so".to_owned(),
        corrects,
    });
    bench.record(vec![overruled]).expect("a supervisor may");
    bench.keys(&["1", "Enter"]);
    let shown = ruling(&bench);
    assert_eq!(shown.verdict, Verdict::Good);
    assert!(shown.reason.to_string().contains("the rules said mixed"));
    bench.keys(&["o", "s"]);
    assert!(!ruling(&bench).is_overruled());
    assert_eq!(ruling(&bench).verdict, Verdict::Mixed);
    // Overruled once more while it lies there, it can still be corrected.
    let overruled = Entry::VerdictOverruled(VerdictOverruled {
        lot,
        sheet: sheet(1),
        verdict: Verdict::Spoiled,
        reason: "dirty".to_owned(),
        corrects: bench.desk.book.len() - 1,
    });
    bench.record(vec![overruled]).expect("a supervisor may");
    bench
        .command(Command::Reason("two faults".to_owned()))
        .expect("a reason");
    bench.keys(&["Enter", "1", "Enter"]);
    assert_eq!(ruling(&bench).verdict, Verdict::Mixed);
    assert!(!ruling(&bench).is_overruled());
}

/// Two marks at each of the eight notes of column 1, never twice running: 16 of 16 in one of five
/// columns, where 16 / 5 = 3.2 are expected.
#[test]
fn a_column_is_named_by_the_notes_at_its_ends() {
    let mut bench = Bench::new();
    for number in 0..16 {
        bench.keys(&["Ctrl+Home"]);
        (0..number % 8).for_each(|_| bench.keys(&["ArrowDown"]));
        bench.keys(&["i", "w", "Enter"]);
    }
    let said = told(&bench);
    assert_eq!(said.len(), 1, "{said:?}");
    assert_eq!(
        said[0].what,
        "IW in column A1 to H1: 16 marks, 3.2 expected"
    );
    assert_eq!(
        (said[0].at, &*said[0].look_at),
        (None, "one column: inking zone or wiping unit")
    );
}

#[test]
fn nothing_of_what_others_found_is_said_over_an_acceptance_sample() {
    let mut bench = Bench::new();
    for _ in 0..6 {
        bench.keys(&["o", "m", "Enter"]);
    }
    bench.keys(&["Enter", "Enter", "Enter"]);
    assert!(!told(&bench).is_empty());
    bench.sign_in("maud");
    let lot = bench.desk.bench.lot(bench.desk.state()).unwrap().clone();
    let typed = acceptance_start(&lot, bench.desk.state());
    let entry = acceptance_drawn(&typed, &lot, bench.desk.state(), 7).unwrap();
    let Entry::AcceptanceDrawn(drawn) = entry.clone() else {
        panic!("{entry:?}")
    };
    bench.record(vec![entry]).unwrap();
    bench.act(Action::ChooseSample(drawn.acceptance)).unwrap();
    assert_eq!(told(&bench), []);
}
