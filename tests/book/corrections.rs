//! Corrections take a sheet out of every total it was counted in, and into its new ones.

use cullbook::inspect::{Rules, Verdict};

use super::works::*;
use cullbook::book::*;

#[test]
fn a_correction_after_the_day_end_was_moved_finds_the_day_it_was_counted_in() {
    let mut works = Works::with_lot();
    // Five in the morning of the 26th counts to the 25th while days end at six …
    works.set_clock("2026-11-26", 5 * 3600);
    works.must("ida", examined("L1", 1, 1, &["A1 PH"]));
    let seq = works.book.len() - 1;
    // … and would count to the 26th now that they end at midnight.
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            cut_over_hour: 0,
            ..rules()
        }),
    );
    works.must("ida", corrected("L1", 1, seq, &[]));
    let day = |day: &str| works.state().days[&id(day)].clone();
    assert_eq!(day("2026-11-25").all.examined(), 0);
    let now = day("2026-11-26");
    assert_eq!((now.all.examined(), now.all.good), (1, 1));
    assert_eq!(works.lot("L1").tally.good, 1);
}

#[test]
fn verdict_counts_follow_a_correction_both_ways() {
    let mut works = Works::examined();
    let seq = |works: &Works, number| {
        let exam = works.lot("L1").sheet(sheet(number)).unwrap().exam.clone();
        exam.unwrap().seq
    };
    let (second, fifth) = (seq(&works, 2), seq(&works, 5));
    works.must("sue", corrected("L1", 2, second, &["A1 PD"]));
    works.must("sue", corrected("L1", 5, fifth, &["B3 PH"]));
    let lot = works.lot("L1");
    assert_eq!(
        (lot.tally.good, lot.tally.mixed, lot.tally.spoiled),
        (11, 1, 0)
    );
    assert_eq!(lot.tally.notes_spoiled, 1);
    let day = &works.state().days[&id("2026-11-25")];
    assert_eq!((day.corrections, day.all), (2, lot.tally));
    assert_eq!(day.by_inspector[&id("sue")].examined(), 2);
    assert_eq!(day.by_class.get(&id("PT")), Some(&0));
    assert_eq!(works.state().cage.spoils.len(), 1);
    let exam = lot.sheet(sheet(5)).unwrap().exam.clone().unwrap();
    assert_eq!(exam.ruling.verdict, Verdict::Mixed);
    assert_eq!(exam.corrects, Some((fifth, "looked again".to_owned())));
}
