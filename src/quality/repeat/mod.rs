//! Repeaters: the same class at the same position, sheet after sheet.
//!
//! [`Runs`] follows the bench sheet by sheet and always knows the run that ends at the latest
//! sheet; [`Runs::findings`] looks back over the lot and keeps the runs that chance does not
//! explain.

mod chance;
mod runs;

use chance::run_chance_at_least;
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

impl Family {
    pub fn size(self) -> u64 {
        self.positions.saturating_mul(self.classes)
    }
}

/// Leaves out the runs that no q-value up to `alpha` can come from, since an exact chance takes
/// time in proportion to the sheets. With T runs left of a family of m, a finding has p at most
/// α·T/m: at most T have a q-value up to α, and the largest p of these is at most α·T/m. So a run
/// whose chance is above that for certain goes, and with fewer left the bound is lower again.
fn worth_working_out<F>(mut runs: Vec<(f64, F)>, size: usize, alpha: Probability) -> Vec<F> {
    let mut left = size.max(runs.len());
    let family = left as f64;
    loop {
        let bound = alpha.get() * left as f64 / family;
        runs.retain(|(least, _)| *least <= bound);
        if runs.len() >= left {
            return runs.into_iter().map(|(_, run)| run).collect();
        }
        left = runs.len();
    }
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
        let size = usize::try_from(family.size()).unwrap_or(usize::MAX);
        let runs = self.longest().map(|(position, class, marked, run)| {
            let rate = self.base_rate(totals[class], marked, family);
            let least = run_chance_at_least(self.examined(), run.length, rate);
            let finding = Finding {
                position: position.clone(),
                class: class.clone(),
                from: run.from,
                to: run.to,
                length: run.length,
                p: Probability::ONE,
                q: Probability::ONE,
            };
            (least, (rate, finding))
        });
        let told = worth_working_out(runs.collect(), size, alpha).into_iter();
        let mut found: Vec<_> = told
            .map(|(rate, finding)| Finding {
                p: run_chance(self.examined(), finding.length, rate),
                ..finding
            })
            .collect();
        let p: Vec<_> = found.iter().map(|finding| finding.p).collect();
        for (finding, q) in found.iter_mut().zip(bh::q_values_among(&p, size)) {
            finding.q = q;
        }
        found.retain(|finding| finding.q <= alpha);
        found.sort_by(|a, b| {
            a.p.get()
                .total_cmp(&b.p.get())
                .then(b.length.cmp(&a.length))
        });
        found
    }

    /// The exact chance that a position has a run of `length` of a class in `trials` sheets, by
    /// the same rate as in [`Runs::findings`].
    pub fn chance(
        &self,
        position: &P,
        class: &C,
        length: u64,
        trials: u64,
        family: Family,
    ) -> Probability {
        let total = self.class_totals().get(class).copied().unwrap_or(0);
        let rate = self.base_rate(total, self.marked(position, class), family);
        run_chance(trials, length, rate)
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
