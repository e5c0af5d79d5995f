//! The life of a sheet and of a note, step by step, and how sheets are found by what is typed.

use cullbook::book::{Place, *};
use cullbook::custody::Item;
use cullbook::sheet::LotId;

use super::works::*;

fn steps(works: &Works, subject: &Subject) -> Vec<String> {
    let steps = works.book.life(subject);
    let rising = steps.windows(2).all(|pair| pair[0].entry < pair[1].entry);
    assert!(rising, "{steps:#?}");
    steps.into_iter().map(|step| step.says).collect()
}

#[track_caller]
fn said(works: &Works, subject: &Subject, wanted: &[&str]) {
    let steps = steps(works, subject);
    assert_eq!(steps.len(), wanted.len(), "{steps:#?}");
    for (step, part) in steps.iter().zip(wanted) {
        assert!(step.contains(part), "\"{part}\" is not in: {step}");
    }
}

#[test]
fn a_spoiled_sheet_is_followed_from_the_bench_to_its_destruction() {
    let works = Works::destroyed();
    let subject = Subject::Sheet(id("L1"), sheet(5));
    said(
        &works,
        &subject,
        &[
            "lot L1 opened, 12 sheets of M20",
            "examined: spoiled (PT",
            "drawn for KA",
            "inserted",
            "sheet 5 of lot L1 put into container C1",
            "container C1 sealed with S-1, second person cas of the works",
            "destroyed in session D1, before wim of the works, wes of the works",
        ],
    );
    let examined = &works.book.life(&subject)[1];
    assert_eq!(works.state().name_of(examined.by), "ivo of the works");
    assert!(examined.at.dated().starts_with("25 Nov 2026 08:00"));
    assert_eq!(works.book.stood_in(&subject).len(), 6);
}

#[test]
fn a_pulled_note_has_only_its_own_steps() {
    let works = Works::destroyed();
    let lot = works.lot("L1");
    let position = lot.product.layout.find("A1").unwrap();
    let serial = lot.serial(sheet(2), position).unwrap();
    let subject = Subject::Note(id("L1"), sheet(2), serial);
    let drawn = format!("drawn for {serial}");
    let put = format!("note {serial} put into container C1");
    said(
        &works,
        &subject,
        &[
            "opened",
            "examined: mixed",
            &drawn,
            "inserted",
            &put,
            "sealed",
            "destroyed",
        ],
    );
    assert_eq!(works.book.stood_in(&subject).len(), 1);
    // A note that is fit has no part in the cage.
    let fit = lot.serial(sheet(6), position).unwrap();
    said(
        &works,
        &Subject::Note(id("L1"), sheet(6), fit),
        &["opened", "examined with sheets 6–12: good, no tags"],
    );
}

#[test]
fn corrections_and_overrulings_show_what_was_said_before() {
    let mut works = Works::with_lot();
    let tags = [(3, "A1 OM"), (4, "A2 OM")];
    works.must("ida", Entry::MachineRead(machine("L1", &tags)));
    let mut data = exam("L1", 3, 3, &["b:A2 PH"]);
    data.machine_kept = true;
    works.must("ida", Entry::SheetsExamined(data));
    let first = works.book.len() - 1;
    works.must("ivo", corrected("L1", 3, first, &["- PT"]));
    let subject = Subject::Sheet(id("L1"), sheet(3));
    said(
        &works,
        &subject,
        &[
            "opened",
            "machine file press-1.csv: A1 OM front",
            "A2 PH back, A1 OM front by machine",
            "corrected (looked again): spoiled",
        ],
    );
    said(&works, &Subject::Sheet(id("L1"), sheet(5)), &["opened"]);
}

#[test]
fn a_replacement_note_that_was_spoiled_is_followed_too() {
    let mut works = Works::examined();
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let note = works.drawn("R1")[0];
    works.must("sue", spoiled("R1", vec![note]));
    works.must("cal", container("C1"));
    works.must("cal", filled("C1", [Item::Replacement(note)]));
    said(
        &works,
        &Subject::Replacement(note),
        &[
            "drawn for KA",
            "spoiled: torn on insertion",
            "put into container C1",
        ],
    );
    let in_container = works.state().cage.spoils[&Item::Replacement(note)];
    assert_eq!(in_container, Place::In(id("C1")));
}

#[test]
fn a_replacement_note_that_was_returned_is_followed_too() {
    let mut works = Works::examined();
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let note = works.drawn("R1")[0];
    works.must("sue", returned("R1", vec![note]));
    let subject = Subject::Replacement(note);
    said(&works, &subject, &["drawn for KA", "returned unused: "]);
}

#[test]
fn a_sheet_is_found_however_it_is_written() {
    let works = Works::with_lot();
    let lot: LotId = id("L1");
    for text in [
        "L1 7",
        "l1/7",
        "L1/007",
        "7 L1",
        "sheet 7 of L1",
        "Sheet 7 of lot L1",
        "lot L1, sheet 7",
        "L1:7",
        " L1#7 ",
    ] {
        let found = works.state().find_sheet(text);
        assert_eq!(found, Some(SheetText::Found(lot, sheet(7))), "{text}");
    }
    for text in ["L1 13", "L1 0", "L1 99999999999"] {
        let found = works.state().find_sheet(text);
        assert_eq!(
            found,
            Some(SheetText::NoSuchSheet { lot, sheets: 12 }),
            "{text}"
        );
    }
    for text in ["", "L1", "7", "L2 7", "L1 7 8", "L1 A7", "KA000001"] {
        assert_eq!(works.state().find_sheet(text), None, "{text}");
    }
}

#[test]
fn spoils_of_a_lot_are_those_that_belong_to_it() {
    let works = Works::destroyed();
    let state = works.state();
    let of_lot: Vec<Item> = spoils_of(state, works.lot("L1"))
        .map(|(item, _)| *item)
        .collect();
    assert_eq!(
        of_lot,
        state.cage.spoils.keys().copied().collect::<Vec<_>>()
    );
    assert!(
        of_lot
            .iter()
            .all(|item| lot_of(state, item) == Some(id("L1")))
    );
}
