//! Zones, maps and Pareto order.

use crate::quality_fixture::assert_close;
use cullbook::quality::map::RateMap;
use cullbook::quality::meaning::Pattern;
use cullbook::quality::pareto::pareto;
use cullbook::quality::zones::{Axis, Method, compare, findings};
use cullbook::quality::{Grid, Probability, QualityError};

fn grid(rows: usize, columns: usize, counts: &[u64]) -> Grid {
    Grid::from_counts(rows, columns, counts.to_vec()).unwrap()
}

/// The well-known loaded die: 60 throws, chi-square 13.4 on 5 degrees of freedom, upper tail
/// 0.0199 (from memory).
#[test]
fn the_statistic_is_pearsons() {
    let die = compare(&grid(1, 6, &[5, 8, 9, 8, 10, 20]), Axis::Columns).unwrap();
    assert_close(die.statistic, 13.4, 1e-14, 0.0, "die");
    assert_close(die.p.get(), 0.01990, 0.0, 1e-5, "die");
    assert_eq!(
        (die.method, die.freedom.get(), die.expected),
        (Method::ChiSquare, 5, 10.0)
    );
    assert_eq!((die.line, die.count), (5, 20));
}

/// Every way that `total` marks can fall on `lines` lines, one by one.
fn by_enumeration(counts: &[u64]) -> f64 {
    let (lines, total): (u64, u64) = (counts.len() as u64, counts.iter().sum());
    let squares: u64 = counts.iter().map(|n| n * n).sum();
    let ways = lines.pow(total as u32);
    let extreme = (0..ways)
        .filter(|way| squares_of(*way, lines, total) >= squares)
        .count();
    extreme as f64 / ways as f64
}

fn squares_of(mut way: u64, lines: u64, total: u64) -> u64 {
    let mut counts = vec![0; lines as usize];
    for _ in 0..total {
        counts[(way % lines) as usize] += 1;
        way /= lines;
    }
    counts.iter().map(|n| n * n).sum()
}

#[test]
fn few_marks_are_counted_exactly() {
    for counts in [
        &[4, 0, 0][..],
        &[3, 2, 1],
        &[2, 2, 2],
        &[5, 1, 0, 0],
        &[6, 1],
        &[1, 0, 0, 0, 0],
        &[3, 3, 1, 0],
    ] {
        let zone = compare(&grid(1, counts.len(), counts), Axis::Columns).unwrap();
        assert_eq!(zone.method, Method::Exact);
        assert_close(
            zone.p.get(),
            by_enumeration(counts),
            1e-14,
            0.0,
            &format!("{counts:?}"),
        );
    }
}

/// Where exact counting ends, the two methods tell the same story: within a fifth of each other
/// near the 5 percent point (chi-square critical value 14.067 for 7 degrees of freedom, tables).
#[test]
fn the_two_methods_meet() {
    let exact = compare(&grid(1, 8, &[10, 4, 3, 3, 3, 3, 3, 1]), Axis::Columns).unwrap();
    let rough = compare(&grid(1, 8, &[10, 4, 4, 3, 3, 3, 3, 1]), Axis::Columns).unwrap();
    assert_eq!(
        (exact.method, rough.method),
        (Method::Exact, Method::ChiSquare)
    );
    assert_close(exact.p.get(), rough.p.get(), 0.2, 0.0, "methods");
}

#[test]
fn an_inking_zone_shows_as_a_column() {
    let column = grid(
        5,
        4,
        &[1, 9, 1, 0, 0, 8, 1, 2, 2, 9, 0, 1, 1, 7, 1, 1, 0, 9, 2, 0],
    );
    let quiet = grid(
        5,
        4,
        &[1, 0, 1, 0, 0, 1, 1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 1, 0, 0, 1],
    );
    let empty = Grid::new(5, 4).unwrap();
    let found = findings(
        &[("ink", column), ("dust", quiet), ("none", empty)],
        Probability::ONE_IN_TWENTY,
    );
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].class, found[0].zone.axis, found[0].zone.line),
        ("ink", Axis::Columns, 1)
    );
    assert_eq!((found[0].zone.count, found[0].zone.expected), (42, 13.75));
    assert_eq!(Pattern::of_zone(&found[0].zone), Pattern::OneColumn);
}

#[test]
fn one_bad_note_is_not_called_a_zone() {
    let mut counts = vec![1; 20];
    counts[9] = 40;
    let found = findings(
        &[("plate", grid(5, 4, &counts))],
        Probability::ONE_IN_TWENTY,
    );
    assert_eq!(found.len(), 2);
    assert!(
        found
            .iter()
            .all(|finding| Pattern::of_zone(&finding.zone) == Pattern::OnePosition)
    );
    assert!(
        found
            .iter()
            .any(|f| f.zone.axis == Axis::Rows && (f.zone.line, f.zone.peak) == (2, 1))
    );
}

#[test]
fn nothing_to_compare_gives_no_zone() {
    assert_eq!(compare(&grid(3, 1, &[5, 6, 7]), Axis::Columns), None);
    assert_eq!(compare(&Grid::new(3, 3).unwrap(), Axis::Rows), None);
    assert_eq!(Pattern::without_findings(3), Pattern::TooFew);
    assert_eq!(Pattern::without_findings(300), Pattern::Scattered);
}

#[test]
fn the_map_is_a_rate_per_position() {
    let mut marked = Grid::new(2, 2).unwrap();
    for (row, column) in [(0, 0), (1, 1), (1, 1), (1, 1)] {
        marked.count(row, column).unwrap();
    }
    let map = RateMap::new(&marked, 4).unwrap();
    assert_eq!(
        (map.rates(), map.highest(), map.columns()),
        (&[0.25, 0.0, 0.0, 0.75][..], 0.75, 2)
    );
    assert!(matches!(
        RateMap::new(&marked, 2),
        Err(QualityError::PartOverWhole {
            part: 3,
            whole: 2,
            ..
        })
    ));
    assert!(matches!(
        RateMap::new(&marked, 0),
        Err(QualityError::Zero { .. })
    ));
    assert!(
        marked
            .count(2, 0)
            .unwrap_err()
            .to_string()
            .contains("2 rows and 2 columns")
    );
}

#[test]
fn pareto_orders_and_adds_up() {
    let bars = pareto([
        ("smear", 3),
        ("pinhole", 0),
        ("crease", 6),
        ("smear", 2),
        ("blot", 5),
    ]);
    let seen: Vec<_> = bars.iter().map(|bar| (bar.key, bar.count)).collect();
    assert_eq!(seen, [("crease", 6), ("blot", 5), ("smear", 5)]);
    assert_eq!(
        (bars[0].share, bars[1].cumulative, bars[2].cumulative),
        (0.375, 0.6875, 1.0)
    );
    assert_eq!(pareto([("smear", 0)]), []);
}
