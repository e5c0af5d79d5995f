//! Measured readings: mean and spread, and whether groups of them differ in either.
//!
//! Sources: one-way analysis of variance, NIST/SEMATECH e-Handbook 7.4.3; B. L. Welch (1951), for
//! means when spreads differ; M. B. Brown and A. B. Forsythe (1974), for spreads, NIST/SEMATECH
//! e-Handbook 1.3.5.10.

use super::{Probability, dist};

/// Fewest readings of a group that is compared: below it the tests cry wolf more often than they
/// say (measured in tests/properties/alike.rs).
pub const FEWEST: usize = 5;

/// What readings come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moments {
    pub n: u64,
    pub mean: f64,
    /// Sample standard deviation (of n - 1); nothing for one reading.
    pub spread: Option<f64>,
}

impl Moments {
    /// Nothing when there is no reading.
    pub fn of(readings: &[f64]) -> Option<Self> {
        let n = readings.len();
        if n == 0 {
            return None;
        }
        let mean = mean(readings);
        let spread = (n > 1).then(|| (squares(readings, mean) / (n - 1) as f64).sqrt());
        Some(Self {
            n: n as u64,
            mean,
            spread,
        })
    }
}

/// The mean, then what rounding left of it.
fn mean(readings: &[f64]) -> f64 {
    let n = readings.len() as f64;
    let rough = readings.iter().sum::<f64>() / n;
    rough + readings.iter().map(|reading| reading - rough).sum::<f64>() / n
}

fn squares(readings: &[f64], about: f64) -> f64 {
    readings
        .iter()
        .map(|reading| (reading - about).powi(2))
        .sum()
}

/// The outcome of a test of groups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Test {
    pub f: f64,
    /// Degrees of freedom between and within groups; Welch's within is no whole number.
    pub between: f64,
    pub within: f64,
    /// The chance of so great an F if the groups are alike.
    pub p: Probability,
}

impl Test {
    fn new(f: f64, between: f64, within: f64) -> Self {
        let p = dist::f_upper(between, within, f);
        Self {
            f,
            between,
            within,
            p,
        }
    }
}

/// Whether means differ, if all groups spread alike. Nothing for less than two groups, an empty
/// one, or readings that do not spread at all.
pub fn one_way(groups: &[Vec<f64>]) -> Option<Test> {
    let all: Vec<f64> = groups.iter().flatten().copied().collect();
    let (k, n) = (groups.len(), all.len());
    if k < 2 || n <= k || groups.iter().any(Vec::is_empty) {
        return None;
    }
    let grand = mean(&all);
    let means: Vec<f64> = groups.iter().map(|group| mean(group)).collect();
    let pairs = || groups.iter().zip(&means);
    let inside: f64 = pairs().map(|(group, mean)| squares(group, *mean)).sum();
    let between: f64 = pairs()
        .map(|(group, mean)| group.len() as f64 * (mean - grand).powi(2))
        .sum();
    let (over, under) = ((k - 1) as f64, (n - k) as f64);
    (inside > 0.0).then(|| Test::new((between / over) / (inside / under), over, under))
}

/// Whether means differ, whatever the spread of each group. Where some group does not spread at
/// all, as coarse readings may not, the groups are taken to spread alike. Nothing as of
/// [`one_way`].
pub fn means(groups: &[Vec<f64>]) -> Option<Test> {
    let moments: Vec<Moments> = groups
        .iter()
        .filter_map(|group| Moments::of(group))
        .collect();
    let weights: Option<Vec<f64>> = moments
        .iter()
        .map(|one| Some(one.n as f64 / one.spread.filter(|spread| *spread > 0.0)?.powi(2)))
        .collect();
    match weights {
        Some(weights) if groups.len() > 1 => Some(welch(&moments, &weights)),
        _ => one_way(groups),
    }
}

fn welch(groups: &[Moments], weights: &[f64]) -> Test {
    let k = groups.len() as f64;
    let all: f64 = weights.iter().sum();
    let pairs = || groups.iter().zip(weights);
    let grand = pairs()
        .map(|(group, weight)| weight * group.mean)
        .sum::<f64>()
        / all;
    let apart: f64 = pairs()
        .map(|(group, weight)| weight * (group.mean - grand).powi(2))
        .sum();
    let unsure: f64 = pairs()
        .map(|(group, weight)| (1.0 - weight / all).powi(2) / (group.n - 1) as f64)
        .sum();
    let square = k * k - 1.0;
    let f = apart / (k - 1.0) / (1.0 + 2.0 * (k - 2.0) / square * unsure);
    Test::new(f, k - 1.0, square / (3.0 * unsure))
}

/// Whether spreads differ: the analysis of variance over how far each reading lies from the
/// median of its group. Nothing as of [`one_way`].
pub fn spreads(groups: &[Vec<f64>]) -> Option<Test> {
    let apart = |group: &Vec<f64>| -> Vec<f64> {
        let middle = median(group);
        group
            .iter()
            .map(|reading| (reading - middle).abs())
            .collect()
    };
    one_way(&groups.iter().map(apart).collect::<Vec<_>>())
}

fn median(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    match sorted.len() {
        0 => 0.0,
        n if n % 2 == 1 => sorted[n / 2],
        n => f64::midpoint(sorted[n / 2 - 1], sorted[n / 2]),
    }
}
