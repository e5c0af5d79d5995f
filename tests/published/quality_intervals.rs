//! Intervals (statsmodels 0.15.0, scipy 1.17.1) and the runs test (own formula that statsmodels
//! agrees with; NIST/SEMATECH e-Handbook 1.3.5.13).

use crate::quality_fixture::{assert_close, json, list, number, numbers, whole};
use cullbook::quality::QualityError;
use cullbook::quality::intervals::{
    Interval, Level, clopper_pearson, poisson_mean, rate_difference, wilson,
};
use cullbook::quality::runs_test::runs_test;
use serde_json::Value;

fn level(row: &Value) -> Level {
    match number(row, "level") {
        0.9 => Level::Percent90,
        0.95 => Level::Percent95,
        0.99 => Level::Percent99,
        other => panic!("level {other}"),
    }
}

/// The ends come from quantiles that both sides search for: 1e-10 relative, and 1e-15 for an
/// end that is 1 minus something.
#[track_caller]
fn assert_interval(got: Interval, row: &Value, key: &str) {
    let want = numbers(row, key);
    let what = format!("{key} {row}");
    assert_close(got.low, want[0], 1e-10, 1e-15, &what);
    assert_close(got.high, want[1], 1e-10, 1e-15, &what);
}

#[test]
fn intervals() {
    let file = json("stat_intervals.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 63);
    for row in rows {
        let (x, n, level) = (whole(row, "x"), whole(row, "n"), level(row));
        assert_interval(wilson(x, n, level).unwrap(), row, "wilson");
        assert_interval(
            clopper_pearson(x, n, level).unwrap(),
            row,
            "clopper_pearson",
        );
        assert_interval(poisson_mean(x, level), row, "poisson_exact_mean");
    }
}

/// The eight examples of Newcombe (1998), table II, method 10 (from memory; his own formula worked
/// out anew gives the same figures).
#[test]
fn differences_of_rates() {
    let examples = [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
        ((10, 10), (0, 10), 0.6075, 1.0),
    ];
    for (one, two, low, high) in examples {
        let (difference, interval) = rate_difference(one, two, Level::Percent95).unwrap();
        let rate = |(part, whole): (u64, u64)| part as f64 / whole as f64;
        assert_eq!(difference, rate(one) - rate(two));
        assert_close(interval.low, low, 0.0, 0.00005, "low");
        assert_close(interval.high, high, 0.0, 0.00005, "high");
    }
    assert!(rate_difference((0, 0), (1, 2), Level::Percent95).is_err());
}

#[test]
fn intervals_refuse_impossible_counts() {
    assert_eq!(
        wilson(0, 0, Level::Percent95),
        Err(QualityError::Zero {
            field: "number examined"
        })
    );
    let error = clopper_pearson(6, 5, Level::Percent95).unwrap_err();
    assert_eq!(
        error.to_string(),
        "number found is 6, more than number examined, which is 5; check both counts"
    );
}

#[test]
fn runs() {
    let file = json("stat_runs_test.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 61);
    for row in rows {
        let got = runs_test(&numbers(row, "data"), number(row, "cut")).unwrap();
        assert_eq!(
            (got.above, got.below, got.runs),
            (whole(row, "n1"), whole(row, "n2"), whole(row, "runs"))
        );
        let what = &row["name"].to_string();
        assert_close(got.expected, number(row, "expected"), 1e-14, 0.0, what);
        assert_close(got.variance, number(row, "variance"), 1e-14, 0.0, what);
        // z subtracts two numbers near 100 that hold 16 digits each.
        assert_close(got.z, number(row, "z"), 1e-12, 1e-14, what);
        assert_close(got.p.get(), number(row, "p_two_sided"), 1e-12, 0.0, what);
    }
    // NIST prints Z = 2.6938 for its example (from memory).
    let nist = rows.iter().find(|row| !row["published"].is_null()).unwrap();
    let got = runs_test(&numbers(nist, "data"), number(nist, "cut")).unwrap();
    assert_close(got.z, number(&nist["published"], "z"), 0.0, 0.00005, "NIST");
}

#[test]
fn a_series_on_one_side_has_no_runs_test() {
    let error = runs_test(&[1.0, 2.0], 0.5).unwrap_err();
    assert_eq!(error, QualityError::OneSided { above: 2, below: 0 });
    assert_eq!(runs_test(&[1.0, 0.0], 0.5).unwrap().z, 0.0);
    let error = runs_test(&[1.0, f64::NAN], 0.5).unwrap_err();
    assert_eq!(
        error,
        QualityError::NotANumber {
            field: "value",
            index: 1
        }
    );
}
