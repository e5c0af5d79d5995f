//! Wald and Wolfowitz's runs test: do high and low values follow each other by chance?
//!
//! Source: A. Wald and J. Wolfowitz (1940); NIST/SEMATECH e-Handbook 1.3.5.13. (The longest run
//! of one mark is another matter: see [`super::repeat`].)

use super::{Probability, QualityError, dist};

/// The outcome of a runs test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunsTest {
    /// Values at or above the cut.
    pub above: u64,
    /// Values below the cut.
    pub below: u64,
    /// Runs seen.
    pub runs: u64,
    /// Runs expected of a random order.
    pub expected: f64,
    pub variance: f64,
    /// (runs − expected) / √variance, without continuity correction. Below 0: values cluster;
    /// above 0: they alternate.
    pub z: f64,
    /// Two-sided, by the normal distribution: rough with fewer than 10 values on either side.
    pub p: Probability,
}

/// Tests the order of `values` about `cut`; a value at the cut counts as above it.
///
/// # Errors
/// `NotANumber` for a NaN, counted from 0; `OneSided` when no value lies above the cut or none
/// below.
pub fn runs_test(values: &[f64], cut: f64) -> Result<RunsTest, QualityError> {
    if let Some(index) = values.iter().position(|value| value.is_nan()) {
        return Err(QualityError::NotANumber {
            field: "value",
            index,
        });
    }
    let sides: Vec<bool> = values.iter().map(|value| *value >= cut).collect();
    let above = sides.iter().filter(|side| **side).count() as u64;
    let below = sides.len() as u64 - above;
    if above == 0 || below == 0 {
        return Err(QualityError::OneSided { above, below });
    }
    let runs = 1 + sides.windows(2).filter(|pair| pair[0] != pair[1]).count() as u64;
    let (all, twice) = ((above + below) as f64, 2.0 * above as f64 * below as f64);
    let expected = twice / all + 1.0;
    let variance = twice * (twice - all) / (all * all * (all - 1.0));
    // Two values, one on each side, can only make two runs: no spread and no surprise.
    let z = if variance == 0.0 {
        0.0
    } else {
        (runs as f64 - expected) / variance.sqrt()
    };
    let p = Probability::rounded(2.0 * dist::normal_upper(z.abs()).get());
    Ok(RunsTest {
        above,
        below,
        runs,
        expected,
        variance,
        z,
        p,
    })
}
