//! Acceptance sampling: is a lot of passed sheets as good as it is said to be?
//!
//! Single sampling plans by lot size, inspection level and acceptance quality limit (AQL).
//! Source: MIL-STD-105E tables I, II-A, II-B and II-C; the normal and tightened tables are those
//! of ISO 2859-1 as well, its reduced table of 1999 is another. When to switch between
//! normal, tightened and reduced inspection: ISO 2859-1:1999, from memory.

mod draw;
mod missing;
mod oc;
mod switching;
mod tables;

pub use draw::draw;
pub use missing::{overlooked, sample_for};
pub use oc::{Model, average_outgoing, quality_at};
pub use switching::{Judged, Standing};
pub use tables::{Aql, code_letter, single_plan};

use serde::{Deserialize, Serialize};

use super::QualityError;

/// How much is examined for a lot of a given size: II unless there is reason for another; the
/// special levels S take small samples.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub enum Level {
    S1,
    S2,
    S3,
    S4,
    I,
    #[default]
    II,
    III,
}

impl Level {
    pub const ALL: [Self; 7] = [
        Self::S1,
        Self::S2,
        Self::S3,
        Self::S4,
        Self::I,
        Self::II,
        Self::III,
    ];

    /// As the tables print it, like "S-2" and "II".
    pub fn name(self) -> &'static str {
        ["S-1", "S-2", "S-3", "S-4", "I", "II", "III"][self as usize]
    }
}

/// How strict inspection is at present.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    Normal,
    Tightened,
    Reduced,
}

impl Severity {
    pub const ALL: [Self; 3] = [Self::Normal, Self::Tightened, Self::Reduced];

    pub fn name(self) -> &'static str {
        match self {
            Severity::Normal => "normal",
            Severity::Tightened => "tightened",
            Severity::Reduced => "reduced",
        }
    }
}

/// The letter that stands for a sample size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CodeLetter {
    A,
    B,
    C,
    D,
    E,
    F,
    G,
    H,
    J,
    K,
    L,
    M,
    N,
    P,
    Q,
    R,
}

impl CodeLetter {
    pub const ALL: [Self; 16] = [
        Self::A,
        Self::B,
        Self::C,
        Self::D,
        Self::E,
        Self::F,
        Self::G,
        Self::H,
        Self::J,
        Self::K,
        Self::L,
        Self::M,
        Self::N,
        Self::P,
        Self::Q,
        Self::R,
    ];
}

/// A single sampling plan: examine `sample` items; accept the lot with up to `accept` bad ones,
/// reject it from `reject` on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    sample: u64,
    accept: u64,
    reject: u64,
}

/// What follows from the bad items found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decision {
    Accept,
    /// Between the two numbers of a reduced plan: this lot is accepted, and the next is
    /// inspected normally again.
    AcceptThenNormal,
    Reject,
}

impl Plan {
    /// A plan outside the tables, without a gap between the two numbers.
    ///
    /// # Errors
    /// `Zero` for an empty sample.
    pub fn new(sample: u64, accept: u64) -> Result<Self, QualityError> {
        if sample == 0 {
            return Err(QualityError::Zero {
                field: "sample size",
            });
        }
        Ok(Self {
            sample,
            accept,
            reject: accept + 1,
        })
    }

    /// Items to examine. Where that is the whole lot or more, examine every item.
    pub fn sample(self) -> u64 {
        self.sample
    }

    /// The greatest number of bad items that still accepts the lot.
    pub fn accept(self) -> u64 {
        self.accept
    }

    /// The least number of bad items that rejects the lot.
    pub fn reject(self) -> u64 {
        self.reject
    }

    /// Judges the lot by the number of bad items (or of faults, where faults are counted).
    pub fn decide(self, bad: u64) -> Decision {
        if bad <= self.accept {
            Decision::Accept
        } else if bad < self.reject {
            Decision::AcceptThenNormal
        } else {
            Decision::Reject
        }
    }
}
