//! What a draw, an insertion and a spoiled replacement note are refused for.

use cullbook::book::*;
use cullbook::sheet::{Printed, Replacement, Serial};

use super::works::*;

type Pairs = Vec<(Serial<Printed>, Serial<Replacement>)>;

fn pairs(list: &[(&str, &str)]) -> Pairs {
    list.iter().map(|(old, new)| (id(old), id(new))).collect()
}

#[track_caller]
fn refused(works: &mut Works, list: &[(&str, &str)]) -> Refusal {
    works.refused("sue", drawn("L1", "R1", pairs(list)))
}

#[test]
fn a_draw_names_notes_in_need() {
    let mut works = Works::examined();
    // Sheet 2, A1 and A2: KA000001 and KA000013.
    let no_need = |serial: &str| Refusal::NoNeed {
        serial: serial.to_owned(),
    };
    assert_eq!(
        refused(&mut works, &[("KA000000", "ZR000000")]),
        no_need("KA000000")
    );
    let twice = [("KA000001", "ZR000000"), ("KA000001", "ZR000001")];
    assert_eq!(refused(&mut works, &twice), no_need("KA000001"));
    let stranger = |serial: &str| Refusal::NotOfLot {
        serial: serial.to_owned(),
        lot: id("L1"),
    };
    assert_eq!(
        refused(&mut works, &[("KA000072", "ZR000000")]),
        stranger("KA000072")
    );
    assert_eq!(
        refused(&mut works, &[("KB000001", "ZR000000")]),
        stranger("KB000001")
    );
    works.must("sue", drawn("L1", "R1", pairs(&[("KA000001", "ZR000000")])));
    assert_eq!(
        refused(&mut works, &[("KA000001", "ZR000001")]),
        no_need("KA000001")
    );
    assert_eq!(refused(&mut works, &[]), Refusal::EmptyList);
    let long = vec![pairs(&[("KA000013", "ZR000001")])[0]; LIST_PART + 1];
    let why = works.refused("sue", drawn("L1", "R1", long));
    assert_eq!(why, Refusal::LongList { max: LIST_PART });
}

#[test]
fn a_draw_takes_the_next_unused_note_only() {
    let mut works = Works::examined();
    let out_of_turn = |given: &str, next: &str| Refusal::OutOfTurn {
        given: given.to_owned(),
        series: id("R1"),
        next: next.to_owned(),
    };
    let skips = refused(&mut works, &[("KA000001", "ZR000001")]);
    assert_eq!(skips, out_of_turn("ZR000001", "ZR000000"));
    let repeats = refused(
        &mut works,
        &[("KA000001", "ZR000000"), ("KA000013", "ZR000000")],
    );
    assert_eq!(repeats, out_of_turn("ZR000000", "ZR000001"));
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let torn = works.drawn("R1")[0];
    works.must("sue", spoiled("R1", vec![torn]));
    // The spoiled replacement note itself never comes again.
    let again = refused(&mut works, &[("KA000001", torn.as_str())]);
    assert_eq!(again, out_of_turn("ZR000000", "ZR000008"));
}

#[test]
fn a_series_that_has_run_out_says_so() {
    let mut works = Works::examined();
    works.must("sue", Entry::SeriesAdded(series("R2", "M20", 60, 60)));
    works.must("sue", drawn("L1", "R2", pairs(&[("KA000001", "ZR000060")])));
    let entry = drawn("L1", "R2", pairs(&[("KA000013", "ZR000061")]));
    let why = works.refused("sue", entry).to_string();
    assert!(why.contains("none, it has run out"), "{why}");
}

#[test]
fn a_draw_fits_its_lot_and_its_series() {
    let mut works = Works::examined();
    works.must("sue", product("M50"));
    works.must("sue", Entry::SeriesAdded(series("R5", "M50", 60, 69)));
    works.must("sue", lot("L2", 4, None));
    works.must("ida", examined("L2", 1, 1, &["A1 PH"]));
    let list = || pairs(&[("KA000001", "ZR000060")]);
    let why = works.refused("sue", drawn("L9", "R1", list()));
    assert_eq!(why, Refusal::UnknownLot(id("L9")));
    let why = works.refused("sue", drawn("L1", "R9", list()));
    assert_eq!(why, Refusal::UnknownSeries(id("R9")));
    let why = works.refused("sue", drawn("L2", "R1", list()));
    assert_eq!(why, Refusal::NotNumbered(id("L2")));
    let why = works.refused("sue", drawn("L1", "R5", list()));
    let wrong = Refusal::WrongProduct {
        series: id("R5"),
        of: id("M50"),
        lot: id("L1"),
        lot_product: id("M20"),
    };
    assert_eq!(why, wrong);
}

#[test]
fn only_a_note_on_hand_is_inserted_or_spoiled() {
    let mut works = Works::examined();
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let notes = |list: &[&str]| list.iter().map(|text| id(text)).collect::<Vec<_>>();
    let not_on_hand = |serial: &str, fate| Refusal::NotOnHand {
        serial: serial.to_owned(),
        fate,
    };
    for make in [inserted, spoiled, returned] {
        let mut refused = |list: &[&str]| works.refused("sue", make("R1", notes(list)));
        assert_eq!(
            refused(&["ZR000008"]),
            Refusal::NotDrawn("ZR000008".to_owned())
        );
        assert_eq!(
            refused(&["KA000001"]),
            Refusal::NotDrawn("KA000001".to_owned())
        );
        let twice = refused(&["ZR000000", "ZR000000"]);
        assert_eq!(twice, not_on_hand("ZR000000", "named twice"));
        assert_eq!(refused(&[]), Refusal::EmptyList);
    }
    let why = works.refused("sue", inserted("R9", notes(&["ZR000000"])));
    assert_eq!(why, Refusal::UnknownSeries(id("R9")));
    works.must("sue", inserted("R1", notes(&["ZR000000"])));
    works.must("sue", spoiled("R1", notes(&["ZR000001"])));
    for make in [inserted, spoiled, returned] {
        let mut refused = |list: &[&str]| works.refused("sue", make("R1", notes(list)));
        assert_eq!(refused(&["ZR000000"]), not_on_hand("ZR000000", "inserted"));
        assert_eq!(refused(&["ZR000001"]), not_on_hand("ZR000001", "spoiled"));
    }
    let mut silent = ReplacementsSpoiled {
        series: id("R1"),
        notes: notes(&["ZR000002"]),
        reason: " ".to_owned(),
    };
    let why = works.refused("sue", Entry::ReplacementsSpoiled(silent.clone()));
    assert_eq!(why, Refusal::Empty { field: "Reason" });
    silent.reason = "x".repeat(201);
    let why = works.refused("sue", Entry::ReplacementsSpoiled(silent));
    assert_eq!(
        why,
        Refusal::TooLong {
            field: "Reason",
            max: 200
        }
    );
}

#[test]
fn a_returned_note_never_comes_again_and_its_sheet_can_be_corrected() {
    let mut works = Works::examined();
    let list = [("KA000001", "ZR000000"), ("KA000013", "ZR000001")];
    works.must("sue", drawn("L1", "R1", pairs(&list)));
    let seq = works
        .lot("L1")
        .sheet(sheet(2))
        .unwrap()
        .exam
        .as_ref()
        .unwrap()
        .seq;
    let why = works.refused("sue", corrected("L1", 2, seq, &[]));
    assert!(matches!(why, Refusal::TooLateToCorrect { .. }), "{why}");
    let silent = ReplacementsReturned {
        series: id("R1"),
        notes: vec![id("ZR000000")],
        reason: String::new(),
    };
    let why = works.refused("sue", Entry::ReplacementsReturned(silent));
    assert_eq!(why, Refusal::Empty { field: "Reason" });
    works.must("sue", returned("R1", works.drawn("R1")));
    let why = works.refused("sue", returned("R1", vec![id("ZR000000")]));
    let gone = Refusal::NotOnHand {
        serial: "ZR000000".to_owned(),
        fate: "returned",
    };
    assert_eq!(why, gone);
    let again = refused(&mut works, &[("KA000001", "ZR000000")]);
    assert!(matches!(again, Refusal::OutOfTurn { .. }), "{again}");
    let f = lot_account(works.state(), works.lot("L1"));
    assert!(f.holds());
    let f = f.replacement_figures;
    assert_eq!((f.drawn, f.returned, f.on_hand), (2, 2, 0));
    works.must("sue", corrected("L1", 2, seq, &[]));
    assert_eq!(works.lot("L1").needs().len(), 6);
}
