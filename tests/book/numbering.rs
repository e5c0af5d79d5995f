//! A lot examined before numbering, from its numbering on. Sheets have 2 rows by 3 notes, ranked
//! row by row; stacks and bundles have 4, boxes two bundles.

use cullbook::account::Identity;
use cullbook::book::*;
use cullbook::custody::Item;
use cullbook::people::Duty;
use cullbook::sheet::{NumberingError, Run};

use super::works::*;

/// Lot U1 of 8 sheets: 3 is spoiled, 5 (A1) and 8 (B3) are mixed, the others good.
fn examined_plain() -> Works {
    let mut works = Works::staffed();
    works.must("sue", lot("U1", 8, None));
    works.must("ida", examined("U1", 1, 2, &[]));
    works.must("ida", examined("U1", 3, 3, &["- PT"]));
    works.must("ida", examined("U1", 4, 4, &[]));
    works.must("ida", examined("U1", 5, 5, &["A1 PH"]));
    works.must("ida", examined("U1", 6, 7, &[]));
    works.must("ida", examined("U1", 8, 8, &["B3 PH"]));
    works
}

/// Numbered: rank p of the sheet at place k has 100 + 10 · p + k.
fn numbered_with_room() -> Works {
    let mut works = examined_plain();
    works.must("sue", lot_numbered("U1", strided("KU", 7, 100, 10)));
    works
}

fn spoils(works: &Works) -> Vec<String> {
    let spoils = works.state().cage.spoils.iter();
    spoils
        .map(|(item, place)| {
            assert_eq!(*place, Place::Loose);
            item.to_string()
        })
        .collect()
}

fn order(works: &Works) -> Vec<u32> {
    let order = works.lot("U1").press_order();
    order.iter().map(|sheet| sheet.number()).collect()
}

/// The counts of an identity: owed, then found.
fn counts(works: &Works, which: usize) -> (Vec<u64>, Vec<u64>) {
    let identity: Identity = lot_account(works.state(), works.lot("U1")).identities[which].clone();
    assert!(identity.holds(), "{identity:?}");
    let count = |terms: &[cullbook::account::Term]| terms.iter().map(|term| term.count).collect();
    (count(&identity.owed), count(&identity.found))
}

#[test]
fn survivors_take_serials_in_order_and_marked_notes_become_spoils() {
    let mut works = examined_plain();
    assert_eq!(spoils(&works), ["sheet 3 of lot U1"]);
    assert_eq!(counts(&works, 3), (vec![1], vec![1, 0, 0, 0, 0, 0]));
    assert!(works.lot("U1").needs().is_empty());
    works.must("sue", lot_numbered("U1", strided("KU", 7, 100, 10)));
    assert_eq!(order(&works), [1, 2, 4, 5, 6, 7, 8]);
    // Sheet 5 stands at place 3: 100 + 3; sheet 8 at place 6, B3 has rank 5: 100 + 50 + 6.
    let all = ["sheet 3 of lot U1", "note KU000103", "note KU000156"];
    assert_eq!(spoils(&works), all);
    assert_eq!(counts(&works, 3), (vec![3], vec![3, 0, 0, 0, 0, 0]));
    assert_eq!(counts(&works, 0), (vec![8, 0], vec![5, 2, 1, 0, 0]));
    assert_eq!(counts(&works, 1), (vec![48], vec![40, 2, 6, 0, 0]));
    let lot = works.lot("U1");
    let needs: Vec<u64> = lot.needs().into_iter().map(|need| need.note).collect();
    assert_eq!(needs, [103, 156]);
    assert_eq!(lot.gone(sheet(3)), Some(Gone::BeforeNumbering));
    assert_eq!(lot.gone(sheet(4)), None);
    let Trace::Found(life) = works.state().trace("KU000156") else {
        panic!("a serial of the lot is found");
    };
    let Life::Printed(life) = *life else {
        panic!("it is printed");
    };
    assert_eq!((life.sheet, life.lost), (sheet(8), true));
    // Stack 2 has sheets 6, 7, 8 alone.
    assert_eq!((life.place.stack, life.place.depth), (2, 3));
    let beyond = works.state().trace("KU000107");
    assert!(matches!(beyond, Trace::NoSuchNote), "{beyond:?}");
}

#[test]
fn serials_shift_when_sheets_are_lost_or_added() {
    let mut works = numbered_with_room();
    works.must("sue", lost("U1", 2));
    assert_eq!(order(&works), [1, 4, 5, 6, 7, 8]);
    let shifted = ["sheet 3 of lot U1", "note KU000102", "note KU000155"];
    assert_eq!(spoils(&works), shifted);
    works.must("sue", added("U1", 6, 2));
    assert_eq!(order(&works), [1, 4, 5, 6, 9, 10, 7, 8]);
    let shifted = ["sheet 3 of lot U1", "note KU000102", "note KU000157"];
    assert_eq!(spoils(&works), shifted);
    // Sheet 9 stands at place 4, A2 has rank 1: 100 + 10 + 4.
    works.must("ivo", examined("U1", 9, 9, &["A2 PH"]));
    assert!(spoils(&works).contains(&"note KU000114".to_owned()));
    assert_eq!(counts(&works, 0), (vec![8, 2], vec![4, 3, 1, 1, 1]));
    assert_eq!(counts(&works, 1), (vec![60], vec![39, 3, 6, 6, 6]));
    assert_eq!(counts(&works, 3), (vec![4], vec![4, 0, 0, 0, 0, 0]));
    let lot = works.lot("U1");
    let position = lot.product.layout.of_rank(5).unwrap();
    let place = lot.place(sheet(8), position).unwrap();
    assert_eq!((place.bundle.number(), place.box_no.number()), (12, 6));
    let sheets: Vec<_> = lot
        .bundle(place.bundle)
        .into_iter()
        .map(|note| note.0)
        .collect();
    assert_eq!(sheets, [9, 10, 7, 8].map(sheet));
    let seq = lot.press.records[0].seq;
    assert_eq!(lot.gone(sheet(2)), Some(Gone::LostAtPress { seq }));
    assert_eq!((lot.received(), lot.len()), (8, 10));
}

#[test]
fn what_differs_before_numbering_counts_in_it() {
    let mut works = examined_plain();
    works.must("sue", lost("U1", 5));
    works.must("sue", added("U1", 0, 1));
    let refused = works.refused("sue", lot_numbered("U1", numbered("KU", 7, 0)));
    let lot = id("U1");
    assert_eq!(refused, Refusal::NumberedTooSoon { lot, sheets: 1 });
    works.must("ida", examined("U1", 9, 9, &["- PT"]));
    works.must("sue", added("U1", 8, 1));
    works.must("ida", examined("U1", 10, 10, &[]));
    works.must("sue", lot_numbered("U1", numbered("KU", 7, 0)));
    assert_eq!(order(&works), [1, 2, 4, 6, 7, 8, 10]);
    // Place 5, rank 5, stride 7: 35 + 5. The mark of the lost sheet has no serial.
    let both = ["sheet 3 of lot U1", "sheet 9 of lot U1", "note KU000040"];
    assert_eq!(spoils(&works), both);
    assert_eq!(counts(&works, 0), (vec![8, 2], vec![6, 1, 2, 1, 0]));
}

/// A run that loses its only sheet goes, and the run before it is the last.
#[test]
fn the_last_run_takes_up_every_difference() {
    let mut works = examined_plain();
    let mut spec = strided("KU", 6, 100, 10);
    spec.runs.push(Run::down_stack(1, 900));
    works.must("sue", lot_numbered("U1", spec));
    let number = |works: &Works, number: u32| {
        let lot = works.lot("U1");
        lot.number(sheet(number), lot.product.layout.of_rank(0).unwrap())
    };
    assert_eq!(number(&works, 8), Some(900));
    works.must("sue", lost("U1", 1));
    assert_eq!(
        (number(&works, 8), number(&works, 2)),
        (Some(105), Some(100))
    );
    works.must("sue", added("U1", 8, 1));
    assert_eq!(number(&works, 9), Some(106));
}

#[test]
fn a_lot_is_numbered_once_whole_and_with_free_serials() {
    let mut works = Works::with_lot();
    let mut part = examined_plain();
    let refused = works.refused("sue", lot_numbered("L1", numbered("KU", 12, 0)));
    assert_eq!(refused, Refusal::NumberedBefore(id("L1")));
    works.must("sue", lot("U1", 8, None));
    works.must("ida", examined("U1", 1, 6, &["- PT"]));
    let (u1, sheets) = (id("U1"), 2);
    let refused = works.refused("sue", lot_numbered("U1", numbered("KU", 2, 0)));
    assert_eq!(refused, Refusal::NumberedTooSoon { lot: u1, sheets });
    works.must("ida", examined("U1", 7, 7, &[]));
    works.must("ida", examined("U1", 8, 8, &["A1 PH"]));
    let refused = works.refused("sue", lot_numbered("U1", numbered("KU", 8, 0)));
    let count = NumberingError::SheetCount { runs: 8, lot: 2 };
    assert_eq!(refused, Refusal::Numbering(count));
    let refused = works.refused("sue", lot_numbered("U1", numbered("KA", 2, 70)));
    let taken = |from: &str, to: &str, by: &str| {
        let [from, to, by] = [from, to, by].map(str::to_owned);
        Refusal::SerialsTaken { from, to, by }
    };
    assert_eq!(refused, taken("KA000070", "KA000071", "lot L1"));
    let refused = works.refused("sue", lot_numbered("U1", numbered("ZR", 2, 55)));
    assert_eq!(refused, taken("ZR000055", "ZR000059", "series R1"));
    let (person, duty) = (id("ida"), Duty::RunTheOffice);
    let refused = works.refused("ida", lot_numbered("U1", numbered("KU", 2, 0)));
    assert_eq!(refused, Refusal::NotAllowed { person, duty });
    works.must("sue", lot_numbered("U1", numbered("KU", 2, 0)));
    let refused = works.refused("sue", lot_numbered("U1", numbered("KV", 2, 0)));
    assert_eq!(refused, Refusal::NumberedBefore(u1));

    part.must("sue", lot("U2", 1, None));
    part.must("ida", examined("U2", 1, 1, &["- PT"]));
    let refused = part.refused("sue", lot_numbered("U2", numbered("KU", 1, 0)));
    assert_eq!(refused, Refusal::NothingToNumber(id("U2")));
    let unknown = part.refused("sue", lot_numbered("U9", numbered("KU", 1, 0)));
    assert_eq!(unknown, Refusal::UnknownLot(id("U9")));
    // A good lot can be closed without serials, and then not be numbered.
    part.must("sue", lot("U3", 1, None));
    part.must("ida", examined("U3", 1, 1, &[]));
    part.must("sue", lot_closed("U3"));
    let refused = part.refused("sue", lot_numbered("U3", numbered("KU", 1, 0)));
    assert_eq!(refused, Refusal::LotIsClosed(id("U3")));
    assert_eq!(
        part.refused("sue", lost("U3", 1)),
        Refusal::LotIsClosed(id("U3"))
    );
}

#[test]
fn only_a_sheet_in_the_order_is_lost_or_followed() {
    let mut works = numbered_with_room();
    works.must("sue", lost("U1", 2));
    works.must("sue", added("U1", 8, 1));
    let mut not_lost = |number, why| {
        let sheet = sheet(number);
        let refused = works.refused("sue", lost("U1", number));
        assert_eq!(refused, Refusal::NotLost { sheet, why });
    };
    not_lost(2, "it was lost there before");
    not_lost(3, "it left before numbering and is in the cage");
    not_lost(9, "it is not examined yet");
    works.must("ida", examined("U1", 9, 9, &["- PT"]));
    let refused = works.refused("sue", lost("U1", 9));
    let why = "it is spoiled and in the cage";
    assert_eq!(
        refused,
        Refusal::NotLost {
            sheet: sheet(9),
            why
        }
    );
    let (lot, sheets) = (id("U1"), 9);
    let outside = |number| Refusal::SheetOutside {
        lot,
        sheet: sheet(number),
        sheets,
    };
    assert_eq!(works.refused("sue", lost("U1", 10)), outside(10));
    assert_eq!(works.refused("sue", added("U1", 11, 1)), outside(11));
    let gone = Gone::BeforeNumbering;
    let refused = works.refused("sue", added("U1", 3, 1));
    assert_eq!(
        refused,
        Refusal::NotInPressOrder {
            sheet: sheet(3),
            gone
        }
    );
    let (given, max) = (0, 10_000_000 - 9);
    let refused = works.refused("sue", added("U1", 1, 0));
    assert_eq!(refused, Refusal::LotSize { given, max });
}

#[test]
fn a_difference_needs_a_reason_and_a_second_person() {
    let mut works = examined_plain();
    let what = Difference::Lost { sheet: sheet(1) };
    let data = |second: &str, reason: &str| {
        Entry::PressDiffered(PressDiffered {
            lot: id("U1"),
            what,
            reason: reason.to_owned(),
            second: id(second),
        })
    };
    let refused = works.refused("sue", data("sue", "fed double"));
    assert_eq!(refused, Refusal::SamePerson(id("sue")));
    let refused = works.refused("sue", data("nan", "fed double"));
    assert_eq!(refused, Refusal::UnknownPerson(id("nan")));
    let refused = works.refused("sue", data("cas", " "));
    assert_eq!(refused, Refusal::Empty { field: "Reason" });
    let (person, duty) = (id("cal"), Duty::RunTheOffice);
    let refused = works.refused("cal", data("cas", "fed double"));
    assert_eq!(refused, Refusal::NotAllowed { person, duty });
    let mut numbered = Works::examined();
    let refused = numbered.refused("sue", lost("L1", 1));
    assert_eq!(refused, Refusal::CameNumbered(id("L1")));
}

#[test]
fn serials_stand_still_once_something_is_built_on_them() {
    let lot = id("U1");
    let mut works = numbered_with_room();
    let draw = works.draw("U1", "R1");
    works.must("sue", draw);
    let notes = works.drawn("R1");
    works.must("sue", spoiled("R1", notes));
    let why = "replacement notes were drawn for it";
    for entry in [lost("U1", 1), added("U1", 1, 1)] {
        assert_eq!(
            works.refused("sue", entry),
            Refusal::SerialsInUse { lot, why }
        );
    }
    let mut works = numbered_with_room();
    works.must("cal", container("C1"));
    works.must("cal", filled("C1", [Item::Sheet(lot, sheet(3))]));
    works.must("sue", lost("U1", 1));
    works.must("cal", filled("C1", [Item::Note(id("KU000102"))]));
    let why = "some of its numbered spoils are in a container";
    for entry in [lost("U1", 2), added("U1", 2, 1)] {
        assert_eq!(
            works.refused("sue", entry),
            Refusal::SerialsInUse { lot, why }
        );
    }
}

#[test]
fn a_numbering_without_room_takes_no_more_sheets() {
    let mut works = examined_plain();
    works.must("sue", lot_numbered("U1", numbered("KU", 7, 0)));
    let refused = works.refused("sue", added("U1", 8, 1));
    assert_eq!(refused, Refusal::NoRoomInNumbering(id("U1")));
    // One lost makes room for one.
    works.must("sue", lost("U1", 1));
    works.must("sue", added("U1", 8, 1));
    // Room of its own, but a neighbour has the serials.
    works.must("sue", lot("U2", 1, None));
    works.must("ida", examined("U2", 1, 1, &[]));
    works.must("sue", lot_numbered("U2", strided("KU", 1, 100, 10)));
    works.must("sue", lot("N1", 1, Some(strided("KU", 1, 101, 10))));
    let refused = works.refused("sue", added("U2", 1, 1));
    assert!(
        matches!(refused, Refusal::SerialsTaken { .. }),
        "{refused:?}"
    );
    let refused = works.refused("sue", lost("U2", 1));
    assert_eq!(refused, Refusal::LastInPressOrder(id("U2")));
}

#[test]
fn a_sheet_that_is_gone_cannot_be_corrected_one_in_the_order_can() {
    let mut works = examined_plain();
    works.must("sue", lost("U1", 4));
    works.must("sue", lot_numbered("U1", strided("KU", 6, 100, 10)));
    let seq = |works: &Works, number| {
        let exam = works.lot("U1").sheet(sheet(number)).unwrap().exam.clone();
        exam.unwrap().seq
    };
    for (number, why) in [
        (3, "it left before the lot was numbered"),
        (4, "it was lost at the press"),
    ] {
        let seq = seq(&works, number);
        let refused = works.refused("ida", corrected("U1", number, seq, &[]));
        let (sheet, why) = (sheet(number), why.to_owned());
        assert_eq!(refused, Refusal::TooLateToCorrect { sheet, why });
    }
    let fifth = seq(&works, 5);
    works.must("ida", corrected("U1", 5, fifth, &["A2 PH"]));
    // Sheet 5 at place 2, rank 1: 100 + 10 + 2.
    let notes = ["sheet 3 of lot U1", "note KU000112", "note KU000155"];
    assert_eq!(spoils(&works), notes);
    // A numbered sheet ruled spoiled now keeps its serials: all six notes are in need.
    let fifth = seq(&works, 5);
    works.must("ida", corrected("U1", 5, fifth, &["- PT"]));
    assert_eq!(works.lot("U1").needs().len(), 7);
    assert_eq!(works.lot("U1").gone(sheet(5)), None);
}

#[test]
fn a_lot_with_marked_notes_is_numbered_before_it_is_closed() {
    let mut works = examined_plain();
    let obstacles = works.state().stands_in_the_way(works.lot("U1"));
    assert_eq!(obstacles[0], Obstacle::NotNumbered { notes: 2 });
    let (lot, why) = (id("U1"), Obstacle::NotNumbered { notes: 2 });
    let refused = works.refused("sue", lot_closed("U1"));
    assert_eq!(refused, Refusal::LotNotDone { lot, why });
    works.must("sue", lost("U1", 5));
    let obstacles = works.state().stands_in_the_way(works.lot("U1"));
    assert_eq!(obstacles[0], Obstacle::NotNumbered { notes: 1 });
    works.must("sue", lot_numbered("U1", numbered("KU", 6, 0)));
    let draw = works.draw("U1", "R1");
    works.must("sue", draw);
    let notes = works.drawn("R1");
    works.must("sue", inserted("R1", notes));
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "cas"));
    let destruction = works.destruction("D1", &["C1"]);
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    works.must("sue", lot_closed("U1"));
}
