//! Groups compared. Certified values of the NIST Statistical Reference Datasets (analysis of
//! variance), retrieved in the test data of scipy; the univariate ones from memory. The rest was
//! computed with scipy and statsmodels (`library` in the file names their versions).

use crate::quality_fixture::{assert_close, json, list, number, numbers, wholes};
use cullbook::quality::capability::{Capability, Limits};
use cullbook::quality::dist::f_upper;
use cullbook::quality::rates::{Stack, compare};
use cullbook::quality::spread::{Moments, Test, means, one_way, spreads};
use cullbook::quality::{Probability, holm};
use serde_json::Value;

fn groups(row: &Value) -> Vec<Vec<f64>> {
    let groups = list(row, "groups").iter();
    let of = |group: &Value| -> Vec<f64> {
        group
            .as_array()
            .unwrap()
            .iter()
            .map(|v: &Value| v.as_f64().unwrap())
            .collect()
    };
    groups.map(of).collect()
}

#[test]
fn the_certified_analysis_of_variance_of_nist() {
    let file = json("stat_alike.json");
    let rows = list(&file["nist"], "rows");
    assert_eq!(rows.len(), 5);
    for row in rows {
        let name = row["name"].as_str().unwrap();
        let groups = groups(row);
        let test = one_way(&groups).unwrap();
        // The last has thirteen leading digits in common: doubles keep three of what is left.
        let relative = match name {
            "AtmWtAg" | "SmLs04" => 1e-8,
            "SmLs07" => 1e-2,
            _ => 1e-12,
        };
        assert_close(test.f, number(row, "f"), relative, 0.0, name);
        let moments = groups.iter().map(|group| Moments::of(group).unwrap());
        let squares: f64 = moments
            .map(|one| one.spread.unwrap().powi(2) * (one.n - 1) as f64)
            .sum();
        let spread = (squares / test.within).sqrt();
        assert_close(spread, number(row, "residual_spread"), relative, 0.0, name);
    }
}

/// NIST StRD, univariate: NumAcc1 to NumAcc4, from memory.
#[test]
fn mean_and_spread_keep_their_digits_behind_great_numbers() {
    let check = |readings: &[f64], mean: f64, spread: f64, digits: f64| {
        let moments = Moments::of(readings).unwrap();
        assert_close(moments.mean, mean, 1e-15, 0.0, "mean");
        assert_close(moments.spread.unwrap(), spread, digits, 0.0, "spread");
    };
    check(
        &[10_000_001.0, 10_000_003.0, 10_000_002.0],
        10_000_002.0,
        1.0,
        0.0,
    );
    for (base, digits) in [(1.0, 1e-13), (1_000_000.0, 1e-9), (10_000_000.0, 1e-8)] {
        let mut readings = vec![base + 0.2];
        for _ in 0..500 {
            readings.extend([base + 0.1, base + 0.3]);
        }
        check(&readings, base + 0.2, 0.1, digits);
    }
    assert_eq!(Moments::of(&[]), None);
    assert_eq!(Moments::of(&[3.0]).unwrap().spread, None);
}

#[test]
fn means_and_spreads_of_groups_as_statsmodels_compares_them() {
    let file = json("stat_alike.json");
    let rows = list(&file, "groups");
    assert_eq!(rows.len(), 24);
    let mut pairs = 0;
    for row in rows {
        let groups = groups(row);
        let same = |found: Option<Test>, want: &Value, what: &str| {
            let found = found.unwrap();
            assert_close(found.f, number(want, "f"), 1e-9, 1e-12, what);
            assert_close(found.p.get(), number(want, "p"), 1e-8, 1e-14, what);
            found
        };
        same(one_way(&groups), &row["one_way"], "one way");
        let welch = same(means(&groups), &row["welch"], "Welch");
        assert_close(
            welch.within,
            number(&row["welch"], "within"),
            1e-9,
            0.0,
            "freedom",
        );
        same(
            spreads(&groups),
            &row["brown_forsythe"],
            "Brown and Forsythe",
        );
        if let Some(t) = row["welch_t"]["t"].as_f64() {
            pairs += 1;
            assert_close(welch.f, t * t, 1e-9, 1e-12, "t squared");
        }
    }
    assert!(pairs > 3);
}

#[test]
fn tails_of_the_f_distribution() {
    let file = json("stat_alike.json");
    for row in list(&file, "f_upper") {
        let of = |key| number(row, key);
        let found = f_upper(of("between"), of("within"), of("f"));
        assert_close(found.get(), of("p"), 1e-9, 0.0, &row.to_string());
    }
    assert_eq!(f_upper(1.0, 5.0, 0.0), Probability::ONE);
    assert_eq!(f_upper(1.0, 5.0, f64::NAN), Probability::ONE);
    assert_eq!(f_upper(1.0, 5.0, f64::INFINITY), Probability::ZERO);
}

/// Stacks of one sheet each, so that stacks and sheets are the same.
#[test]
fn fishers_exact_test_as_scipy_sums_its_tails() {
    let file = json("stat_alike.json");
    for row in list(&file, "fisher_doubled") {
        let sheets = |key: &str| -> Vec<Stack> {
            let pair = wholes(row, key);
            let one = |n| Stack {
                found: u64::from(n < pair[0]),
                of: 1,
            };
            (0..pair[1]).map(one).collect()
        };
        let groups = vec![sheets("one"), sheets("other")];
        let found = compare(vec![("X", groups)]).unwrap();
        let (first, second) = (found[0].groups[0], found[0].groups[1]);
        assert_close(
            first.p.get(),
            number(row, "p"),
            1e-11,
            0.0,
            &row.to_string(),
        );
        assert_close(
            second.p.get(),
            first.p.get(),
            1e-11,
            0.0,
            "the other way round",
        );
        assert_eq!(first.q, first.p, "one test in all");
    }
}

#[test]
fn capability_with_its_intervals() {
    let file = json("stat_alike.json");
    for row in list(&file, "capability") {
        let of = |key| number(row, key);
        let moments = Moments {
            n: of("n") as u64,
            mean: of("mean"),
            spread: Some(of("spread")),
        };
        let found = Capability::of(&moments, Limits::Between(of("lower"), of("upper"))).unwrap();
        let cp = found.cp.unwrap();
        for (got, want) in [
            (cp.value, of("cp")),
            (cp.interval.low, of("cp_low")),
            (cp.interval.high, of("cp_high")),
            (found.cpk.value, of("cpk")),
            (found.cpk.interval.low, of("cpk_low")),
            (found.cpk.interval.high, of("cpk_high")),
        ] {
            assert_close(got, want, 1e-9, 0.0, &row.to_string());
        }
        assert_eq!(found.few, moments.n < 25);
    }
    // NIST/SEMATECH e-Handbook 6.1.6, from memory: limits 8 and 20, mean 16, spread 2.
    let moments = Moments {
        n: 50,
        mean: 16.0,
        spread: Some(2.0),
    };
    let found = Capability::of(&moments, Limits::Between(8.0, 20.0)).unwrap();
    assert_close(found.cp.unwrap().value, 1.0, 1e-12, 0.0, "Cp");
    assert_close(found.cpk.value, 0.6667, 0.0, 5e-5, "Cpk");
    assert_eq!(
        Capability::of(&moments, Limits::UpTo(20.0)).unwrap().cp,
        None
    );
    let from = Capability::of(&moments, Limits::From(8.0)).unwrap();
    assert_close(from.cpk.value, 8.0 / 6.0, 1e-12, 0.0, "from below");
    let flat = Moments {
        spread: Some(0.0),
        ..moments
    };
    assert_eq!(Capability::of(&flat, Limits::From(8.0)), None);
}

#[test]
fn holm_as_statsmodels_adjusts() {
    let file = json("stat_benjamini_hochberg.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 50);
    for row in rows {
        let p: Vec<_> = numbers(row, "p")
            .into_iter()
            .map(|p| Probability::new("p", p).unwrap())
            .collect();
        for (got, want) in holm::adjusted(&p).iter().zip(numbers(row, "holm")) {
            assert_close(got.get(), want, 1e-14, 0.0, &row.to_string());
        }
    }
}
