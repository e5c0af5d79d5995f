//! Books of several benches laid side by side.

use cullbook::book::*;
use uuid::Uuid;

use super::works::*;

/// A staffed book of one bench with its own random id.
pub fn bench(name: &str, book: u128) -> Works {
    let opening = BookOpened {
        book: Uuid::from_u128(book),
        ..opening()
    };
    let mut works = Works::of_bench(name, opening);
    works.staff();
    works
}

/// The same with lot `L1`, KA000000 to KA000071.
pub fn bench_with_lot(name: &str, book: u128) -> Works {
    let mut works = bench(name, book);
    works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    works
}

fn lay(works: &[&Works]) -> Several {
    let books = works.iter().map(|works| &works.book as &dyn Chained);
    lay_together(&books.collect::<Vec<_>>())
}

fn says(works: &[&Works]) -> Vec<String> {
    let conflicts = lay(works).conflicts;
    conflicts.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn one_conflict(works: &[&Works], parts: &[&str]) {
    let said = says(works);
    assert_eq!(said.len(), 1, "{said:#?}");
    for part in parts {
        assert!(said[0].contains(part), "\"{part}\" is not in: {}", said[0]);
    }
}

#[test]
fn two_benches_share_a_lot_and_agree() {
    let (mut one, mut other) = (bench_with_lot("B1", 1), bench_with_lot("B2", 2));
    one.must("ida", examined("L1", 1, 6, &[]));
    other.must("ivo", examined("L1", 7, 7, &["A1 PH"]));
    other.must("ivo", examined("L1", 8, 8, &["- PT"]));
    let several = lay(&[&one, &other]);
    assert_eq!(several.conflicts, []);
    assert_eq!(several.books.len(), 2);
    let together = LotTogether {
        sheets: 12,
        good: 6,
        mixed: 1,
        spoiled: 1,
        contested: 0,
    };
    assert_eq!(several.lots[&id("L1")], together);
}

#[test]
fn a_sheet_ruled_in_two_books_is_named_as_a_range() {
    let (mut one, mut other) = (bench_with_lot("B1", 1), bench_with_lot("B2", 2));
    one.must("ida", examined("L1", 1, 6, &[]));
    other.must("ivo", examined("L1", 5, 9, &["A1 PH"]));
    let entry = format!("entry {} of bench B1", one.book.len() - 1);
    one_conflict(&[&one, &other], &["Sheets 5 to 6 of lot L1", &entry, "B2"]);
    assert_eq!(lay(&[&one, &other]).lots[&id("L1")].contested, 2);
}

#[test]
fn a_replacement_note_drawn_in_two_books_is_named() {
    let (mut one, mut other) = (bench_with_lot("B1", 1), bench_with_lot("B2", 2));
    one.must("ida", examined("L1", 1, 1, &["A1 PH", "A2 PH"]));
    other.must("ivo", examined("L1", 2, 2, &["A1 PH"]));
    for works in [&mut one, &mut other] {
        let draw = works.draw("L1", "R1");
        works.must("sue", draw);
    }
    one_conflict(
        &[&one, &other],
        &["Replacement note ZR000000 of series R1 drawn twice"],
    );
}

#[test]
fn one_serial_in_two_lots_or_series_is_named() {
    let (one, mut other) = (bench_with_lot("B1", 1), bench("B2", 2));
    other.must("sue", lot("L2", 12, Some(numbered("KA", 12, 60))));
    one_conflict(
        &[&one, &other],
        &["Serials KA000060 to KA000071", "lot L1", "lot L2"],
    );
    let mut third = bench("B3", 3);
    let mut clash = series("R2", "M20", 0, 3);
    clash.format = format("KA");
    third.must("sue", Entry::SeriesAdded(clash));
    one_conflict(
        &[&one, &third],
        &["Serials KA000000 to KA000003", "lot L1", "series R2"],
    );
}

#[test]
fn a_lot_or_a_series_defined_in_two_ways_is_named() {
    let (one, mut other) = (bench_with_lot("B1", 1), bench("B2", 2));
    other.must("sue", lot("L1", 12, Some(numbered("KB", 12, 0))));
    one_conflict(&[&one, &other], &["Lot L1 has another numbering in entry"]);
    let mut third = bench("B3", 3);
    let rules = cullbook::inspect::Rules {
        minors_for_defect: 2,
        ..rules()
    };
    third.must("sue", Entry::RulesSet(rules));
    third.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    one_conflict(&[&one, &third], &["another set of rules"]);
    let (mut a, mut b) = (bench("B1", 1), bench("B2", 2));
    a.must("sue", Entry::SeriesAdded(series("R2", "M20", 100, 200)));
    b.must("sue", Entry::SeriesAdded(series("R2", "M20", 100, 300)));
    one_conflict(&[&a, &b], &["Replacement series R2 is defined in two ways"]);
}

#[test]
fn a_seal_on_two_containers_is_named() {
    let (mut one, mut other) = (bench_with_lot("B1", 1), bench_with_lot("B2", 2));
    one.must("ida", examined("L1", 1, 1, &["- PT"]));
    other.must("ida", examined("L1", 2, 2, &["- PT"]));
    for (works, name) in [(&mut one, "C1"), (&mut other, "C7")] {
        works.must("cal", container(name));
        let fill = works.fill(name);
        works.must("cal", fill);
        works.must("cal", sealed(name, "S-1", "cas"));
    }
    one_conflict(
        &[&one, &other],
        &["Seal S-1", "container C1", "container C7"],
    );
}

#[test]
fn other_works_and_practice_books_are_named() {
    let opened = |bench, book, works: &str, practice| {
        let (book, works) = (Uuid::from_u128(book), works.to_owned());
        Works::of_bench(
            bench,
            BookOpened {
                book,
                works,
                practice,
                ..opening()
            },
        )
    };
    let real = opened("B1", 1, "Brackwater works", false);
    let elsewhere = opened("B2", 2, "Saltmarsh works", false);
    let practice = opened("B3", 3, "Brackwater works", true);
    one_conflict(
        &[&real, &elsewhere],
        &["Brackwater works", "Saltmarsh works"],
    );
    one_conflict(&[&real, &practice], &["practice book of bench B3"]);
    assert_eq!(says(&[&practice]), [""; 0]);
}

#[test]
fn a_shorter_copy_changes_nothing_and_a_forked_one_is_an_alarm() {
    let short = bench_with_lot("B1", 1);
    let (mut long, mut fork) = (short.clone(), short.clone());
    long.must("ida", examined("L1", 1, 6, &[]));
    fork.must("ivo", examined("L1", 1, 6, &["A1 PH"]));
    let alone = lay(&[&long]);
    let both = lay(&[&short, &long, &long]);
    assert_eq!((&both.books, &both.lots), (&alone.books, &alone.lots));
    assert_eq!(both.conflicts, []);
    assert_eq!(both.contained.len(), 1);
    assert_eq!(both.contained[0].within, alone.books[0]);
    let entry = format!("the same book up to entry {}", short.book.len());
    one_conflict(&[&long, &fork], &["ALARM", &entry]);
}
