use std::collections::BTreeSet;

use super::*;
use crate::desk::practice::merin_layout;
use crate::export::{MachineContext, MachineReport, read_machine_file};
use crate::inspect::{Rules, Verdict, rule, starter_catalogue};
use crate::sheet::Position;

fn lot(sheets: u32, rows: usize) -> PracticeLot {
    PracticeLot::new("BW-0412".parse().unwrap(), sheets, merin_layout(), rows).unwrap()
}

fn of_class<'a>(rows: &'a [MachineRow], class: &str) -> Vec<&'a MachineRow> {
    rows.iter()
        .filter(|row| row.class.as_str() == class)
        .collect()
}

fn positions(rows: &[&MachineRow]) -> BTreeSet<Position> {
    let position = |row: &&MachineRow| match row.spot {
        Spot::Note(position) => position,
        Spot::WholeSheet => panic!("{row:?} has no position"),
    };
    rows.iter().map(position).collect()
}

/// Distinct sheets of these rows, and how many sheets lie between the first and the last.
fn sheets(rows: &[&MachineRow]) -> (u32, u32) {
    let all: BTreeSet<u32> = rows.iter().map(|row| row.sheet.number()).collect();
    (
        all.len() as u32,
        all.last().unwrap() - all.first().unwrap() + 1,
    )
}

fn read(lot: &PracticeLot, csv: &str) -> MachineReport {
    let context = MachineContext {
        lot: lot.lot(),
        sheets: lot.sheets(),
        layout: lot.layout(),
        catalogue: &starter_catalogue(),
        examined: &|_| false,
    };
    read_machine_file(csv.as_bytes(), &context).unwrap()
}

#[test]
fn the_repeater_stands_on_exactly_its_sheets() {
    for seed in 0..20 {
        let rows = generate(seed, &lot(10_000, 0));
        let voids = of_class(&rows, "OM");
        assert_eq!(voids.len(), 180);
        assert_eq!(positions(&voids).len(), 1);
        assert_eq!(sheets(&voids), (180, 180), "one sheet after the other");
    }
}

#[test]
fn the_tint_keeps_to_one_column_and_the_streak_slants_and_stops() {
    let layout = merin_layout();
    for seed in 0..20 {
        let rows = generate(seed, &lot(10_000, 0));
        let tints = of_class(&rows, "OT");
        let columns: BTreeSet<u8> = positions(&tints)
            .into_iter()
            .map(|p| layout.cell(p).1)
            .collect();
        assert_eq!(columns.len(), 1);
        assert!(sheets(&tints).1 <= TINT_SHEETS);
        // 120 sheets × 8 rows × 0.65 = 624, standard deviation 15.
        assert!((549..=699).contains(&tints.len()), "{}", tints.len());
        let streak = of_class(&rows, "IW");
        assert!(sheets(&streak).1 <= WIPING_SHEETS);
        // 140 sheets × 5 columns × 0.8 and a third of that again, standard deviation 12.
        assert!((685..=807).contains(&streak.len()), "{}", streak.len());
        assert!(positions(&streak).len() > 20, "it wanders over the sheet");
    }
}

#[test]
fn numbering_faults_keep_to_their_box_and_tears_have_no_position() {
    let rows = generate(3, &lot(10_000, 0));
    for class in ["NB", "NW"] {
        assert_eq!(positions(&of_class(&rows, class)).len(), 1, "{class}");
    }
    assert_eq!(sheets(&of_class(&rows, "NW")), (3, 3));
    let tears = of_class(&rows, "PT");
    assert!((1..=7).contains(&tears.len()));
    assert!(tears.iter().all(|row| row.spot == Spot::WholeSheet));
}

#[test]
fn single_spots_lie_everywhere() {
    let rows = generate(4, &lot(10_000, 0));
    let spots = [of_class(&rows, "OS"), of_class(&rows, "PD")].concat();
    // 300 × 0.7 = 210, standard deviation 8; every position and both sides are hit.
    assert!((170..=250).contains(&spots.len()), "{}", spots.len());
    assert!(positions(&spots).len() >= 38);
    assert!(spots.iter().any(|row| row.side == Side::Back));
}

#[test]
fn the_file_reads_back_whole_and_gives_all_three_verdicts() {
    let lot = lot(10_000, 0);
    let rows = generate(1, &lot);
    let report = read(&lot, &to_csv(&lot, &rows));
    assert_eq!(
        (report.accepted.len(), report.refused.len()),
        (rows.len(), 0)
    );
    let mut tags = BTreeMap::new();
    for (sheet, tag) in report.accepted {
        tags.entry(sheet).or_insert_with(Vec::new).push(tag);
    }
    let (catalogue, rules) = (starter_catalogue(), Rules::default());
    let verdicts: Vec<Verdict> = tags
        .values()
        .map(|tags| rule(tags, 40, &catalogue, &rules).verdict)
        .collect();
    let count = |verdict| verdicts.iter().filter(|&&v| v == verdict).count();
    assert!(
        count(Verdict::Good) > 100,
        "sheets with only a little dirt or tint"
    );
    assert!(
        (200..1000).contains(&count(Verdict::Mixed)),
        "{}",
        count(Verdict::Mixed)
    );
    assert!(
        (8..100).contains(&count(Verdict::Spoiled)),
        "{}",
        count(Verdict::Spoiled)
    );
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_does_not() {
    let lot = lot(10_000, 0);
    let csv = |seed| to_csv(&lot, &generate(seed, &lot));
    assert_eq!(csv(5), csv(5));
    assert_ne!(csv(5), csv(6));
}

#[test]
fn a_lot_can_be_tiny_or_its_file_huge() {
    for sheets in [1, 2, 179] {
        let rows = generate(1, &lot(sheets, 0));
        assert_eq!(of_class(&rows, "OM").len() as u32, sheets);
    }
    let rows = generate(1, &lot(10_000, 200_000));
    assert_eq!(rows.len(), 200_000);
    assert_eq!(sheets(&of_class(&rows, "OM")), (180, 180));
}
