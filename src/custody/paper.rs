//! What is known of a product's paper and ink beyond the nominal grammage.

use serde::{Deserialize, Serialize};

/// Largest figure that is taken, mg/m²: as much as the heaviest paper weighs.
const MOST: u32 = 300_000;

/// How far the paper of a product may weigh other than its grammage says, and what the ink adds.
/// All in milligrams per square metre.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Paper {
    /// The mean grammage of the paper in use lies within this of the nominal one, either way.
    pub bias: u32,
    /// Standard deviation of the grammage from sheet to sheet.
    pub spread: u32,
    /// What print adds on both sides together.
    pub ink: u32,
    /// That lies within this, either way.
    pub ink_bias: u32,
}

/// Why paper cannot be described so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    #[error("\"{0}\" is more than 300 g/m². Give the figure from the paper's data sheet.")]
    TooMuch(&'static str),
    #[error(
        "\"Ink, either way\" is more than \"Ink\" itself, so the ink could weigh less than nothing. Give at most as much as the ink."
    )]
    InkBelowZero,
}

impl Paper {
    /// # Errors
    /// The first figure outside its domain.
    pub fn check(&self) -> Result<(), PaperError> {
        for (name, figure) in [
            ("Grammage, either way", self.bias),
            ("Sheet to sheet", self.spread),
            ("Ink", self.ink),
        ] {
            if figure > MOST {
                return Err(PaperError::TooMuch(name));
            }
        }
        if self.ink_bias > self.ink {
            return Err(PaperError::InkBelowZero);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrong_figures_are_refused_by_name() {
        let paper = Paper {
            bias: 1_500,
            spread: 1_200,
            ink: 3_000,
            ink_bias: 3_000,
        };
        assert_eq!(paper.check(), Ok(()));
        let spread = 300_001;
        let much = Paper { spread, ..paper }.check();
        assert_eq!(much, Err(PaperError::TooMuch("Sheet to sheet")));
        let ink_bias = 3_001;
        let below = Paper { ink_bias, ..paper }.check();
        assert_eq!(below, Err(PaperError::InkBelowZero));
    }
}
