//! A supervisor's word against the rules: what it changes, what it keeps, when it is refused.

use cullbook::book::*;
use cullbook::custody::Item;
use cullbook::inspect::{Reason, Verdict};

use super::works::*;

fn exam_of(works: &Works, number: u32) -> Exam {
    let exam = works.lot("L1").sheet(sheet(number)).unwrap().exam.clone();
    Exam::clone(&exam.expect("an examined sheet"))
}

#[test]
fn the_ruling_keeps_what_the_rules_said_and_who_overruled_them() {
    let mut works = Works::examined();
    let seq = works.last_word("L1", 5);
    let (before, spoils) = (exam_of(&works, 5), works.state().cage.spoils.len());
    works.must("sue", overruled("L1", 5, seq, Verdict::Good));
    let exam = exam_of(&works, 5);
    assert_eq!(exam.ruling.verdict, Verdict::Good);
    assert_eq!(
        exam.ruling.reason.to_string(),
        "overruled by sue of the works: printed thread, not a defect; the rules said spoiled: \
         PT tear spoils the whole sheet"
    );
    assert_eq!(
        (&exam.tags, exam.by, &exam.at),
        (&before.tags, before.by, &before.at)
    );
    assert_eq!((exam.seq, exam.examined_in()), (works.book.len() - 1, seq));
    assert!(
        !works
            .state()
            .cage
            .spoils
            .contains_key(&Item::Sheet(id("L1"), sheet(5)))
    );
    assert_eq!(works.state().cage.spoils.len(), spoils - 1);
    let lot = works.lot("L1");
    assert_eq!(
        (lot.tally.good, lot.tally.mixed, lot.tally.spoiled),
        (11, 1, 0)
    );
    assert_eq!(lot.tally.notes_spoiled, 2);
    let day = &works.state().days[&id("2026-11-25")];
    assert_eq!(
        (day.overrulings, day.corrections, day.all),
        (1, 0, lot.tally)
    );
    assert_eq!(day.by_inspector[&id("ivo")].good, 3);
    assert!(lot_account(works.state(), lot).holds());
}

#[test]
fn a_spoiled_sheet_may_be_made_of_a_good_one_and_needs_all_its_notes_replaced() {
    let mut works = Works::examined();
    let seq = works.last_word("L1", 1);
    works.must("sue", overruled("L1", 1, seq, Verdict::Spoiled));
    let lot = works.lot("L1");
    assert_eq!(lot.needs().len(), 6 + 2 + 6);
    assert!(
        works
            .state()
            .cage
            .spoils
            .contains_key(&Item::Sheet(id("L1"), sheet(1)))
    );
    assert!(lot_account(works.state(), lot).holds());
}

#[test]
fn a_second_overruling_keeps_what_the_rules_said_and_a_correction_rules_anew() {
    let mut works = Works::examined();
    let examined = works.last_word("L1", 2);
    works.must("sue", overruled("L1", 2, examined, Verdict::Spoiled));
    let first = works.last_word("L1", 2);
    works.must("sue", overruled("L1", 2, first, Verdict::Good));
    let exam = exam_of(&works, 2);
    let (verdict, reason) = exam.ruling.by_rules();
    let defective = |reason: &Reason| matches!(reason, Reason::Count { defective: 2, .. });
    assert!(verdict == Verdict::Mixed && defective(reason), "{reason}");
    assert_eq!(exam.examined_in(), examined);
    // Only the last word can be corrected, and the correction is by the rules alone.
    let (sheet, corrects) = (sheet(2), examined);
    assert_eq!(
        works.refused("ida", corrected("L1", 2, examined, &[])),
        Refusal::NothingToCorrect { sheet, corrects }
    );
    let last = works.last_word("L1", 2);
    works.must("ida", corrected("L1", 2, last, &["A1 PH"]));
    let exam = exam_of(&works, 2);
    assert!(exam.overruled.is_none() && !exam.ruling.is_overruled());
    assert_eq!(exam.ruling.verdict, Verdict::Mixed);
}

#[test]
fn what_cannot_be_overruled_is_refused() {
    let mut works = Works::examined();
    works.must("sue", lot("L2", 4, None));
    let seq = works.last_word("L1", 2);
    let (second, corrects) = (sheet(2), seq);
    let verdict = Verdict::Mixed;
    assert_eq!(
        works.refused("sue", overruled("L1", 2, seq, verdict)),
        Refusal::SameVerdict {
            sheet: second,
            verdict
        }
    );
    let first = works.last_word("L1", 1);
    assert_eq!(
        works.refused("sue", overruled("L1", 1, first, Verdict::Mixed)),
        Refusal::NothingDefective { sheet: sheet(1) }
    );
    let unexamined = works.refused("sue", overruled("L2", 2, corrects, Verdict::Good));
    assert_eq!(
        unexamined,
        Refusal::NothingToCorrect {
            sheet: second,
            corrects
        }
    );
    assert!(matches!(
        works.refused("sue", overruled("L1", 13, seq, Verdict::Good)),
        Refusal::SheetOutside { .. }
    ));
    let mut silent = overruled("L1", 2, seq, Verdict::Good);
    let Entry::VerdictOverruled(data) = &mut silent else {
        unreachable!("overruled overrules")
    };
    data.reason = " ".to_owned();
    let field = "Reason for overruling";
    assert_eq!(works.refused("sue", silent), Refusal::Empty { field });
}

#[test]
fn a_sheet_that_others_built_on_cannot_be_overruled() {
    let mut drawn = Works::examined();
    let draw = drawn.draw("L1", "R1");
    drawn.must("sue", draw);
    let seq = drawn.last_word("L1", 2);
    let sheet = sheet(2);
    let why = "replacement notes are drawn for it".to_owned();
    let refusal = drawn.refused("sue", overruled("L1", 2, seq, Verdict::Good));
    assert_eq!(refusal, Refusal::TooLateToCorrect { sheet, why });
}

#[test]
fn whoever_overruled_a_verdict_cannot_witness_its_destruction() {
    use cullbook::people::Role;
    let mut works = Works::examined();
    let both = person("sam", &[Role::Supervisor], false);
    works.must("sue", Entry::PersonEnrolled(both));
    let seq = works.last_word("L1", 1);
    works.must("sam", overruled("L1", 1, seq, Verdict::Spoiled));
    works.must("cal", container("C1"));
    works.must("cal", filled("C1", [Item::Sheet(id("L1"), sheet(1))]));
    let taggers = works.state().taggers(&[id("C1")]);
    assert!(
        taggers.contains(&id("sam")) && taggers.contains(&id("ida")),
        "{taggers:?}"
    );
}

#[test]
fn a_range_passed_on_the_machines_word_says_so() {
    let mut works = Works::with_lot();
    works.must("ida", Entry::MachineRead(machine("L1", &[(3, "A1 PH")])));
    let mut range = exam("L1", 2, 6, &[]);
    range.machine_kept = true;
    works.must("ida", Entry::SheetsExamined(range));
    works.must("ida", examined("L1", 7, 7, &[]));
    let says = |works: &Works, number| exam_of(works, number).machine_word();
    let passed = "passed with sheets 2–6 on the machine's word";
    assert_eq!(says(&works, 3).as_deref(), Some(passed));
    assert_eq!(says(&works, 7), None);
    let word = |works: &Works| works.state().days[&id("2026-11-25")].on_machines_word;
    assert_eq!(word(&works), 5);
    let seq = works.last_word("L1", 3);
    works.must("ida", corrected("L1", 3, seq, &["A1 PH"]));
    assert_eq!((word(&works), says(&works, 3)), (4, None));
    let mut same = exam("L1", 8, 9, &["A2 OM"]);
    same.machine_kept = true;
    works.must("ida", Entry::SheetsExamined(same));
    let kept = "recorded with sheets 8–9, the machine's tags kept";
    assert_eq!(says(&works, 9).as_deref(), Some(kept));
}
