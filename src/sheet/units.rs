//! Exact units: lengths in whole micrometres, grammage in whole milligrams per square metre.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A length of at most ten metres in whole micrometres; serde as that integer.
#[derive(
    Copy, Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(try_from = "u32", into = "u32")]
pub struct Length(u32);

/// A measure outside what a printed sheet can have.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    #[error(
        "A length of {micrometres} micrometres is longer than 10 m. Give it in micrometres: 148 mm is 148000."
    )]
    TooLong { micrometres: u32 },
    #[error("A grammage of {} g/m² is outside 30 to 300 g/m². Check the paper's data sheet.", f64::from(*.mg_per_m2) / 1000.0)]
    Grammage { mg_per_m2: u32 },
}

impl Length {
    const MAX_UM: u32 = 10_000_000;

    /// Rounds to the nearest micrometre; `None` below zero, above 10 m, or for no number at all.
    pub fn from_mm(mm: f64) -> Option<Self> {
        let um = (mm * 1000.0).round();
        // The range test makes the cast exact.
        (0.0..=f64::from(Self::MAX_UM))
            .contains(&um)
            .then_some(Self(um as u32))
    }

    pub fn mm(self) -> f64 {
        f64::from(self.0) / 1000.0
    }

    pub fn micrometres(self) -> u32 {
        self.0
    }

    /// Sums inside one sheet stay far below the limit of `u32`: a layout is checked to fit.
    pub(super) const fn from_micrometres(um: u32) -> Self {
        Self(um)
    }
}

impl TryFrom<u32> for Length {
    type Error = UnitError;

    fn try_from(micrometres: u32) -> Result<Self, UnitError> {
        match micrometres {
            0..=Self::MAX_UM => Ok(Self(micrometres)),
            _ => Err(UnitError::TooLong { micrometres }),
        }
    }
}

impl From<Length> for u32 {
    fn from(length: Length) -> u32 {
        length.0
    }
}

/// Millimetres with only the decimals that are needed: `148 mm`, `0.5 mm`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.mm())
    }
}

/// Mass of one square metre of paper, 30 to 300 g/m², in whole mg/m²; serde as that integer.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct Grammage(u32);

impl Grammage {
    /// `None` outside 30 to 300 g/m².
    pub fn from_g_per_m2(g: f64) -> Option<Self> {
        let mg = (g * 1000.0).round();
        (30_000.0..=300_000.0)
            .contains(&mg)
            .then_some(Self(mg as u32))
    }

    pub fn g_per_m2(self) -> f64 {
        f64::from(self.0) / 1000.0
    }

    pub fn mg_per_m2(self) -> u32 {
        self.0
    }
}

impl TryFrom<u32> for Grammage {
    type Error = UnitError;

    fn try_from(mg_per_m2: u32) -> Result<Self, UnitError> {
        match mg_per_m2 {
            30_000..=300_000 => Ok(Self(mg_per_m2)),
            _ => Err(UnitError::Grammage { mg_per_m2 }),
        }
    }
}

impl From<Grammage> for u32 {
    fn from(grammage: Grammage) -> u32 {
        grammage.0
    }
}

impl fmt::Display for Grammage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g/m²", self.g_per_m2())
    }
}

/// A count as people read it: `6 400 000`.
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}

/// How many of a thing, as people say it: `1 sheet`, `6 400 sheets`.
pub fn number_of(number: u64, one: &str, many: &str) -> String {
    match number {
        1 => format!("1 {one}"),
        _ => format!("{} {many}", grouped(number)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_exact_micrometres() {
        assert_eq!(Length::from_mm(148.0).unwrap().micrometres(), 148_000);
        assert_eq!(Length::from_mm(0.1 + 0.2).unwrap().micrometres(), 300);
        assert_eq!(Length::from_mm(62.5).unwrap().to_string(), "62.5 mm");
        for bad in [-1.0, 10_000.1, f64::NAN, f64::INFINITY] {
            assert_eq!(Length::from_mm(bad), None, "{bad}");
        }
        assert!(serde_json::from_str::<Length>("10000001").is_err());
    }

    #[test]
    fn grammage_has_limits() {
        assert_eq!(Grammage::from_g_per_m2(85.0).unwrap().mg_per_m2(), 85_000);
        assert_eq!(Grammage::from_g_per_m2(29.9), None);
        let error = Grammage::try_from(29_500).unwrap_err().to_string();
        assert!(
            error.starts_with("A grammage of 29.5 g/m² is outside 30 to 300"),
            "{error}"
        );
    }

    #[test]
    fn groups_of_three() {
        let read = [0, 999, 1000, 10_000, 6_400_000].map(grouped);
        assert_eq!(read, ["0", "999", "1 000", "10 000", "6 400 000"]);
    }
}
