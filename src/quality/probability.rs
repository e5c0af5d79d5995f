use super::QualityError;

/// A number from 0 to 1: a chance, a p-value, a q-value, a level.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Probability(f64);

impl Probability {
    /// Never.
    pub const ZERO: Self = Self(0.0);
    /// Always.
    pub const ONE: Self = Self(1.0);
    /// One in twenty, the usual limit for false alarms.
    pub const ONE_IN_TWENTY: Self = Self(0.05);

    /// Takes `value` if it lies in 0..=1.
    ///
    /// # Errors
    /// `NotAProbability`, naming `field`, for anything else, NaN included.
    pub fn new(field: &'static str, value: f64) -> Result<Self, QualityError> {
        if (0.0..=1.0).contains(&value) {
            Ok(Self(value))
        } else {
            Err(QualityError::NotAProbability { field, value })
        }
    }

    /// For values that are a probability but for rounding in the last places.
    pub(super) fn rounded(value: f64) -> Self {
        debug_assert!(value > -1e-9 && value < 1.0 + 1e-9, "{value}");
        Self(value.clamp(0.0, 1.0))
    }

    /// The number itself.
    pub fn get(self) -> f64 {
        self.0
    }

    /// The chance that it does not happen.
    pub fn complement(self) -> Self {
        Self(1.0 - self.0)
    }
}
