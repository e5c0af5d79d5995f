//! Mass on the scale, and what a count of paper should weigh.

use std::fmt;
use std::iter::Sum;

use serde::{Deserialize, Serialize};

/// A mass in whole milligrams.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Mass(u64);

/// Why a text is not a mass.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a mass. Write grams, like 1250 or 1250.5, at most 1000000.")]
pub struct MassError(String);

impl Mass {
    pub const fn from_milligrams(milligrams: u64) -> Self {
        Self(milligrams)
    }

    /// Reads grams with up to three decimals, point or comma, up to 1,000,000 g.
    ///
    /// # Errors
    /// [`MassError`] for anything else.
    pub fn from_grams_text(text: &str) -> Result<Self, MassError> {
        let error = || MassError(text.to_owned());
        let text = text.trim();
        let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
        let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || whole.len() > 7 || part.len() > 3 || !digits(whole) || !digits(part)
        {
            return Err(error());
        }
        let grams: u64 = whole.parse().map_err(|_| error())?;
        let milligrams: u64 = format!("{part:0<3}").parse().map_err(|_| error())?;
        let mass = Self(grams * 1000 + milligrams);
        if mass > Self(1_000_000_000) {
            Err(error())
        } else {
            Ok(mass)
        }
    }

    /// Grams as [`Mass::from_grams_text`] reads them back, exactly: "1250.5".
    pub fn grams_text(self) -> String {
        let text = format!("{}.{:03}", self.0 / 1000, self.0 % 1000);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    pub fn milligrams(self) -> u64 {
        self.0
    }

    /// This less `tare`, or nothing when the tare is heavier.
    pub fn less(self, tare: Mass) -> Option<Mass> {
        self.0.checked_sub(tare.0).map(Mass)
    }
}

impl Sum for Mass {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        Self(masses.map(|mass| mass.0).sum())
    }
}

impl fmt::Display for Mass {
    /// Grams with one decimal, rounded half up: "1250.5 g".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = (self.0 + 50) / 100;
        write!(f, "{}.{} g", tenths / 10, tenths % 10)
    }
}

/// Expected mass of `count` pieces of paper of this area (mm²) and grammage (mg/m²), ink apart.
///
/// 1 m² is 10⁶ mm², so one piece weighs area · grammage / 10⁶ milligrams.
pub fn expected_net(count: u64, area_mm2: f64, grammage_mg_m2: u32) -> Mass {
    Mass((count as f64 * area_mm2 * f64::from(grammage_mg_m2) / 1e6).round() as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grams_are_read_exactly() {
        assert_eq!(Mass::from_grams_text("1250"), Ok(Mass(1_250_000)));
        assert_eq!(Mass::from_grams_text(" 0,5 "), Ok(Mass(500)));
        for bad in ["", "-1", "1.2345", "1e3", "kg", "1000001", "1.2.3", "１"] {
            assert!(Mass::from_grams_text(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn grams_are_written_as_they_are_read() {
        for (milligrams, text) in [
            (0, "0"),
            (500, "0.5"),
            (1_250_000, "1250"),
            (20_001, "20.001"),
        ] {
            assert_eq!(Mass(milligrams).grams_text(), text);
            assert_eq!(Mass::from_grams_text(text), Ok(Mass(milligrams)));
        }
    }

    /// ISO 216: sixteen A4 sheets make 1 m²; at 80 g/m² one weighs 5 g (4.990 g with the rounded
    /// millimetres 210 × 297).
    #[test]
    fn a4_at_80_grams_weighs_five_grams() {
        assert_eq!(expected_net(1, 210.0 * 297.0, 80_000), Mass(4_990));
        assert_eq!(expected_net(16, 1e6 / 16.0, 80_000), Mass(80_000));
    }
}
