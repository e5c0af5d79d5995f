//! Particle classes for paper, ISO/IEC 21964-2 (from memory; see shared reference data).

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

    /// Largest particle area in mm² (P-2 and P-1 also allow strips).
    pub fn largest_mm2(self) -> u32 {
        [2000, 800, 320, 160, 30, 10, 5][self as usize]
    }
}
