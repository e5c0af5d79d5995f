//! Acceptance samples: drawn by a seed, looked at by somebody else, believed for a stated risk.

use cullbook::book::*;
use cullbook::quality::sampling::{Decision, Severity, Standing};
use cullbook::sheet::SheetNo;

use super::works::*;

fn draw(works: &mut Works, number: &str, lot: &str, inspection: Severity) -> Vec<SheetNo> {
    let data = sample_drawn(works, number, lot, inspection);
    let sheets = data.sheets.clone();
    works.must("sue", Entry::AcceptanceDrawn(data));
    sheets
}

/// `sue` passed nothing, so she may look at every sheet. The first `bad` ones are bad.
fn look_at_all(works: &mut Works, number: &str, sheets: &[SheetNo], bad: usize) {
    for (at, sheet) in sheets.iter().enumerate() {
        let tags: &[&str] = if at < bad { &["A1 PH"] } else { &[] };
        works.must("sue", looked(number, *sheet, tags));
    }
}

fn decision(works: &Works, number: &str) -> Option<Decision> {
    works.state().acceptance(id(number)).unwrap().decision()
}

#[test]
fn a_sample_is_drawn_from_the_passed_sheets_by_its_seed_alone() {
    let mut works = Works::examined();
    // Ten of twelve are good. MIL-STD-105E: lot size 9 to 15 at level II is letter B, whose cell at
    // AQL 10 is an arrow down to letter C: five items.
    let data = sample_drawn(&works, "A-1", "L1", Severity::Normal);
    assert_eq!((data.passed, data.sheets.len()), (10, 5));
    let passed = works.lot("L1").passed();
    assert!(data.sheets.iter().all(|sheet| passed.contains(sheet)));

    let id = id("A-1");
    let mut other = data.clone();
    other.sheets.reverse();
    let forged = works.refused("sue", Entry::AcceptanceDrawn(other));
    assert_eq!(forged, Refusal::OtherDraw(id));
    let fewer = AcceptanceDrawn {
        passed: 9,
        ..data.clone()
    };
    let fewer = works.refused("sue", Entry::AcceptanceDrawn(fewer));
    assert_eq!(fewer, Refusal::OtherDraw(id));
    let unseeded = AcceptanceDrawn {
        seed: " ".to_owned(),
        ..data.clone()
    };
    let unseeded = works.refused("sue", Entry::AcceptanceDrawn(unseeded));
    assert_eq!(unseeded, Refusal::Empty { field: "Seed" });
    let by_inspector = works.refused("ida", Entry::AcceptanceDrawn(data.clone()));
    assert!(matches!(by_inspector, Refusal::NotAllowed { .. }));

    works.must("sue", Entry::AcceptanceDrawn(data.clone()));
    let twice = works.refused("sue", Entry::AcceptanceDrawn(data.clone()));
    assert_eq!(twice, Refusal::AcceptanceTaken(id));
    let second = sample_drawn(&works, "A-2", "L1", Severity::Normal);
    let second = works.refused("sue", Entry::AcceptanceDrawn(second));
    assert_eq!(second, Refusal::AcceptanceOpen(id));
}

#[test]
fn nobody_looks_again_at_a_sheet_they_passed_themselves() {
    let mut works = Works::examined();
    let sheets = draw(&mut works, "A-1", "L1", Severity::Normal);
    let sheet = sheets[0];
    let by = works
        .lot("L1")
        .sheet(sheet)
        .unwrap()
        .exam
        .as_ref()
        .unwrap()
        .by;
    let own = works.refused(&by.to_string(), looked("A-1", sheet, &[]));
    assert_eq!(own, Refusal::OwnSheet { sheet, by });
    let unknown = works.refused("sue", looked("A-9", sheet, &[]));
    assert_eq!(unknown, Refusal::UnknownAcceptance(id("A-9")));
    let outside = works.lot("L1").passed();
    let outside = outside
        .into_iter()
        .find(|one| !sheets.contains(one))
        .unwrap();
    let not_drawn = works.refused("sue", looked("A-1", outside, &[]));
    assert!(matches!(not_drawn, Refusal::NotInSample { .. }));
    let bad_tag = works.refused("sue", looked("A-1", sheet, &["Z9 PH"]));
    assert!(matches!(bad_tag, Refusal::Tag { .. }));
}

#[test]
fn a_look_is_corrected_by_naming_it_and_saying_why() {
    let mut works = Works::examined();
    let sheet = draw(&mut works, "A-1", "L1", Severity::Normal)[0];
    works.must("sue", looked("A-1", sheet, &["A1 PH"]));
    let seq = works.book.len() - 1;
    let again = works.refused("sue", looked("A-1", sheet, &[]));
    assert_eq!(again, Refusal::LookedBefore { sheet, seq });
    let correct = |corrects, reason: &str| {
        Entry::AcceptanceLooked(AcceptanceLooked {
            corrects: Some(corrects),
            reason: Some(reason.to_owned()),
            ..look("A-1", sheet, &[])
        })
    };
    let wordless = works.refused("sue", correct(seq, " "));
    assert!(matches!(wordless, Refusal::Empty { .. }));
    let stale = works.refused("sue", correct(seq - 1, "dust"));
    assert!(matches!(stale, Refusal::NothingToCorrect { .. }));
    works.must("sue", correct(seq, "dust on the glass"));
    let sample = works.state().acceptance(id("A-1")).unwrap();
    let look = sample.look(sheet).unwrap();
    assert!(!look.is_bad());
    assert_eq!(look.corrects, Some((seq, "dust on the glass".to_owned())));
}

#[test]
fn a_rejected_lot_stays_open_until_a_later_sample_accepts_it() {
    let mut works = Works::examined();
    let sheets = draw(&mut works, "A-1", "L1", Severity::Normal);
    let plan = works.state().acceptance(id("A-1")).unwrap().plan;
    // Letter C at AQL 10: MIL-STD-105E table II-A accepts with 1 of 5 bad and rejects at 2.
    assert_eq!((plan.accept(), plan.reject()), (1, 2));
    works.must("sue", looked("A-1", sheets[0], &["A1 PH"]));
    assert_eq!(decision(&works, "A-1"), None);
    let in_the_way = |works: &Works| works.state().stands_in_the_way(works.lot("L1"));
    assert!(in_the_way(&works).contains(&Obstacle::NotLookedAt { sheets: 4 }));
    works.must("sue", looked("A-1", sheets[1], &["A1 PH"]));
    for sheet in &sheets[2..] {
        works.must("sue", looked("A-1", *sheet, &[]));
    }
    assert_eq!(decision(&works, "A-1"), Some(Decision::Reject));
    assert!(in_the_way(&works).contains(&Obstacle::NotAccepted(id("A-1"))));
    assert!(in_the_way(&works).contains(&Obstacle::PassedThoughBad { sheets: 2 }));

    // Correcting the two sheets answers for them, and a new sample for the rest.
    for sheet in &sheets[..2] {
        let seq = works.last_word("L1", sheet.number());
        works.must("ida", corrected("L1", sheet.number(), seq, &["A1 PH"]));
    }
    assert!(works.state().passed_though_bad(works.lot("L1")).is_empty());
    let again = draw(&mut works, "A-2", "L1", Severity::Normal);
    look_at_all(&mut works, "A-2", &again, 0);
    assert_eq!(decision(&works, "A-2"), Some(Decision::Accept));
    assert!(!in_the_way(&works).iter().any(|why| matches!(
        why,
        Obstacle::NotAccepted(_) | Obstacle::PassedThoughBad { .. } | Obstacle::NotLookedAt { .. }
    )));
    assert!(works.state().acceptance(id("A-2")).unwrap().again);
}

/// Lots `S1`, `S2`, … of twelve sheets each, all passed, judged one after the other.
fn judge(works: &mut Works, lot: u32, inspection: Severity, bad: usize) {
    let name = format!("S{lot}");
    works.must("sue", self::lot(&name, 12, None));
    works.must("ida", examined(&name, 1, 12, &[]));
    let number = format!("A-{lot}");
    let sheets = draw(works, &number, &name, inspection);
    look_at_all(works, &number, &sheets, bad);
}

#[test]
fn two_rejected_lots_tighten_and_five_more_suspend() {
    let mut works = Works::staffed();
    judge(&mut works, 1, Severity::Normal, 3);
    judge(&mut works, 2, Severity::Normal, 3);
    let standing = |works: &Works| works.state().standing(id("M20"));
    assert_eq!(standing(&works).severity(), Severity::Tightened);
    works.must("sue", lot("T1", 12, None));
    works.must("ida", examined("T1", 1, 12, &[]));
    let lenient = sample_drawn(&works, "A-3", "T1", Severity::Normal);
    let refused = works.refused("sue", Entry::AcceptanceDrawn(lenient));
    let (chosen, needed) = (Severity::Normal, Severity::Tightened);
    assert_eq!(refused, Refusal::TooLenient { chosen, needed });

    for lot in 3..8 {
        judge(&mut works, lot, Severity::Tightened, 3);
    }
    assert_eq!(standing(&works), Standing::Suspended);
    let data = sample_drawn(&works, "A-9", "T1", Severity::Tightened);
    let refused = works.refused("sue", Entry::AcceptanceDrawn(data.clone()));
    assert_eq!(refused, Refusal::AcceptanceSuspended(id("M20")));
    let resumed = AcceptanceDrawn {
        resumed: Some("new blanket on unit 3".to_owned()),
        ..data
    };
    works.must("sue", Entry::AcceptanceDrawn(resumed.clone()));
    look_at_all(&mut works, "A-9", &resumed.sheets, 0);
    assert_eq!(
        standing(&works),
        Standing::Tightened {
            accepted: 1,
            rejected: 0
        }
    );
    works.must("sue", lot("T2", 12, None));
    works.must("ida", examined("T2", 1, 12, &[]));
    let needless = AcceptanceDrawn {
        resumed: Some("nothing".to_owned()),
        ..sample_drawn(&works, "A-10", "T2", Severity::Tightened)
    };
    let refused = works.refused("sue", Entry::AcceptanceDrawn(needless));
    assert_eq!(refused, Refusal::NothingToResume(id("M20")));
}

#[test]
fn a_lot_with_fewer_than_two_passed_sheets_is_too_small() {
    let mut works = Works::with_lot();
    works.must("ida", examined("L1", 1, 1, &[]));
    let lot = works.lot("L1");
    let aql = "10".to_owned().try_into().unwrap();
    let why = lot.acceptance_plan(Default::default(), aql, Severity::Normal);
    assert!(why.unwrap_err().to_string().contains("too small"));
}

#[test]
fn a_sample_and_its_looks_are_in_the_life_of_a_sheet() {
    let mut works = Works::examined();
    let sheet = draw(&mut works, "A-1", "L1", Severity::Normal)[0];
    works.must("sue", looked("A-1", sheet, &["A1 PH"]));
    let life = works.book.life(&Subject::Sheet(id("L1"), sheet));
    let says: Vec<&str> = life.iter().map(|step| step.says.as_str()).collect();
    assert!(
        says.contains(&"drawn for acceptance sample A-1"),
        "{says:?}"
    );
    assert!(
        says.iter()
            .any(|says| says.starts_with("looked at again for acceptance sample A-1: "))
    );
}
