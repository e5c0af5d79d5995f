//! Distributions against scipy 1.17.1 (Poisson, binomial and chi-square, which agree with
//! mpmath to 1.4e-13) and against exact fractions (hypergeometric).
//!
//! The tolerance is relative, 1e-12, ten times what the reference itself vouches for; values
//! that are 1 minus something small are also given 1e-15, one rounding of 1.

use crate::quality_fixture::{assert_close, json, list, number, whole};
use cullbook::quality::Probability;
use cullbook::quality::dist::{
    Binomial, Discrete, Hypergeometric, Poisson, chi_square_lower, chi_square_upper,
    normal_quantile_upper, normal_upper,
};
use serde_json::Value;
use std::num::NonZeroU32;

const RELATIVE: f64 = 1e-12;
const ROUNDING: f64 = 1e-15;

fn check(of: &impl Discrete, row: &Value) {
    let k = whole(row, "k");
    let what = row.to_string();
    assert_close(of.pmf(k), number(row, "pmf"), RELATIVE, 0.0, &what);
    assert_close(
        of.at_most(k).get(),
        number(row, "cdf"),
        RELATIVE,
        ROUNDING,
        &what,
    );
    assert_close(
        of.more_than(k).get(),
        number(row, "sf"),
        RELATIVE,
        ROUNDING,
        &what,
    );
    if !row["tail_ge_k"].is_null() {
        assert_close(
            of.at_least(k).get(),
            number(row, "tail_ge_k"),
            RELATIVE,
            ROUNDING,
            &what,
        );
    }
}

#[test]
fn poisson() {
    let file = json("stat_poisson.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 67);
    for row in rows {
        check(&Poisson::new(number(row, "lam")).unwrap(), row);
    }
}

#[test]
fn binomial() {
    let file = json("stat_binomial.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 199);
    for row in rows {
        let chance = Probability::new("p", number(row, "p")).unwrap();
        check(&Binomial::new(whole(row, "n"), chance), row);
    }
}

#[test]
fn hypergeometric() {
    let file = json("stat_hypergeometric.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 88);
    for row in rows {
        check(
            &Hypergeometric::new(whole(row, "N"), whole(row, "K"), whole(row, "n")).unwrap(),
            row,
        );
    }
}

#[test]
fn chi_square() {
    let file = json("stat_chi_square.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 135);
    let critical = rows.iter().filter(|row| !check_chi_square(row)).count();
    assert_eq!(critical, 15);
}

/// False when the row gives a critical value instead of a point.
fn check_chi_square(row: &Value) -> bool {
    let freedom = NonZeroU32::new(whole(row, "df") as u32).unwrap();
    let what = row.to_string();
    if row["x"].is_null() {
        let upper = chi_square_upper(freedom, number(row, "critical")).get();
        // The critical value is rounded to a double: a change of 1e-16 in it moves the tail more.
        assert_close(upper, number(row, "upper_tail"), 1e-11, 0.0, &what);
        return false;
    }
    let x = number(row, "x");
    assert_close(
        chi_square_upper(freedom, x).get(),
        number(row, "sf"),
        RELATIVE,
        ROUNDING,
        &what,
    );
    assert_close(
        chi_square_lower(freedom, x).get(),
        number(row, "cdf"),
        RELATIVE,
        ROUNDING,
        &what,
    );
    true
}

/// The tail beyond k standard deviations, both sides: run_rules.json, `gaussian_limits`
/// (computed, 10 digits); 1.959964 is the well-known 2.5 percent point.
#[test]
fn normal() {
    for (k, both) in [
        (1.0, 0.3173105079),
        (2.0, 0.0455002639),
        (3.0, 0.002699796063),
        (3.09, 0.002001564953),
    ] {
        assert_close(2.0 * normal_upper(k).get(), both, 2e-10, 0.0, "tail");
    }
    assert_eq!(
        (
            normal_upper(f64::INFINITY).get(),
            normal_upper(f64::NEG_INFINITY).get()
        ),
        (0.0, 1.0)
    );
    assert_eq!(normal_upper(0.0).get(), 0.5);
    let upper = Probability::new("tail", 0.025).unwrap();
    assert_close(
        normal_quantile_upper(upper),
        1.959963984540054,
        1e-14,
        0.0,
        "quantile",
    );
}

/// Ends of the range that a table does not list.
#[test]
fn certain_and_impossible_counts() {
    let certain = Binomial::new(5, Probability::ONE);
    assert_eq!((certain.pmf(5), certain.pmf(4)), (1.0, 0.0));
    assert_eq!(
        (certain.at_most(4).get(), certain.at_least(5).get()),
        (0.0, 1.0)
    );
    let never = Binomial::new(5, Probability::ZERO);
    assert_eq!(
        (never.at_most(0).get(), never.at_least(1).get()),
        (1.0, 0.0)
    );
    assert_eq!(Binomial::new(0, Probability::ONE).pmf(0), 1.0);
    let none = Poisson::new(0.0).unwrap();
    assert_eq!(
        (none.pmf(0), none.at_most(3).get(), none.at_least(1).get()),
        (1.0, 1.0, 0.0)
    );
    let whole_lot = Hypergeometric::new(10, 3, 10).unwrap();
    assert_eq!((whole_lot.pmf(3), whole_lot.at_most(2).get()), (1.0, 0.0));
    assert!(
        Hypergeometric::new(10, 11, 1)
            .unwrap_err()
            .to_string()
            .contains("bad items is 11")
    );
    assert!(Poisson::new(f64::NAN).is_err());
}

/// At 100,000 trials, where the incomplete beta function of statrs 0.19 is off by 1e-9. Of a fair
/// coin P(X ≤ n/2) = 1/2 + P(X = n/2)/2, and P(X = n/2) is √(2/πn)·(1 − 1/4n + 1/32n² …)
/// (Stirling's series, from memory).
#[test]
fn many_trials_keep_their_digits() {
    let n = 100_000.0_f64;
    let middle =
        (2.0 / (std::f64::consts::PI * n)).sqrt() * (1.0 - 0.25 / n + 1.0 / (32.0 * n * n));
    let coin = Binomial::new(100_000, Probability::new("chance", 0.5).unwrap());
    assert_close(coin.pmf(50_000), middle, RELATIVE, 0.0, "middle");
    assert_close(
        coin.at_most(50_000).get(),
        0.5 + middle / 2.0,
        RELATIVE,
        0.0,
        "lower half",
    );
    // P(X = 0) = (1 − p)ⁿ.
    let rare = Binomial::new(100_000, Probability::new("chance", 1e-4).unwrap());
    assert_close(
        rare.at_most(0).get(),
        (n * (-1e-4_f64).ln_1p()).exp(),
        RELATIVE,
        0.0,
        "none",
    );
}
