//! How well a rate or a mean is known from what was counted.

use super::dist::{self, Binomial, Discrete, Poisson};
use super::search::first_true;
use super::{Probability, QualityError};

/// How sure an interval is to cover the truth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    Percent90,
    Percent95,
    Percent99,
}

impl Level {
    /// The chance left out on each side.
    pub(super) fn tail(self) -> Probability {
        Probability::rounded(match self {
            Self::Percent90 => 0.05,
            Self::Percent95 => 0.025,
            Self::Percent99 => 0.005,
        })
    }
}

/// The ends of an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: f64,
}

/// Wilson's score interval for a rate, from `part` of `whole`: short, and right on average.
/// Source: E. B. Wilson (1927); NIST/SEMATECH e-Handbook 7.2.4.1.
///
/// # Errors
/// `Zero` when `whole` is 0, `PartOverWhole` when `part` is more than `whole`.
pub fn wilson(part: u64, whole: u64, level: Level) -> Result<Interval, QualityError> {
    wilson_among(part, whole, 1.0, level)
}

/// The same where the things counted hang together, so that only one in `clumping` (1 or more)
/// counts as independent: Wilson's interval of that many (J. N. K. Rao and A. J. Scott 1992, the
/// effective sample, from memory).
///
/// # Errors
/// As [`wilson`].
pub fn wilson_among(
    part: u64,
    whole: u64,
    clumping: f64,
    level: Level,
) -> Result<Interval, QualityError> {
    check(part, whole)?;
    let (x, n) = (part as f64 / clumping, whole as f64 / clumping);
    let z = dist::normal_quantile_upper(level.tail());
    let square = z * z;
    let centre = (x + square / 2.0) / (n + square);
    let half = z / (n + square) * (x * (n - x) / n + square / 4.0).sqrt();
    Ok(Interval {
        low: if part == 0 { 0.0 } else { centre - half },
        high: if part == whole { 1.0 } else { centre + half },
    })
}

/// The difference of two rates, the first less the second, with the interval that R. G. Newcombe
/// (1998, his method 10, from memory) builds from Wilson's two. Each pair is part and whole.
///
/// # Errors
/// As [`wilson`].
pub fn rate_difference(
    first: (u64, u64),
    second: (u64, u64),
    level: Level,
) -> Result<(f64, Interval), QualityError> {
    let (one, two) = (
        wilson(first.0, first.1, level)?,
        wilson(second.0, second.1, level)?,
    );
    let rate = |(part, whole): (u64, u64)| part as f64 / whole as f64;
    let (p, q) = (rate(first), rate(second));
    let difference = p - q;
    let below = ((p - one.low).powi(2) + (two.high - q).powi(2)).sqrt();
    let above = ((one.high - p).powi(2) + (q - two.low).powi(2)).sqrt();
    let interval = Interval {
        low: difference - below,
        high: difference + above,
    };
    Ok((difference, interval))
}

/// Clopper and Pearson's interval for a rate, from `part` of `whole`: never covers less often
/// than it says. Source: C. J. Clopper and E. S. Pearson (1934).
///
/// # Errors
/// `Zero` when `whole` is 0, `PartOverWhole` when `part` is more than `whole`.
pub fn clopper_pearson(part: u64, whole: u64, level: Level) -> Result<Interval, QualityError> {
    check(part, whole)?;
    let tail = level.tail();
    let at = |rate: f64| Binomial::new(whole, Probability::rounded(rate));
    Ok(Interval {
        low: if part == 0 {
            0.0
        } else {
            first_true(1.0, |rate| at(rate).at_least(part) >= tail)
        },
        high: if part == whole {
            1.0
        } else {
            first_true(1.0, |rate| at(rate).at_most(part) <= tail)
        },
    })
}

/// The exact interval for the mean of a Poisson count of which `count` was seen once. Source:
/// F. Garwood (1936).
pub fn poisson_mean(count: u64, level: Level) -> Interval {
    let tail = level.tail();
    let at = |mean: f64| Poisson::new(mean).expect("the search stays at finite means of 0 or more");
    // Far above any upper end: the Poisson spread is √mean, and z at 99 percent is 2.6.
    let roof = 2.0 * count as f64 + 20.0;
    Interval {
        low: if count == 0 {
            0.0
        } else {
            first_true(roof, |mean| at(mean).at_least(count) >= tail)
        },
        high: first_true(roof, |mean| at(mean).at_most(count) <= tail),
    }
}

fn check(part: u64, whole: u64) -> Result<(), QualityError> {
    if whole == 0 {
        return Err(QualityError::Zero {
            field: "number examined",
        });
    }
    if part > whole {
        return Err(QualityError::PartOverWhole {
            part_field: "number found",
            part,
            whole_field: "number examined",
            whole,
        });
    }
    Ok(())
}
