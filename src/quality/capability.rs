//! How well measured readings keep within their tolerance: the indices Cp and Cpk.
//!
//! Sources: ISO 22514-2 for the names (from memory: it writes Pp and Ppk as long as nobody has
//! shown that the process is stable), NIST/SEMATECH e-Handbook 6.1.6 for the formulas and
//! intervals; the interval of Cpk is A. F. Bissell's (1990). All of it takes readings for normal.

use super::dist;
use super::intervals::{Interval, Level};
use super::search::first_true;
use super::spread::Moments;
use std::num::NonZeroU32;

/// From this many readings on an index is worth leaning on (common practice, no source).
pub const ENOUGH: u64 = 25;

/// Between what readings may lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limits {
    From(f64),
    UpTo(f64),
    Between(f64, f64),
}

/// An index with its 95 percent interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Index {
    pub value: f64,
    pub interval: Interval,
}

/// The indices of one set of readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capability {
    /// The tolerance in units of six standard deviations; nothing with one limit only.
    pub cp: Option<Index>,
    /// From the mean to the nearer limit in units of three standard deviations; below 0 when the
    /// mean lies outside.
    pub cpk: Index,
    /// Fewer readings than [`ENOUGH`].
    pub few: bool,
}

impl Capability {
    /// Nothing for readings that do not spread, or a single one.
    pub fn of(moments: &Moments, limits: Limits) -> Option<Self> {
        let spread = moments.spread.filter(|spread| *spread > 0.0)?;
        let above = |lower: f64| (moments.mean - lower) / (3.0 * spread);
        let below = |upper: f64| (upper - moments.mean) / (3.0 * spread);
        let (cp, cpk) = match limits {
            Limits::From(lower) => (None, above(lower)),
            Limits::UpTo(upper) => (None, below(upper)),
            Limits::Between(lower, upper) => (
                Some((upper - lower) / (6.0 * spread)),
                above(lower).min(below(upper)),
            ),
        };
        Some(Self {
            cp: cp.map(|value| cp_index(value, moments.n)),
            cpk: cpk_index(cpk, moments.n),
            few: moments.n < ENOUGH,
        })
    }
}

/// As exact as the chi-square distribution of the variance.
fn cp_index(value: f64, n: u64) -> Index {
    let freedom = u32::try_from(n - 1).ok().and_then(NonZeroU32::new);
    let freedom = freedom.unwrap_or(NonZeroU32::MAX);
    let tail = Level::Percent95.tail().get();
    let end = |share: f64| (quantile(freedom, share) / f64::from(freedom.get())).sqrt();
    Index {
        value,
        interval: Interval {
            low: value * end(tail),
            high: value * end(1.0 - tail),
        },
    }
}

fn quantile(freedom: NonZeroU32, share: f64) -> f64 {
    let mean = f64::from(freedom.get());
    // Twenty standard deviations and more above the mean.
    let roof = mean + 20.0 * (2.0 * mean).sqrt() + 50.0;
    first_true(roof, |x| dist::chi_square_lower(freedom, x).get() >= share)
}

fn cpk_index(value: f64, n: u64) -> Index {
    let z = dist::normal_quantile_upper(Level::Percent95.tail());
    let n = n as f64;
    let half = z * (1.0 / (9.0 * n) + value * value / (2.0 * (n - 1.0))).sqrt();
    Index {
        value,
        interval: Interval {
            low: value - half,
            high: value + half,
        },
    }
}
