//! Acceptance sampling: is a lot of passed sheets as good as it is said to be?
//!
//! Single sampling plans by lot size, inspection level and acceptance quality limit (AQL).
//! Source: MIL-STD-105E tables I, II-A, II-B and II-C; the normal and tightened tables are those
//! of ISO 2859-1 as well, its reduced table of 1999 is another. Switching between normal,
//! tightened and reduced inspection is left to the supervisor.

mod draw;
mod missing;
mod oc;
mod tables;

pub use draw::draw;
pub use missing::{overlooked, sample_for};
pub use oc::{Model, average_outgoing, quality_at};
pub use tables::{Aql, code_letter, single_plan};

use super::QualityError;

/// How much is examined for a lot of a given size: II unless there is reason for another; the
/// special levels S take small samples.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    S1,
    S2,
    S3,
    S4,
    I,
    II,
    III,
}

/// How strict inspection is at present.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    Normal,
    Tightened,
    Reduced,
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
