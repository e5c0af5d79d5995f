use super::Plan;
use crate::quality::dist::{Binomial, Discrete, Hypergeometric, Poisson};
use crate::quality::search::first_true;
use crate::quality::{Probability, QualityError};

/// What is assumed of the items a sample is drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Model {
    /// Bad items from a steady process.
    Binomial,
    /// Faults from a steady process; an item may have several.
    Poisson,
}

impl Plan {
    /// The operating characteristic: the chance that a lot is accepted (at once, without a
    /// rejection number in between) when `quality` of its items are bad, or when it has
    /// `quality` faults an item for [`Model::Poisson`].
    ///
    /// # Errors
    /// `NotAProbability` or `Negative` when `quality` is out of the model's range.
    pub fn acceptance(self, quality: f64, model: Model) -> Result<Probability, QualityError> {
        Ok(match model {
            Model::Binomial => {
                let chance = Probability::new("share of bad items", quality)?;
                Binomial::new(self.sample(), chance).at_most(self.accept())
            }
            Model::Poisson => Poisson::new(self.sample() as f64 * quality)?.at_most(self.accept()),
        })
    }

    /// The exact chance that a lot of `lot` items, `bad` of them bad, is accepted. A sample as
    /// large as the lot takes every item.
    ///
    /// # Errors
    /// `PartOverWhole` when there are more bad items than items.
    pub fn acceptance_of_lot(self, lot: u64, bad: u64) -> Result<Probability, QualityError> {
        let sample = self.sample().min(lot);
        Ok(Hypergeometric::new(lot, bad, sample)?.at_most(self.accept()))
    }
}

/// The quality (share of bad items, or faults an item) at which the plan accepts with the given
/// chance, as in MIL-STD-105E table X. `None` at a chance of 0, which no quality reaches, and
/// when the plan accepts everything.
pub fn quality_at(plan: Plan, chance: Probability, model: Model) -> Option<f64> {
    let roof = match model {
        Model::Binomial => 1.0,
        // The chance is below 1e-308 here: a mean of 2·accept + 1500 is far beyond it.
        Model::Poisson => (2.0 * plan.accept() as f64 + 1_500.0) / plan.sample() as f64,
    };
    let accepts_less = |quality: f64| plan.acceptance(quality, model).is_ok_and(|p| p <= chance);
    if chance == Probability::ZERO || !accepts_less(roof) {
        return None;
    }
    Some(first_true(roof, accepts_less))
}

/// The average share of bad items that leaves, when rejected lots of `lot` items are sorted item
/// by item and bad items found are replaced: Pa · p · (N − n) / N. Source: NIST/SEMATECH
/// e-Handbook 6.2.3.2.
///
/// # Errors
/// `NotAProbability` when `quality` is not a share, `Zero` for an empty lot.
pub fn average_outgoing(plan: Plan, lot: u64, quality: f64) -> Result<f64, QualityError> {
    if lot == 0 {
        return Err(QualityError::Zero { field: "lot" });
    }
    let accepted = plan.acceptance(quality, Model::Binomial)?.get();
    let unseen = lot.saturating_sub(plan.sample()) as f64 / lot as f64;
    Ok(accepted * quality * unseen)
}
