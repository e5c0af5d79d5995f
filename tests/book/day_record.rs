//! The day record on days that are out of the ordinary, and beside the days before.

use cullbook::account::Carried;
use cullbook::book::*;
use cullbook::custody::{Fact, Mass, Weighed};
use cullbook::export::picture::{
    by_hour, control_chart, draw_map, headline, map_file, pareto, position_map, save_map,
    sentences, svg_file,
};
use cullbook::export::{DayRecord, Of, Plotted, day_record};
use cullbook::inspect::Rules;
use cullbook::sheet::{Side, grouped};

use super::session_steps::{begin, fact_corrected};
use super::works::*;

fn record(works: &Works, day: &str) -> DayRecord {
    day_record(&works.book, id(day)).expect("an open book")
}

fn said(record: &DayRecord, what: &str) -> bool {
    record.remarks.iter().any(|remark| remark.contains(what))
}

#[test]
fn a_product_changed_half_way_is_told_and_told_apart() {
    let mut works = Works::with_lot();
    let small = ProductDefined {
        product: id("M5"),
        title: "5 merin".to_owned(),
        layout: layout(2, 2),
        finishing: Default::default(),
    };
    works.must("sue", Entry::ProductDefined(small));
    let opened = Entry::LotOpened(LotOpened {
        lot: id("L9"),
        product: id("M5"),
        sheets: 4,
        numbering: None,
    });
    works.must("sue", opened);
    works.must("ida", examined("L1", 1, 6, &["A1 PH"]));
    assert!(record(&works, "2026-11-25").remarks.is_empty());
    works.must("ida", examined("L9", 1, 4, &[]));
    let record = record(&works, "2026-11-25");
    assert!(said(&record, "2 products") && said(&record, "M5 5 merin: 4 sheets"));
    let of = |wanted: Of| {
        let row = record.examined.iter().find(|row| row.of == wanted);
        row.map(|row| (row.sheets, row.notes_spoiled))
    };
    assert_eq!(of(Of::Product(id("M5"))), Some((4, 0)));
    assert_eq!(of(Of::Product(id("M20"))), Some((6, 6)));
    use cullbook::account::Stage::{Numbered, Unnumbered};
    assert_eq!(of(Of::Stage(Unnumbered)), Some((4, 0)));
    assert_eq!(of(Of::Stage(Numbered)), Some((6, 6)));
    assert_eq!(of(Of::Bench(id("B1"))), Some((10, 6)));
}

#[test]
fn a_day_with_no_entries_takes_over_and_leaves_the_same() {
    let mut works = Works::with_lot();
    works.must("ida", examined("L1", 1, 2, &["A1 PH"]));
    let empty = record(&works, "2026-12-24");
    assert_eq!(empty.remarks, ["Nothing is recorded for this day."]);
    assert_eq!(empty.carried_in, empty.carried);
    assert_eq!(empty.carried, carried(works.state()));
    assert!(empty.whole_day().spoilage.is_none() && empty.charts.is_empty());
    // Before the book was opened there was nothing.
    assert_eq!(record(&works, "2025-01-01").carried, Carried::default());
    // A day of entries without a sheet says so.
    works.set_clock("2026-11-27", 9 * 3600);
    works.must("cal", container("C-1"));
    assert!(said(&record(&works, "2026-11-27"), "No sheet"));
}

#[test]
fn what_one_day_leaves_the_next_takes_over() {
    let mut works = Works::with_lot();
    works.must("ida", examined("L1", 1, 3, &["A1 PH"]));
    works.set_clock("2026-11-26", 9 * 3600);
    works.must("ida", examined("L1", 4, 12, &[]));
    let (first, second) = (record(&works, "2026-11-25"), record(&works, "2026-11-26"));
    assert_eq!(first.carried_in, Carried::default());
    assert_eq!(first.carried, second.carried_in);
    assert_eq!(first.carried.sheets_not_examined, 9);
    assert_eq!(first.carried.notes_to_replace, 3);
    assert_eq!(second.carried, carried(works.state()));
    assert_eq!(second.carried.sheets_not_examined, 0);
    // Back on the first day, by a clock set back: what it leaves is what stands now.
    works.set_clock("2026-11-25", 20 * 3600);
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let again = record(&works, "2026-11-25");
    assert_eq!(again.carried.notes_to_replace, 0);
    assert_eq!(again.carried_in, Carried::default());
    assert_eq!(record(&works, "2026-11-26").carried.notes_to_replace, 3);
}

#[test]
fn a_cut_over_that_splits_a_session_or_moves_is_told() {
    let mut works = Works::sealed();
    works.set_clock("2026-11-26", 6 * 3600 + 1800);
    let open: Vec<String> = (works.state().cage.containers.values())
        .filter(|container| container.sealing().is_some())
        .map(|container| container.id.to_string())
        .collect();
    let names: Vec<&str> = open.iter().map(String::as_str).collect();
    let mut destruction = works.destruction("D-7", &names);
    destruction.started = id("2026-11-26T05:30:00+01:00");
    destruction.ended = id("2026-11-26T06:10:00+01:00");
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    let next = record(&works, "2026-11-26");
    assert!(said(
        &next,
        "Session D-7 began on production day 2026-11-25"
    ));
    assert_eq!((next.sessions.len(), next.cut_over_hour), (1, 6));
    // The day on which it began says where it is.
    let begun = record(&works, "2026-11-25");
    assert!(said(
        &begun,
        "Session D-7 began on this day and was recorded on production day 2026-11-26"
    ));
    assert_eq!((begun.sessions.len(), begun.acts.sessions), (0, 0));
    let midnight = Rules {
        cut_over_hour: 0,
        ..rules()
    };
    let entry = works.book.len();
    works.must("sue", Entry::RulesSet(midnight));
    let moved = format!("Entry {entry} moved the end of the production day from 06:00 to 00:00");
    assert!(said(&record(&works, "2026-11-26"), &moved));
}

#[test]
fn a_session_under_way_is_told_on_its_day() {
    let mut works = Works::sealed();
    works.must("cal", begin("D-8", &["C1"]));
    let today = record(&works, "2026-11-25");
    assert!(said(
        &today,
        "Session D-8 began on this day and is not recorded yet"
    ));
    assert!(!said(&record(&works, "2026-11-24"), "D-8"));
}

/// What was written down amiss in the cage stands among the corrections, with both sides.
#[test]
fn corrections_in_the_cage_are_listed_in_the_order_of_the_book() {
    let mut works = Works::examined();
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let loose: Vec<_> = works.state().cage.spoils.keys().copied().collect();
    works.must("cal", container("C1"));
    works.must("cal", container("C2"));
    works.must("cal", filled("C1", loose.iter().copied()));
    let filling = works.book.len() - 1;
    works.must("cal", taken_out("C1", Some("C2"), &loose[..1], filling));
    let moved = works.book.len() - 1;
    works.must("cal", taken_out("C1", None, &loose[1..2], filling));
    works.must("cal", sealed("C1", "S-1", "cas"));
    let sealing = works.book.len() - 1;
    let corrected = corrected_sealing(&works, "C1", "S-2", Some(2_000));
    works.must("cal", corrected);
    let day = record(&works, "2026-11-25");
    assert_eq!(day.acts.custody_corrections, 3);
    let rows = day.amendments.iter().map(|row| {
        let (before, after) = row.what.said();
        (row.what.name(), row.entry, row.amends, before, after)
    });
    let texts = |before: &str, after: &str| (before.to_owned(), after.to_owned());
    let expected = [
        ("filling", moved, filling, texts("1 in C1", "1 in C2")),
        ("filling", moved + 1, filling, texts("1 in C1", "1 loose")),
        (
            "sealing",
            sealing + 1,
            sealing,
            texts("seal S-1, not weighed", "seal S-2, gross 2000 mg"),
        ),
    ];
    let expected =
        expected.map(|(what, entry, amends, (before, after))| (what, entry, amends, before, after));
    assert_eq!(rows.collect::<Vec<_>>(), expected);
    assert_eq!(day.amendments[2].second, Some(id("cas")));
}

/// A fact of a destruction written down amiss stands among the corrections of the day it was put
/// right on, each correction amending the one before it.
#[test]
fn a_corrected_fact_of_a_session_is_listed_with_both_sides() {
    let mut works = Works::destroyed();
    let recorded = works.book.len() - 1;
    works.set_clock("2026-11-26", 9 * 3600);
    let machine = Fact::Machine("Shredder 3".to_owned());
    works.must("sue", fact_corrected("D1", machine, "cal"));
    let masses = Fact::Masses(Weighed {
        container: id("C1"),
        gross: Mass::from_milligrams(5_100_000),
        tare: Mass::from_milligrams(4_000_000),
        scale: None,
        off_because: None,
    });
    works.must("sue", fact_corrected("D1", masses, "cas"));
    let rows = record(&works, "2026-11-26").amendments;
    let said: Vec<_> = rows
        .iter()
        .map(|row| (row.what.name(), row.entry, row.amends, row.what.said()))
        .collect();
    let texts = |before: &str, after: &str| (before.to_owned(), after.to_owned());
    assert_eq!(
        said,
        [
            (
                "session",
                recorded + 1,
                recorded,
                texts("machine: Shredder 2", "machine: Shredder 3")
            ),
            (
                "session",
                recorded + 2,
                recorded + 1,
                texts(
                    "gross 5000000 mg, tare 4000000 mg",
                    "gross 5100000 mg, tare 4000000 mg"
                )
            ),
        ]
    );
    let of = |at: usize| (rows[at].what.session(), rows[at].what.container());
    assert_eq!(
        [of(0), of(1)],
        [(Some(id("D1")), None), (Some(id("D1")), Some(id("C1")))]
    );
    assert_eq!(
        [rows[0].second, rows[1].second],
        [Some(id("cal")), Some(id("cas"))]
    );
    assert_eq!(
        (rows[0].by, rows[0].reason.as_str()),
        (id("sue"), "mistyped")
    );
    assert_eq!(record(&works, "2026-11-25").amendments, []);
}

#[test]
fn a_day_stands_beside_the_production_days_before_it() {
    let mut works = Works::staffed();
    works.must("sue", lot("L1", 4_000, None));
    let days = [
        "2026-10-01",
        "2026-10-02",
        "2026-10-05",
        "2026-10-06",
        "2026-10-07",
        "2026-10-08",
        "2026-10-09",
        "2026-10-12",
        "2026-10-13",
    ];
    // Eight quiet days, then one on which every tenth sheet is marked.
    for (number, day) in (0..).zip(&days[..8]) {
        works.set_clock(day, 9 * 3600);
        works.must(
            "ida",
            examined("L1", number * 100 + 1, number * 100 + 100, &[]),
        );
    }
    works.set_clock(days[8], 9 * 3600);
    for number in 0..10 {
        let from = 801 + number * 10;
        works.must("ida", examined("L1", from, from, &["A1 PH"]));
        works.must("ida", examined("L1", from + 1, from + 9, &[]));
    }
    let last = record(&works, days[8]);
    let [seven, thirty] = last.compared.as_slice() else {
        panic!("two windows");
    };
    assert_eq!((seven.days, seven.sheets), (7, 700));
    assert_eq!(
        (seven.from, seven.to),
        (Some(id(days[1])), Some(id(days[7])))
    );
    assert_eq!((thirty.window, thirty.days, thirty.sheets), (30, 8, 800));
    let change = seven.change.expect("both have sheets");
    assert_eq!(change.word(), "higher");
    assert_eq!(change.ppm as u64, last.whole_day().spoilage.unwrap().ppm);
    assert_eq!(record(&works, days[0]).compared[0].days, 0);
    assert_eq!(
        record(&works, days[1]).compared[0].change.unwrap().word(),
        "no clear difference"
    );
}

/// Twenty stacks of 100 sheets; the twelfth has one note in five marked.
fn one_bad_stack() -> Works {
    let mut works = Works::staffed();
    let product = ProductDefined {
        product: id("M40"),
        title: "40 merin".to_owned(),
        layout: layout(2, 3),
        finishing: Default::default(),
    };
    works.must("sue", Entry::ProductDefined(product));
    let opened = LotOpened {
        lot: id("L1"),
        product: id("M40"),
        sheets: 2_000,
        numbering: None,
    };
    works.must("sue", Entry::LotOpened(opened));
    for stack in 0..20 {
        works.set_clock("2026-11-25", 8 * 3600 + stack * 1800);
        let first = stack * 100 + 1;
        let marked = if stack == 11 { 60 } else { 4 + stack % 3 };
        works.must(
            "ida",
            examined("L1", first, first + marked - 1, &["A1 PH", "b:B1 OM"]),
        );
        works.must("ida", examined("L1", first + marked, first + 99, &[]));
    }
    works
}

#[test]
fn a_bad_stack_lies_beyond_the_limits_and_says_so() {
    let works = one_bad_stack();
    let record = record(&works, "2026-11-25");
    let [p, u] = record.charts.as_slice() else {
        panic!("a p and a u chart");
    };
    assert_eq!((p.plotted, u.plotted), (Plotted::P, Plotted::U));
    assert_eq!(p.points.len(), 20);
    let outside: Vec<_> = (0..20).filter(|n| p.points[*n].outside).collect();
    assert!(outside.contains(&11), "{outside:?}");
    assert!(p.points[11].signals.iter().any(|heard| heard.rule == "W1"));
    assert!(headline(p).starts_with("L1: defective notes above the limit in "));
    let words: Vec<_> = sentences(p).collect();
    let sheets = format!("Sheets {} to {}: ", grouped(1_101), grouped(1_200));
    assert!(words[0].starts_with(&sheets), "the worst first: {words:?}");
}

/// However many stacks are drawn, lines stay one path each, and only what is seen is drawn.
#[test]
fn a_chart_draws_only_what_is_seen() {
    use cullbook::export::picture::{Shape, Sign};
    let works = one_bad_stack();
    let record = record(&works, "2026-11-25");
    let mut chart = record.charts[0].clone();
    let twenty = chart.points.clone();
    for _ in 1..100 {
        chart.points.extend(twenty.clone());
    }
    let count = |from: usize, to: usize| {
        let drawing = control_chart(&chart, from..to);
        let paths = drawing
            .shapes
            .iter()
            .filter(|shape| matches!(shape, Shape::Path { .. }));
        let outside = drawing.shapes.iter().filter(|shape| {
            let Shape::Mark { sign, .. } = shape else {
                return false;
            };
            *sign == Sign::Outside
        });
        (paths.count(), outside.count())
    };
    // One stack in twenty is bad, and each of them has its sign, also where all are drawn.
    assert_eq!(count(0, 2_000), (9, 100));
    assert_eq!(count(1_000, 1_100), (9, 5));
    assert_eq!(count(5_000, 6_000), (9, 0));
}

/// However long a lot is, its chart stays a picture: nothing is drawn on top of itself, and the
/// farthest point is still there.
#[test]
fn a_very_long_chart_is_thinned_and_keeps_its_ends() {
    use cullbook::export::picture::Shape;
    let mut chart = record(&one_bad_stack(), "2026-11-25").charts[0].clone();
    let mut point = chart.points[0].clone();
    point.outside = true;
    let farthest = point.upper_ppm * 4;
    chart.points = vec![point; 50_000];
    chart.points[33_333].value_ppm = farthest;
    let drawing = control_chart(&chart, 0..50_000);
    let marks = drawing.shapes.iter();
    let marks = marks.filter(|shape| matches!(shape, Shape::Mark { .. }));
    assert!((100..=114).contains(&marks.count()));
    let paths = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Path { d, class } => Some((d, *class)),
        _ => None,
    });
    let paths: Vec<_> = paths.collect();
    let bytes: usize = paths.iter().map(|(d, _)| d.len()).sum();
    assert!(bytes < 100_000, "{bytes} bytes");
    let (values, _) = paths
        .iter()
        .find(|(_, class)| *class == "chart-line")
        .unwrap();
    let heights = values.split(['M', 'L']).skip(1).map(|at| {
        let (_, y) = at.split_once(' ').expect("two lengths");
        y.parse::<f64>().expect("a length")
    });
    // The frame is 26 to 178 high; the farthest point stands in its upper half.
    let top = heights.fold(f64::MAX, f64::min);
    assert!((26.0..102.0).contains(&top), "{top}");
}

#[test]
fn a_map_reads_without_colour_and_is_made_again_from_its_file() {
    let works = one_bad_stack();
    let record = record(&works, "2026-11-25");
    let lot = works.lot("L1");
    let press = Press::of_day(lot, record.day);
    let [front, back] = Side::BOTH.map(|side| position_map(lot, &press, side, None).unwrap());
    assert!(
        front
            .title()
            .starts_with("The front is marked most at A1: ")
    );
    assert!(back.title().starts_with("The back is marked most at B1: "));
    let svg = save_map(&record, &front);
    assert!(svg.contains(&format!("Head of the book: {}", record.head)));
    assert!(svg.contains("fill:url(#map-L1-front-level-4)") && !svg.contains("rgb"));
    assert_eq!(map_file(works.state(), &record, &svg), Some(svg.clone()));
    let none = position_map(lot, &press, Side::Back, Some(id("PH"))).unwrap();
    assert!(none.title().contains("marked nowhere"));
    assert_eq!(draw_map(&none).hatches(), []);
    let other = svg.replace(". Lot L1,", ". Lot L2,");
    assert_eq!(map_file(works.state(), &record, &other), None);
}

/// Each picture as it was looked at and found right; `CULLBOOK_WRITE_PICTURES=1` writes them anew.
#[test]
fn pictures_are_as_they_were_found_right() {
    let works = one_bad_stack();
    let record = record(&works, "2026-11-25");
    let classes: Vec<_> = record.classes().map(|(_, row)| row).collect();
    let steps: Vec<_> = record.steps().collect();
    let lot = works.lot("L1");
    let press = Press::of_day(lot, record.day);
    let map = position_map(lot, &press, Side::Back, None).unwrap();
    let pictures = [
        ("by-class", pareto("by-class", &classes, 12).unwrap()),
        ("by-step", pareto("by-step", &steps, 12).unwrap()),
        ("by-hour", by_hour(&record).unwrap()),
        ("p-chart", control_chart(&record.charts[0], 0..20)),
        ("u-chart", control_chart(&record.charts[1], 0..20)),
        ("map", draw_map(&map)),
    ];
    for (name, drawing) in pictures {
        let file = format!(
            "{}/tests/fixtures/pictures/{name}.svg",
            env!("CARGO_MANIFEST_DIR")
        );
        let svg = svg_file(&drawing, "Invented.");
        if std::env::var_os("CULLBOOK_WRITE_PICTURES").is_some() {
            std::fs::write(&file, &svg).unwrap();
        }
        let known = std::fs::read_to_string(&file).unwrap();
        assert_eq!(svg, known, "{name}");
    }
}
