//! Zones: is one column or one row of the sheet marked more than its share?
//!
//! Pearson's chi-square test that all lines of a sheet (its columns, or its rows) are equally
//! likely to be marked. Source: K. Pearson (1900); NIST/SEMATECH e-Handbook 1.3.5.15.

mod exact;

use super::{Grid, Probability, bh, dist};
use exact::Ways;
use std::collections::BTreeMap;
use std::num::NonZeroU32;

/// Which lines of the sheet are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    Columns,
    Rows,
}

/// How the chance was worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Summed over every way the marks could have fallen.
    Exact,
    /// By the chi-square distribution.
    ChiSquare,
}

/// Up to this many marks the chance is summed exactly, since the chi-square distribution is
/// rough when few marks are expected in each line. Above it, and with lines equally likely,
/// the expected count may be small: N ≥ 10 and N²/lines ≥ 10 suffice (Koehler and Larntz 1980,
/// from memory), which 31 marks on up to 20 lines meet.
pub const EXACT_UP_TO: u64 = 30;

/// The comparison of the lines along one axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    pub axis: Axis,
    /// Pearson's Σ (count − expected)² / expected.
    pub statistic: f64,
    /// Lines − 1.
    pub freedom: NonZeroU32,
    /// Marks expected in each line if none is special.
    pub expected: f64,
    pub method: Method,
    /// The chance of a statistic at least this large if none is special.
    pub p: Probability,
    /// The line with the most marks, from 0; the first of equals.
    pub line: usize,
    /// Marks in that line.
    pub count: u64,
    /// The position along that line with the most marks, from 0; the first of equals.
    pub peak: usize,
    /// Marks at that position.
    pub peak_count: u64,
}

impl Zone {
    /// More than half of the line's marks lie at one position, so that the line stands out
    /// because of one note and not as a line.
    pub fn is_one_position(&self) -> bool {
        2 * self.peak_count > self.count
    }
}

/// Compares the lines along `axis`. `None` when there is nothing to compare: no marks, or a
/// single line.
pub fn compare(grid: &Grid, axis: Axis) -> Option<Zone> {
    compare_with(grid, axis, &mut Tables::default())
}

/// The exact tables by number of lines, each made once for all classes that need it.
#[derive(Clone, Debug, Default)]
pub struct Tables(BTreeMap<usize, Ways>);

fn compare_with(grid: &Grid, axis: Axis, tables: &mut Tables) -> Option<Zone> {
    let lines = lines(grid, axis);
    let freedom = NonZeroU32::new(u32::try_from(lines.len() - 1).ok()?)?;
    let totals: Vec<u64> = lines.iter().map(|line| line.iter().sum()).collect();
    let total = grid.total();
    if total == 0 {
        return None;
    }
    let expected = total as f64 / lines.len() as f64;
    let statistic = totals
        .iter()
        .map(|&n| (n as f64 - expected).powi(2) / expected)
        .sum();
    let (method, p) = if total <= EXACT_UP_TO {
        let ways = tables
            .0
            .entry(lines.len())
            .or_insert_with(|| Ways::of(lines.len()));
        (
            Method::Exact,
            ways.at_least(total, totals.iter().map(|n| n * n).sum()),
        )
    } else {
        (
            Method::ChiSquare,
            dist::chi_square_upper(freedom, statistic),
        )
    };
    let (line, count) = largest(&totals);
    let (peak, peak_count) = largest(&lines[line]);
    Some(Zone {
        axis,
        statistic,
        freedom,
        expected,
        method,
        p,
        line,
        count,
        peak,
        peak_count,
    })
}

fn lines(grid: &Grid, axis: Axis) -> Vec<Vec<u64>> {
    match axis {
        Axis::Columns => (0..grid.columns())
            .map(|column| grid.column(column))
            .collect(),
        Axis::Rows => (0..grid.rows()).map(|row| grid.row(row)).collect(),
    }
}

/// Index and value of the largest count, the first of equals.
fn largest(counts: &[u64]) -> (usize, u64) {
    let mut best = (0, counts[0]);
    for (index, &count) in counts.iter().enumerate() {
        if count > best.1 {
            best = (index, count);
        }
    }
    best
}

/// A class that favours some columns or some rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding<C> {
    pub class: C,
    pub zone: Zone,
    /// The zone's p-value after Benjamini and Hochberg, over all classes and both axes.
    pub q: Probability,
}

/// Compares columns and rows for every class, and keeps those whose q-value is at most
/// `alpha`, most surprising first. A class without marks takes no part.
pub fn findings<C: Clone>(grids: &[(C, Grid)], alpha: Probability) -> Vec<Finding<C>> {
    let grids = grids.iter().map(|(class, grid)| (class, grid));
    findings_with(grids, alpha, &mut Tables::default())
}

/// As [`findings`], with the exact tables kept by whoever compares again and again.
pub fn findings_with<'a, C: Clone + 'a>(
    grids: impl IntoIterator<Item = (&'a C, &'a Grid)>,
    alpha: Probability,
    tables: &mut Tables,
) -> Vec<Finding<C>> {
    let axes = [Axis::Columns, Axis::Rows];
    let mut tested: Vec<(&C, Zone)> = Vec::new();
    for (class, grid) in grids {
        let zones = axes
            .iter()
            .filter_map(|axis| compare_with(grid, *axis, tables));
        tested.extend(zones.map(|zone| (class, zone)));
    }
    let p: Vec<Probability> = tested.iter().map(|(_, zone)| zone.p).collect();
    let mut found: Vec<Finding<C>> = tested
        .into_iter()
        .zip(bh::q_values(&p))
        .filter(|(_, q)| *q <= alpha)
        .map(|((class, zone), q)| Finding {
            class: class.clone(),
            zone,
            q,
        })
        .collect();
    found.sort_by(|a, b| a.zone.p.get().total_cmp(&b.zone.p.get()));
    found
}
