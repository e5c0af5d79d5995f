//! Control charts: data and limits from NIST/SEMATECH e-Handbook 6.3.3, Ishikawa (Guide to
//! Quality Control) and Montgomery (Introduction to Statistical Quality Control), in
//! control_charts.json.

use crate::quality_fixture::{assert_close, json, list, number, numbers, whole, wholes};
use cullbook::quality::QualityError;
use cullbook::quality::chart::{Chart, Defective, Kind, Marks, Point};
use serde_json::Value;

fn defectives(set: &Value) -> Vec<Defective> {
    if !set["defectives"].is_null() {
        let pairs = wholes(set, "defectives")
            .into_iter()
            .zip(wholes(set, "sizes"));
        return pairs
            .map(|(found, examined)| Defective { found, examined })
            .collect();
    }
    let examined = whole(set, "n");
    let n = examined as f64;
    // One data set lists fractions of 50, the others counts.
    let found = numbers(set, "data")
        .into_iter()
        .map(|x| if x < 1.0 { (x * n).round() } else { x });
    found
        .map(|found| Defective {
            found: found as u64,
            examined,
        })
        .collect()
}

fn chart(set: &Value) -> Chart {
    match set["chart"].as_str().unwrap() {
        "c" => Chart::c(&wholes(set, "data")),
        "p" | "np/p" => Chart::p(&defectives(set)),
        "np" => Chart::np(&wholes(set, "data"), whole(set, "n")),
        "u" => {
            let pairs = wholes(set, "defects")
                .into_iter()
                .zip(numbers(set, "sizes"));
            Chart::u(
                &pairs
                    .map(|(found, size)| Marks { found, size })
                    .collect::<Vec<_>>(),
            )
        }
        other => panic!("chart {other}"),
    }
    .unwrap()
}

/// Computed values are written with ten digits.
const DIGITS: f64 = 1e-9;

fn check_computed(chart: &Chart, computed: &Value) {
    assert_close(
        chart.centre,
        number(computed, "center"),
        DIGITS,
        0.0,
        "centre",
    );
    let from_one: Vec<u64> = chart
        .outside()
        .into_iter()
        .map(|index| index as u64 + 1)
        .collect();
    let out: Vec<u64> = computed["out"]
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v.as_u64().unwrap())
        .collect();
    assert_eq!(from_one, out);
    if computed["points"].is_null() {
        return chart
            .points
            .iter()
            .for_each(|point| check_limits(point, computed));
    }
    let rows = list(computed, "points");
    assert_eq!(rows.len(), chart.points.len());
    for (point, row) in chart.points.iter().zip(rows) {
        let value = if chart.kind == Kind::U { "u" } else { "p" };
        assert_close(point.value, number(row, value), DIGITS, 0.0, "value");
        check_limits(point, row);
    }
}

fn check_limits(point: &Point, row: &Value) {
    assert_close(point.upper, number(row, "ucl"), DIGITS, 0.0, "upper limit");
    assert_close(point.lower, number(row, "lcl"), DIGITS, 0.0, "lower limit");
}

/// Printed figures are rounded, some from a centre that was rounded before: one unit of the
/// last place printed. Returns how many figures were printed.
fn check_published(chart: &Chart, published: &Value, unit: f64) -> usize {
    assert_eq!(published["matches_computed"], true);
    let point = &chart.points[0];
    let figures = [
        ("center", chart.centre),
        ("ucl", point.upper),
        ("lcl", point.lower),
    ];
    let printed = figures.iter().filter(|(key, _)| !published[*key].is_null());
    printed
        .map(|(key, got)| assert_close(*got, number(published, key), 0.0, unit, key))
        .count()
}

#[test]
fn charts() {
    let file = json("control_charts.json");
    let sets = file.as_array().unwrap();
    let mut without_published = Vec::new();
    let mut printed = 0;
    for set in sets {
        let chart = chart(set);
        check_computed(&chart, &set["computed"]);
        let unit = if matches!(chart.kind, Kind::P) {
            1e-4
        } else {
            1e-2
        };
        match &set["published"] {
            Value::Null => without_published.push(set["id"].as_str().unwrap()),
            published => printed += check_published(&chart, published, unit),
        }
    }
    assert_eq!(sets.len(), 13);
    assert_eq!(
        without_published,
        [
            "ishikawa_c",
            "dataplot_p_variable",
            "dataplot_np",
            "ishikawa_u"
        ]
    );
    assert_eq!(printed, 7 * 3 + 2);
}

/// The same cans drawn as numbers instead of shares.
#[test]
fn np_chart_of_the_orange_juice_cans() {
    let file = json("control_charts.json");
    let set = file
        .as_array()
        .unwrap()
        .iter()
        .find(|set| set["id"] == "orange_juice_phase1")
        .unwrap();
    let chart = Chart::np(&wholes(set, "data"), whole(set, "n")).unwrap();
    check_computed(&chart, &set["computed_np"]);
}

#[test]
fn rough_limits_say_so() {
    let rough: Vec<bool> = [[40, 5], [4, 5]]
        .iter()
        .map(|c| Chart::c(c).unwrap().rough)
        .collect();
    assert_eq!(rough, [false, true]);
    let defective = |found| {
        [Defective {
            found,
            examined: 100,
        }]
    };
    assert!(!Chart::p(&defective(50)).unwrap().rough);
    assert!(Chart::p(&defective(97)).unwrap().rough);
}

#[test]
fn a_lot_without_marks_has_a_flat_chart() {
    let chart = Chart::np(&[0, 0, 0], 50).unwrap();
    assert_eq!(
        (chart.outside(), chart.standardised()),
        (vec![], vec![0.0; 3])
    );
    let all = Chart::np(&[50, 50], 50).unwrap();
    assert_eq!((all.centre, all.points[0].upper), (50.0, 50.0));
}

#[test]
fn charts_refuse_impossible_subgroups() {
    assert_eq!(
        Chart::c(&[]),
        Err(QualityError::Empty { field: "subgroups" })
    );
    assert!(
        Chart::np(&[3, 51], 50)
            .unwrap_err()
            .to_string()
            .contains("is 51")
    );
    assert!(
        Chart::p(&[Defective {
            found: 0,
            examined: 0
        }])
        .is_err()
    );
    let nowhere = [Marks {
        found: 1,
        size: 0.0,
    }];
    assert_eq!(
        Chart::u(&nowhere).unwrap_err().to_string(),
        "subgroup size is 0; give a number above 0"
    );
}
