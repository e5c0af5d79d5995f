//! Measured samples of groups of notes, side by side.

use std::collections::BTreeMap;

use crate::inspect::{Quantity, Reading, Tolerance};
use crate::people::Day;
use crate::quality::capability::{Capability, Limits};
use crate::quality::spread::{FEWEST, Moments, Test, means, spreads};
use crate::quality::{Probability, holm};
use crate::sheet::ProductId;

use super::super::measured::Sample;
use super::super::state::State;
use super::By;

/// One quantity of a product over all groups.
#[derive(Clone, Debug, PartialEq)]
pub struct QuantityAlike {
    pub quantity: Quantity,
    /// As the first of the books has it.
    pub tolerance: Option<Tolerance>,
    /// In the order of their names.
    pub groups: Vec<MeasuredGroup>,
    /// Whether means differ, and spreads; nothing where fewer than two groups have readings
    /// enough, or none of these spreads.
    pub means: Option<Tested>,
    pub spreads: Option<Tested>,
}

/// A test, and its chance with all that was compared counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tested {
    pub test: Test,
    /// Up to one in twenty, so that not one false alarm is expected: they differ.
    pub q: Probability,
}

impl Tested {
    pub fn differ(&self) -> bool {
        self.q <= Probability::ONE_IN_TWENTY
    }
}

/// All readings of a group, in thousandths of the unit.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredGroup {
    pub name: String,
    pub samples: u64,
    pub moments: Moments,
    pub least: Reading,
    pub greatest: Reading,
    /// Readings outside the tolerance; nothing without one.
    pub outside: Option<u64>,
    pub capability: Option<Capability>,
    /// Readings enough to be compared.
    pub compared: bool,
}

/// What was measured of a product in these books, each book once. A sample that does not say what
/// groups are made by is left out; by stage there is nothing to compare.
pub fn measured_alike(books: &[&State], by: By, product: ProductId) -> Vec<QuantityAlike> {
    of_days(books, by, product, None)
}

/// The same of the samples recorded on one production day.
pub fn measured_alike_on(
    day: Day,
    books: &[&State],
    by: By,
    product: ProductId,
) -> Vec<QuantityAlike> {
    of_days(books, by, product, Some(day))
}

fn of_days(books: &[&State], by: By, product: ProductId, day: Option<Day>) -> Vec<QuantityAlike> {
    let mut found = BTreeMap::new();
    for state in books {
        let samples = state.samples.values();
        let samples = samples.filter(|sample| day.is_none_or(|day| sample.day == day));
        for sample in samples.filter(|sample| sample.taken.product == product) {
            if let Some(name) = group_of(state, by, sample) {
                let groups: &mut BTreeMap<String, Vec<&Sample>> =
                    found.entry(sample.taken.quantity).or_default();
                groups.entry(name).or_default().push(sample);
            }
        }
    }
    let tolerance = |quantity| {
        let mut known = books.iter().map(|state| &state.tolerances);
        known.find_map(|known| known.get(&(product, quantity)).copied())
    };
    let mut quantities: Vec<QuantityAlike> = found
        .into_iter()
        .map(|(quantity, groups)| side_by_side(quantity, tolerance(quantity), &groups))
        .collect();
    adjust(&mut quantities);
    quantities
}

fn group_of(state: &State, by: By, sample: &Sample) -> Option<String> {
    let taken = &sample.taken;
    match by {
        By::Lot => taken.lot.map(|lot| match taken.site {
            Some(site) => format!("{lot}, {site}"),
            None => lot.to_string(),
        }),
        By::Press => taken.press.map(|press| match taken.site {
            Some(site) => format!("{press}, {site}"),
            None => press.to_string(),
        }),
        By::Bench => state.opened.as_ref().map(|opened| opened.bench.to_string()),
        By::Site => Some(taken.site_in(state).to_owned()),
        By::Stage => None,
    }
}

fn side_by_side(
    quantity: Quantity,
    tolerance: Option<Tolerance>,
    groups: &BTreeMap<String, Vec<&Sample>>,
) -> QuantityAlike {
    let groups: Vec<(MeasuredGroup, Vec<f64>)> = groups
        .iter()
        .filter_map(|(name, samples)| group(name, samples, tolerance))
        .collect();
    let enough = groups.iter().filter(|(group, _)| group.compared);
    let readings: Vec<Vec<f64>> = enough.map(|(_, readings)| readings.clone()).collect();
    let unadjusted = |test: Test| Tested { test, q: test.p };
    QuantityAlike {
        quantity,
        tolerance,
        groups: groups.into_iter().map(|(group, _)| group).collect(),
        means: means(&readings).map(unadjusted),
        spreads: spreads(&readings).map(unadjusted),
    }
}

fn group(
    name: &str,
    samples: &[&Sample],
    tolerance: Option<Tolerance>,
) -> Option<(MeasuredGroup, Vec<f64>)> {
    let all = || samples.iter().flat_map(|sample| &sample.taken.readings);
    let readings: Vec<f64> = all().map(|one| f64::from(one.0)).collect();
    let moments = Moments::of(&readings)?;
    let outside = |limits: Tolerance| all().filter(|one| !limits.holds(**one)).count() as u64;
    let limits = tolerance.and_then(limits);
    let group = MeasuredGroup {
        name: name.to_owned(),
        samples: samples.len() as u64,
        moments,
        least: *all().min()?,
        greatest: *all().max()?,
        outside: tolerance.map(outside),
        capability: limits.and_then(|limits| Capability::of(&moments, limits)),
        compared: readings.len() >= FEWEST,
    };
    Some((group, readings))
}

fn limits(tolerance: Tolerance) -> Option<Limits> {
    let at = |limit: Reading| f64::from(limit.0);
    match (tolerance.lower, tolerance.upper) {
        (Some(lower), Some(upper)) => Some(Limits::Between(at(lower), at(upper))),
        (Some(lower), None) => Some(Limits::From(at(lower))),
        (None, Some(upper)) => Some(Limits::UpTo(at(upper))),
        (None, None) => None,
    }
}

/// Means and spreads of all quantities are one family of tests.
fn adjust(quantities: &mut [QuantityAlike]) {
    let mut tests: Vec<&mut Tested> = quantities
        .iter_mut()
        .flat_map(|one| one.means.iter_mut().chain(one.spreads.iter_mut()))
        .collect();
    let p: Vec<Probability> = tests.iter().map(|one| one.test.p).collect();
    for (one, q) in tests.iter_mut().zip(holm::adjusted(&p)) {
        one.q = q;
    }
}
