//! Particle classes for paper, ISO/IEC 21964-2. Areas and the tenth part are from memory; no copy
//! of the table was at hand (see shared reference data).

use serde::{Deserialize, Serialize};

/// How finely the residue must be cut, P-1 (coarsest) to P-7.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum ParticleClass {
    #[serde(rename = "P-1")]
    P1,
    #[serde(rename = "P-2")]
    P2,
    #[serde(rename = "P-3")]
    P3,
    #[serde(rename = "P-4")]
    P4,
    #[serde(rename = "P-5")]
    P5,
    #[serde(rename = "P-6")]
    P6,
    #[serde(rename = "P-7")]
    P7,
}

impl ParticleClass {
    pub const ALL: [ParticleClass; 7] = [
        ParticleClass::P1,
        ParticleClass::P2,
        ParticleClass::P3,
        ParticleClass::P4,
        ParticleClass::P5,
        ParticleClass::P6,
        ParticleClass::P7,
    ];

    pub fn name(self) -> &'static str {
        ["P-1", "P-2", "P-3", "P-4", "P-5", "P-6", "P-7"][self as usize]
    }

    /// The area in mm² that nine particles of ten keep to (P-2 and P-1 also allow strips).
    pub fn largest_mm2(self) -> u32 {
        [2000, 800, 320, 160, 30, 10, 5][self as usize]
    }

    /// The area in mm² that no particle may exceed: a tenth of them may lie between the two. P-7
    /// allows none above its area.
    pub fn tolerated_mm2(self) -> u32 {
        [3800, 2000, 800, 480, 90, 30, 5][self as usize]
    }

    /// Most of so many measured particles that may lie above [`Self::largest_mm2`].
    pub fn above_allowed(self, measured: u32) -> u32 {
        match self {
            ParticleClass::P7 => 0,
            _ => measured / 10,
        }
    }
}

/// Particles of the residue that were measured, one by one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResidueSample {
    pub measured: u32,
    /// How many of them are larger than the class' area.
    pub above: u32,
}

/// Why measured particles do not pass as a class.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParticleError {
    #[error(
        "The largest particle is {found} mm² but {class} allows {allowed} mm². Destroy the residue again and measure it."
    )]
    TooLarge {
        found: u32,
        class: &'static str,
        allowed: u32,
    },
    #[error("The largest particle is 0 mm². Measure a sample of the residue.")]
    NoSize,
    #[error("The residue sample has no particle. Measure at least one.")]
    EmptySample,
    #[error(
        "{above} particles are above the class' area, but only {measured} were measured. Correct the two counts."
    )]
    MoreAboveThanMeasured { above: u32, measured: u32 },
    #[error(
        "The largest particle is {largest} mm² and {above} of those measured are said to be above the {limit} mm² of {class}. Correct the count or the largest."
    )]
    Contradiction {
        largest: u32,
        above: u32,
        limit: u32,
        class: &'static str,
    },
    #[error(
        "{above} of {measured} particles are above the {limit} mm² of {class}, which allows {allowed} of them. Destroy the residue again and measure it."
    )]
    TooManyAbove {
        above: u32,
        measured: u32,
        limit: u32,
        class: &'static str,
        allowed: u32,
    },
}

/// Checks measured particles against their class. Without a sample only the largest is known,
/// and must keep to the class' area.
///
/// # Errors
/// The first thing that does not fit.
pub fn check_particles(
    class: ParticleClass,
    largest: u32,
    sample: Option<ResidueSample>,
) -> Result<(), ParticleError> {
    let allowed = match sample {
        Some(_) => class.tolerated_mm2(),
        None => class.largest_mm2(),
    };
    if largest == 0 {
        return Err(ParticleError::NoSize);
    }
    if largest > allowed {
        return Err(ParticleError::TooLarge {
            found: largest,
            class: class.name(),
            allowed,
        });
    }
    sample.map_or(Ok(()), |sample| check_sample(class, largest, sample))
}

fn check_sample(
    class: ParticleClass,
    largest: u32,
    ResidueSample { measured, above }: ResidueSample,
) -> Result<(), ParticleError> {
    let limit = class.largest_mm2();
    let allowed = class.above_allowed(measured);
    let class = class.name();
    if measured == 0 {
        return Err(ParticleError::EmptySample);
    }
    if above > measured {
        return Err(ParticleError::MoreAboveThanMeasured { above, measured });
    }
    if (above > 0) != (largest > limit) {
        return Err(ParticleError::Contradiction {
            largest,
            above,
            limit,
            class,
        });
    }
    if above > allowed {
        return Err(ParticleError::TooManyAbove {
            above,
            measured,
            limit,
            class,
            allowed,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(class: ParticleClass, largest: u32, above: u32, measured: u32) -> Option<String> {
        let sample = Some(ResidueSample { measured, above });
        let checked = check_particles(class, largest, sample);
        checked.err().map(|why| why.to_string())
    }

    /// A tenth of the particles of P-5 may lie between 30 and 90 mm² (from memory).
    #[test]
    fn a_tenth_may_be_larger_and_no_more() {
        assert_eq!(check(ParticleClass::P5, 30, 0, 1), None);
        assert_eq!(check(ParticleClass::P5, 90, 5, 50), None);
        let many = check(ParticleClass::P5, 90, 6, 50).expect("too many");
        assert!(many.contains("allows 5 of them"), "{many}");
        let large = check(ParticleClass::P5, 91, 1, 50).expect("too large");
        assert!(large.contains("allows 90 mm²"), "{large}");
        // Below ten particles none may be larger.
        assert!(check(ParticleClass::P5, 31, 1, 9).is_some());
        let fine = check(ParticleClass::P7, 6, 1, 100).expect("P-7 tolerates none");
        assert!(fine.contains("allows 5 mm²"), "{fine}");
    }

    #[test]
    fn counts_that_contradict_each_other_are_refused() {
        let says = |largest, above, measured| check(ParticleClass::P4, largest, above, measured);
        assert!(says(100, 0, 0).is_some_and(|why| why.contains("at least one")));
        assert!(says(200, 7, 6).is_some_and(|why| why.contains("only 6 were measured")));
        assert!(says(161, 0, 20).is_some_and(|why| why.contains("Correct the count")));
        assert!(says(160, 1, 20).is_some_and(|why| why.contains("Correct the count")));
        assert!(says(0, 0, 20).is_some_and(|why| why.contains("is 0 mm²")));
    }
}
