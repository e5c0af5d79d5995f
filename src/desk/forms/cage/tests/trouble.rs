//! Seals by scanner, scanned pieces, and everything that is done with a container in doubt.

use super::*;
use crate::desk::forms::{CHECK_DIFFERS, scan_spoil};

/// Sealed, then found broken.
fn held_works() -> Works {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    works.write("ben", vec![seal(&works, &[]).expect("sealed")]);
    let typed = Typed::with([("check-how", "broken"), ("check-found", "S-1")]);
    let checked = seal_checked(&typed, id("C-1"), works.state());
    works.write("ben", vec![checked.expect("read")]);
    works
}

#[test]
fn a_scanned_seal_is_read_once() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    let scanned = [("seal-again", ""), ("seal-scanned", "S-1")];
    assert!(seal(&works, &scanned).is_ok());
    // Typed over after the scan: the scan is of another number.
    let other = [
        ("seal-number", "S-2"),
        ("seal-again", ""),
        ("seal-scanned", "S-1"),
    ];
    let errors = seal(&works, &other).unwrap_err();
    assert!(
        errors
            .of("seal-again")
            .is_some_and(|why| why.contains("or scan it"))
    );
}

#[test]
fn a_seal_has_the_form_of_the_rules() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    let rules = crate::inspect::Rules {
        seal_form: Some(id("CB-####")),
        ..(*works.state().rules).clone()
    };
    works.write("sue", vec![Entry::RulesSet(rules)]);
    let errors = seal(&works, &[]).unwrap_err();
    let why = errors.of("seal-number").unwrap_or_default();
    assert!(why.contains("\"CB-\", then 4 digits"), "{why}");
    let good = [("seal-number", "CB-0412"), ("seal-again", "CB-0412")];
    assert!(seal(&works, &good).is_ok());
}

#[test]
fn spoils_go_in_by_range_and_from_every_lot() {
    let works = works();
    let range = |from: &str, to: &str| {
        let typed = Typed::with([
            ("fill-container", "C-1"),
            ("fill-what", "range"),
            ("fill-lot", LOT),
            ("fill-from", from),
            ("fill-to", to),
        ]);
        container_filled(&typed, works.state(), &[])
    };
    assert_eq!(pieces(range("3", "20")), (1, 1, 0));
    assert_eq!(pieces(range("1", "2")), (1, 0, 0));
    let nothing = range("4", "19").unwrap_err();
    assert_eq!(
        nothing.of("fill-from"),
        Some("Nothing of sheets 4 to 19 of lot BW-1 is loose.")
    );
    assert!(
        range("9", "3")
            .unwrap_err()
            .of("fill-to")
            .is_some_and(|why| why.contains("from 9 back to 3"))
    );
    assert!(range("0", "251").unwrap_err().iter().count() == 2);
    assert_eq!(pieces(fill(&works, "all", LOT_ANY, "")), (2, 1, 0));
}

#[test]
fn pieces_are_scanned_one_after_the_other() {
    let mut works = works();
    let lot = Some(id(LOT));
    let first = scan_spoil("ka 001019", lot, works.state(), &[]).expect("a loose note");
    let again = scan_spoil("KA001019", lot, works.state(), &[first]).unwrap_err();
    assert_eq!(
        again,
        "\"note KA001019\" is in the list already: it was scanned before."
    );
    assert!(
        scan_spoil(" ", lot, works.state(), &[])
            .unwrap_err()
            .starts_with("Nothing was scanned")
    );
    assert!(
        scan_spoil("2;3", lot, works.state(), &[])
            .unwrap_err()
            .contains("more than one piece")
    );
    assert!(
        scan_spoil("KA001500", lot, works.state(), &[])
            .unwrap_err()
            .contains("is not a spoil")
    );
    let scan = Typed::with([("fill-container", "C-1"), ("fill-what", "scan")]);
    let none = container_filled(&scan, works.state(), &[]).unwrap_err();
    assert!(none.of("fill-scan").is_some());
    let entries = container_filled(&scan, works.state(), &[first]);
    assert_eq!(pieces(entries.clone()), (0, 1, 0));
    works.write("ben", entries.expect("read"));
    let there = scan_spoil("KA001019", lot, works.state(), &[]).unwrap_err();
    assert!(there.contains("is in container C-1 already"), "{there}");
}

#[test]
fn a_seal_is_looked_at_and_whatever_is_found_is_told() {
    let mut sealed = works();
    sealed.write("ben", fill(&sealed, "all", LOT, "").expect("all"));
    sealed.write("ben", vec![seal(&sealed, &[]).expect("sealed")]);
    let check = |how: &str, found: &str| {
        let typed = Typed::with([("check-how", how), ("check-found", found)]);
        seal_checked(&typed, id("C-1"), sealed.state())
    };
    // A slip of the hand holds nothing: another number is said twice.
    let other = check("whole", "S-55").unwrap_err();
    let why = other.of("check-found").unwrap_or_default();
    assert!(
        why.starts_with("It was sealed with S-1, not S-55."),
        "{why}"
    );
    let said = [
        ("check-how", "whole"),
        ("check-found", "S-55"),
        (CHECK_DIFFERS, "yes"),
    ];
    assert!(seal_checked(&Typed::with(said), id("C-1"), sealed.state()).is_ok());
    assert_eq!(check("whole", "s-1"), check("whole", "S-1"));
    assert!(check("", "S-1").unwrap_err().of("check-how").is_some());
    assert!(check("whole", "").unwrap_err().of("check-found").is_some());
    let Ok(Entry::SealChecked(none)) = check("none", "") else {
        panic!("a missing seal is refused")
    };
    assert_eq!((none.found, none.broken), (None, false));
    let Ok(Entry::SealChecked(torn)) = check("broken", " ") else {
        panic!("a seal that cannot be read is refused")
    };
    assert_eq!((torn.found, torn.broken), (None, true));
    assert!(
        check("broken", "S 1")
            .unwrap_err()
            .of("check-found")
            .is_some()
    );
    let works = held_works();
    let held = fill(&works, "all", LOT, "").unwrap_err();
    let why = held.of("fill-container").unwrap_or_default();
    assert!(why.contains("it is held: its seal S-1 was broken"), "{why}");
}

/// A recount of C-1 by ben and ada, with some fields typed otherwise.
fn recount(works: &Works, other: &[(&'static str, &str)]) -> Result<Entry, FieldErrors> {
    let mut typed = Typed::with([
        ("recount-how", "named"),
        ("recount-sheets", "2"),
        ("recount-notes", "1"),
        ("recount-why", "the lid was open"),
        ("recount-second", "ada"),
    ]);
    for (field, text) in other {
        typed.set(field, (*text).to_owned());
    }
    container_recounted(&typed, works.state(), id("C-1"), id("ben"))
}

#[test]
fn a_recount_says_how_many_pieces_are_still_to_be_named() {
    let works = held_works();
    assert!(recount(&works, &[]).is_ok());
    let short = recount(&works, &[("recount-sheets", "1")]).unwrap_err();
    assert_eq!(
        short.of("recount-sheets"),
        Some("Declared: 2 sheets. Counted: 1. Name 1 more as missing below, or count again.")
    );
    let named = [("recount-sheets", "1"), ("recount-missing", "BW-1/3")];
    let Ok(Entry::ContainerRecounted(data)) = recount(&works, &named) else {
        panic!("a good recount is refused")
    };
    assert_eq!(
        (data.sheets, data.notes, data.missing.sheets.len()),
        (1, 1, 1)
    );
    for (field, text, part) in [
        ("recount-how", "", "Choose how you counted"),
        ("recount-why", " ", "is empty"),
        (
            "recount-second",
            "ben",
            "other than the one who is signed in",
        ),
        (
            "recount-missing",
            "BW-1/4",
            "is not declared for container C-1",
        ),
        ("recount-found", "BW-1/2", "is in container C-1 already"),
        ("recount-found", "KA001500", "is not a spoil"),
        ("recount-notes", "many", "is not a whole number"),
    ] {
        let errors = recount(&works, &[(field, text)]).unwrap_err();
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field}: {errors:?}"
        );
    }
}

#[test]
fn a_recount_of_every_piece_works_out_what_is_missing() {
    let works = held_works();
    let all = [("recount-how", "all"), ("recount-list", "BW-1/2\nKA001019")];
    let Ok(Entry::ContainerRecounted(data)) = recount(&works, &all) else {
        panic!("a good recount is refused")
    };
    assert_eq!(data.missing.items(), [Item::Sheet(id(LOT), id_of_sheet(3))]);
    assert_eq!((data.sheets, data.notes), (1, 1));
}

fn id_of_sheet(number: u32) -> crate::sheet::SheetNo {
    crate::sheet::SheetNo::new(number).expect("from 1")
}

#[test]
fn pieces_are_taken_out_by_the_entry_that_put_them_in() {
    let mut works = works();
    works.write("ben", fill(&works, "list", LOT, "2").expect("sheet 2"));
    works.write("ben", fill(&works, "list", LOT, "3").expect("sheet 3"));
    open(&mut works, "C-2");
    let out = |works: &Works, list: &str, to: &str, reason: &str| {
        let typed = Typed::with([("out-list", list), ("out-to", to), ("out-reason", reason)]);
        filling_corrected(&typed, works.state(), id("C-1"))
    };
    let entries = out(&works, "BW-1/2\nBW-1/3", "C-2", "wrong one").expect("both");
    assert_eq!(entries.len(), 2, "one for each entry that is corrected");
    let wrong = out(&works, "KA001019", "C-1", "").unwrap_err();
    assert!(
        wrong
            .of("out-list")
            .is_some_and(|why| why.contains("is loose")),
        "{wrong:?}"
    );
    assert!(wrong.of("out-to").is_some() && wrong.of("out-reason").is_some());
    assert!(
        out(&works, "", "", "why")
            .unwrap_err()
            .of("out-list")
            .is_some()
    );
    works.write("ben", vec![entries[0].clone()]);
    works.write("ben", vec![entries[1].clone()]);
    let gone = out(&works, "BW-1/2", "", "why").unwrap_err();
    assert!(
        gone.of("out-list")
            .is_some_and(|why| why.contains("is in container C-2"))
    );
}

#[test]
fn a_container_is_moved_held_and_retired_with_a_word_why() {
    let mut works = works();
    let moved = |works: &Works, place: &str| {
        container_moved(
            &Typed::with([("move-place", place)]),
            works.state(),
            id("C-1"),
        )
    };
    works.write(
        "ben",
        vec![moved(&works, " cage, shelf 3 ").expect("a place")],
    );
    let again = moved(&works, "cage, shelf 3").unwrap_err();
    assert_eq!(
        again.of("move-place"),
        Some("Container C-1 stands there already.")
    );
    assert!(moved(&works, "").unwrap_err().of("move-place").is_some());
    assert!(
        container_held(&Typed::default(), id("C-1"))
            .unwrap_err()
            .of("hold-reason")
            .is_some()
    );
    assert!(
        container_retired(&Typed::default(), id("C-1"))
            .unwrap_err()
            .of("retire-reason")
            .is_some()
    );
    let why = Typed::with([("retire-reason", "opened by mistake")]);
    works.write(
        "ben",
        vec![container_retired(&why, id("C-1")).expect("a reason")],
    );
    let taken = container_opened(&Typed::with([("container", "C-1")]), works.state()).unwrap_err();
    assert!(
        taken
            .of("container")
            .is_some_and(|why| why.contains("taken out of use: opened by mistake"))
    );
    let long = Typed::with([("container", "C-3"), ("container-place", &"x".repeat(41))]);
    assert!(
        container_opened(&long, works.state())
            .unwrap_err()
            .of("container-place")
            .is_some()
    );
}

#[test]
fn what_is_missing_is_given_up_or_found() {
    let mut works = held_works();
    let lost = |works: &Works, list: &str, second: &str| {
        let typed = Typed::with([
            ("lost-list", list),
            ("lost-reason", "swept up"),
            ("lost-second", second),
        ]);
        spoils_lost(&typed, works.state(), id("sue"))
    };
    let found = |works: &Works, list: &str| {
        let typed = Typed::with([("found-list", list), ("found-remark", "in the lift")]);
        spoils_found(&typed, works.state())
    };
    let inside = lost(&works, "BW-1/3", "ben").unwrap_err();
    assert!(
        inside
            .of("lost-list")
            .is_some_and(|why| why.contains("Count that container again"))
    );
    let missing = [("recount-sheets", "1"), ("recount-missing", "BW-1/3")];
    let counted = recount(&works, &missing).expect("counted");
    works.write("ben", vec![counted]);
    assert!(
        lost(&works, "BW-1/3", "sue")
            .unwrap_err()
            .of("lost-second")
            .is_some()
    );
    assert!(
        lost(&works, "", "ben")
            .unwrap_err()
            .of("lost-list")
            .is_some()
    );
    assert!(
        found(&works, "BW-1/2")
            .unwrap_err()
            .of("found-list")
            .is_some()
    );
    let entry = lost(&works, "BW-1/3", "ben").expect("given up");
    works.write("sue", vec![entry]);
    let twice = lost(&works, "BW-1/3", "ben").unwrap_err();
    assert!(
        twice
            .of("lost-list")
            .is_some_and(|why| why.contains("was declared lost in entry"))
    );
    let entry = found(&works, "BW-1/3").expect("found");
    works.write("ben", vec![entry]);
    assert_eq!(pieces(scanned(&works, "BW-1/3")), (1, 0, 0));
}

fn scanned(works: &Works, text: &str) -> Result<Vec<Entry>, FieldErrors> {
    let mut entries = Vec::new();
    let item =
        scan_spoil(text, None, works.state(), &[]).map_err(|why| FieldErrors::one("", why))?;
    entries.push(Entry::ContainerFilled(crate::book::ContainerFilled::new(
        id("C-9"),
        [item].into_iter().collect(),
    )));
    Ok(entries)
}
