//! Repeaters: the same class at the same position, sheet after sheet.
//!
//! [`Runs`] follows the bench sheet by sheet and always knows the run that ends at the latest
//! sheet; [`Runs::findings`] looks back over the lot and keeps the runs that chance does not
//! explain.

mod chance;
mod runs;

pub use chance::{alarm_length, run_chance};
pub use runs::{Current, Run, Runs};

use super::{Probability, bh};
use std::collections::BTreeMap;

/// How many kinds of repeater could have shown: every position times every class looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Family {
    pub positions: u64,
    pub classes: u64,
}

/// A run too long for chance.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding<S, P, C> {
    pub position: P,
    pub class: C,
    /// First sheet of the longest run.
    pub from: S,
    /// Last sheet of the longest run.
    pub to: S,
    /// Sheets in the run.
    pub length: u64,
    /// The exact chance of a run at least this long, were every mark independent.
    pub p: Probability,
    /// The same after Benjamini and Hochberg, over all positions and classes.
    pub q: Probability,
}

impl<S: Copy, P: Ord + Clone, C: Ord + Clone> Runs<S, P, C> {
    /// The longest run of each position and class whose q-value is at most `alpha`, most
    /// surprising first.
    ///
    /// The chance is that of a position that is marked, sheet by sheet, as often as the *other*
    /// positions of the sheet are with that class. Its own rate would not do: a plate that
    /// spoils every sheet has rate 1, and at rate 1 no run is surprising.
    pub fn findings(&self, family: Family, alpha: Probability) -> Vec<Finding<S, P, C>> {
        let totals = self.class_totals();
        let mut found: Vec<_> = self
            .longest()
            .map(|(position, class, marked, run)| Finding {
                p: run_chance(
                    self.examined(),
                    run.length,
                    self.base_rate(totals[class], marked, family),
                ),
                position: position.clone(),
                class: class.clone(),
                from: run.from,
                to: run.to,
                length: run.length,
                q: Probability::ONE,
            })
            .collect();
        let p: Vec<_> = found.iter().map(|finding| finding.p).collect();
        let size = family.positions.saturating_mul(family.classes);
        let q = bh::q_values_among(&p, usize::try_from(size).unwrap_or(usize::MAX));
        found
            .iter_mut()
            .zip(q)
            .for_each(|(finding, q)| finding.q = q);
        found.retain(|finding| finding.q <= alpha);
        found.sort_by(|a, b| {
            a.p.get()
                .total_cmp(&b.p.get())
                .then(b.length.cmp(&a.length))
        });
        found
    }

    /// The chance per sheet at one position, judged by the others: Laplace's rule of
    /// succession, (marks + 1) / (chances + 2), so that a class seen nowhere else is rare but
    /// not impossible.
    fn base_rate(&self, class_total: u64, marked_here: u64, family: Family) -> Probability {
        let others = (class_total - marked_here) as f64;
        let chances = self.examined() as f64 * family.positions.saturating_sub(1) as f64;
        Probability::rounded(((others + 1.0) / (chances + 2.0)).min(1.0))
    }

    fn class_totals(&self) -> BTreeMap<&C, u64> {
        let mut totals = BTreeMap::new();
        for (_, class, marked, _) in self.longest() {
            *totals.entry(class).or_insert(0) += marked;
        }
        totals
    }
}
