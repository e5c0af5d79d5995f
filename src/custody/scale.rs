//! A scale, as its plate and its last calibration describe it.

use serde::{Deserialize, Serialize};

use crate::people::Day;
use crate::sheet::name_id;

use super::mass::Mass;

name_id!(
    ScaleId,
    "scale",
    "The name of a scale, as its plate has it."
);

/// Longest time between two calibrations that is taken, in days.
const INTERVAL_MAX: u16 = 3_650;
/// Coarsest figure of a scale that is taken: 10 kg.
const COARSEST: Mass = Mass::from_milligrams(10_000_000);

/// What is known of a scale. Set anew after each calibration.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    pub scale: ScaleId,
    /// The step of its display, milligrams.
    pub resolution: Mass,
    /// Standard deviation of weighing one load again and again, milligrams.
    pub repeatability: Mass,
    /// Largest error of indication that its calibration leaves, either way, milligrams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub error: Option<Mass>,
    pub calibrated: Day,
    /// Days until it must be calibrated again.
    pub interval_days: u16,
}

/// Why a scale cannot be registered so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ScaleError {
    #[error("\"Resolution\" is 0. Give the step of the display in grams, like 0.5.")]
    NoResolution,
    #[error("\"{0}\" is more than 10 000 g. Give the figure from the scale's papers, in grams.")]
    TooCoarse(&'static str),
    #[error("\"Calibrate every\" is {0} days. Give 1 to {INTERVAL_MAX}.")]
    Interval(u16),
    #[error(
        "\"Last calibrated\" is {calibrated}, which has not come yet: today is {today}. Give the day on the calibration's paper."
    )]
    NotYet { calibrated: Day, today: Day },
}

impl Scale {
    /// Checks its figures against the day on which they are registered.
    ///
    /// # Errors
    /// The first figure outside its domain.
    pub fn check(&self, today: Day) -> Result<(), ScaleError> {
        if self.resolution == Mass::default() {
            return Err(ScaleError::NoResolution);
        }
        for (name, mass) in [
            ("Resolution", self.resolution),
            ("Repeatability", self.repeatability),
            ("Largest error", self.error.unwrap_or_default()),
        ] {
            if mass > COARSEST {
                return Err(ScaleError::TooCoarse(name));
            }
        }
        if !(1..=INTERVAL_MAX).contains(&self.interval_days) {
            return Err(ScaleError::Interval(self.interval_days));
        }
        let calibrated = self.calibrated;
        if calibrated > today {
            return Err(ScaleError::NotYet { calibrated, today });
        }
        Ok(())
    }

    /// The last day on which its calibration counts.
    pub fn due(&self) -> Day {
        self.calibrated.later(self.interval_days)
    }

    /// Whether its calibration is too old on that day.
    pub fn is_overdue(&self, on: Day) -> bool {
        on > self.due()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().expect("a day")
    }

    fn scale() -> Scale {
        Scale {
            scale: "W-2".parse().expect("a scale"),
            resolution: Mass::from_milligrams(500),
            repeatability: Mass::from_milligrams(400),
            error: None,
            calibrated: day("2026-02-01"),
            interval_days: 28,
        }
    }

    /// 2026 is no leap year: 28 days after 1 February is 1 March.
    #[test]
    fn a_calibration_counts_to_the_last_day_of_its_interval() {
        assert_eq!(scale().due(), day("2026-03-01"));
        assert!(!scale().is_overdue(day("2026-03-01")));
        assert!(scale().is_overdue(day("2026-03-02")));
    }

    #[test]
    fn wrong_figures_are_refused_by_name() {
        let with = |change: fn(&mut Scale)| {
            let mut scale = scale();
            change(&mut scale);
            scale.check(day("2026-02-01"))
        };
        assert_eq!(with(|_| {}), Ok(()));
        let none = with(|scale| scale.resolution = Mass::default());
        assert_eq!(none, Err(ScaleError::NoResolution));
        let coarse = with(|scale| scale.error = Some(Mass::from_milligrams(10_000_001)));
        assert_eq!(coarse, Err(ScaleError::TooCoarse("Largest error")));
        let never = with(|scale| scale.interval_days = 0);
        assert_eq!(never, Err(ScaleError::Interval(0)));
        let future = with(|scale| scale.calibrated = day("2026-02-02"));
        assert!(matches!(future, Err(ScaleError::NotYet { .. })));
    }

    #[test]
    fn a_scale_without_a_known_error_is_written_without_it() {
        let text = serde_json::to_string(&scale()).expect("a scale is written");
        assert_eq!(
            text,
            "{\"scale\":\"W-2\",\"resolution\":500,\"repeatability\":400,\"calibrated\":\"2026-02-01\",\"interval_days\":28}"
        );
        assert_eq!(serde_json::from_str::<Scale>(&text).ok(), Some(scale()));
    }
}
