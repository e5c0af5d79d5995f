use super::saddle;
use crate::quality::{Probability, QualityError};

/// A distribution over counts with one peak.
pub trait Discrete {
    /// P(X = k).
    fn pmf(&self, k: u64) -> f64;
    /// P(X = k + 1) / P(X = k), for k from the least to one below the greatest count.
    fn ratio(&self, k: u64) -> f64;
    fn mean(&self) -> f64;
    /// The least and the greatest count possible; the greatest is `None` when there is none.
    fn range(&self) -> (u64, Option<u64>);

    /// P(X ≤ k).
    fn at_most(&self, k: u64) -> Probability {
        let (least, greatest) = self.range();
        let sum = if k < least {
            0.0
        } else if greatest.is_some_and(|top| k >= top) {
            1.0
        } else if (k as f64) < self.mean() {
            sum_down(self, k)
        } else {
            1.0 - sum_up(self, k + 1)
        };
        Probability::rounded(sum)
    }

    /// P(X > k).
    fn more_than(&self, k: u64) -> Probability {
        let (least, greatest) = self.range();
        let sum = if k < least {
            1.0
        } else if greatest.is_some_and(|top| k >= top) {
            0.0
        } else if (k as f64) < self.mean() {
            1.0 - sum_down(self, k)
        } else {
            sum_up(self, k + 1)
        };
        Probability::rounded(sum)
    }

    /// P(X ≥ k).
    fn at_least(&self, k: u64) -> Probability {
        k.checked_sub(1)
            .map_or(Probability::ONE, |below| self.more_than(below))
    }
}

/// A term smaller than this part of the sum no longer changes it.
const NEGLIGIBLE: f64 = 1e-18;

fn sum_up<D: Discrete + ?Sized>(of: &D, from: u64) -> f64 {
    let (_, greatest) = of.range();
    let (mut k, mut term, mut sum) = (from, of.pmf(from), 0.0);
    loop {
        sum += term;
        if Some(k) == greatest || term <= sum * NEGLIGIBLE {
            return sum;
        }
        term *= of.ratio(k);
        k += 1;
    }
}

fn sum_down<D: Discrete + ?Sized>(of: &D, from: u64) -> f64 {
    let (least, _) = of.range();
    let (mut k, mut term, mut sum) = (from, of.pmf(from), 0.0);
    loop {
        sum += term;
        if k == least || term <= sum * NEGLIGIBLE {
            return sum;
        }
        k -= 1;
        term /= of.ratio(k);
    }
}

/// Number of events when they happen independently at a steady rate.
#[derive(Clone, Copy, Debug)]
pub struct Poisson {
    mean: f64,
}

impl Poisson {
    /// # Errors
    /// `Negative` when the mean is below 0 or not a finite number.
    pub fn new(mean: f64) -> Result<Self, QualityError> {
        if mean.is_finite() && mean >= 0.0 {
            Ok(Self { mean })
        } else {
            Err(QualityError::Negative {
                field: "mean",
                value: mean,
            })
        }
    }
}

impl Discrete for Poisson {
    fn pmf(&self, k: u64) -> f64 {
        saddle::poisson(k, self.mean)
    }
    fn ratio(&self, k: u64) -> f64 {
        self.mean / (k + 1) as f64
    }
    fn mean(&self) -> f64 {
        self.mean
    }
    fn range(&self) -> (u64, Option<u64>) {
        (0, (self.mean == 0.0).then_some(0))
    }
}

/// Number of successes in independent trials of equal chance.
#[derive(Clone, Copy, Debug)]
pub struct Binomial {
    trials: u64,
    chance: f64,
}

impl Binomial {
    pub fn new(trials: u64, chance: Probability) -> Self {
        Self {
            trials,
            chance: chance.get(),
        }
    }
}

impl Discrete for Binomial {
    fn pmf(&self, k: u64) -> f64 {
        saddle::binomial(k, self.trials, self.chance, 1.0 - self.chance)
    }
    fn ratio(&self, k: u64) -> f64 {
        (self.trials - k) as f64 / (k + 1) as f64 * self.chance / (1.0 - self.chance)
    }
    fn mean(&self) -> f64 {
        self.trials as f64 * self.chance
    }
    fn range(&self) -> (u64, Option<u64>) {
        let certain = self.chance == 1.0;
        let never = self.chance == 0.0;
        (
            if certain { self.trials } else { 0 },
            Some(if never { 0 } else { self.trials }),
        )
    }
}

/// Number of bad items in a sample drawn without replacement from a lot.
#[derive(Clone, Copy, Debug)]
pub struct Hypergeometric {
    lot: u64,
    bad: u64,
    sample: u64,
}

impl Hypergeometric {
    /// # Errors
    /// `PartOverWhole` when the bad items or the sample outnumber the lot.
    pub fn new(lot: u64, bad: u64, sample: u64) -> Result<Self, QualityError> {
        for (part_field, part) in [("bad items", bad), ("sample", sample)] {
            if part > lot {
                return Err(QualityError::PartOverWhole {
                    part_field,
                    part,
                    whole_field: "lot",
                    whole: lot,
                });
            }
        }
        Ok(Self { lot, bad, sample })
    }
}

impl Discrete for Hypergeometric {
    fn pmf(&self, k: u64) -> f64 {
        let (least, greatest) = self.range();
        if k < least || greatest.is_some_and(|top| k > top) {
            return 0.0;
        }
        if self.sample == 0 || self.sample == self.lot {
            return 1.0;
        }
        // Any p gives the same quotient; the sampled share keeps all three terms near their peaks.
        let p = self.sample as f64 / self.lot as f64;
        let q = (self.lot - self.sample) as f64 / self.lot as f64;
        saddle::binomial(k, self.bad, p, q)
            * saddle::binomial(self.sample - k, self.lot - self.bad, p, q)
            / saddle::binomial(self.sample, self.lot, p, q)
    }
    fn ratio(&self, k: u64) -> f64 {
        let good_left = self.lot - self.bad + k + 1 - self.sample;
        (self.bad - k) as f64 * (self.sample - k) as f64 / ((k + 1) as f64 * good_left as f64)
    }
    fn mean(&self) -> f64 {
        if self.lot == 0 {
            0.0
        } else {
            self.sample as f64 * self.bad as f64 / self.lot as f64
        }
    }
    fn range(&self) -> (u64, Option<u64>) {
        (
            (self.bad + self.sample).saturating_sub(self.lot),
            Some(self.bad.min(self.sample)),
        )
    }
}
