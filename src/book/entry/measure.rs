//! What was measured on single notes, and what it should be.

use serde::{Deserialize, Serialize};

use crate::inspect::{Quantity, Reading, Tolerance};
use crate::sheet::{LotId, PressId, ProductId, SiteId};

/// What a quantity of a product should be, from now on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasureTarget {
    pub product: ProductId,
    pub quantity: Quantity,
    pub tolerance: Tolerance,
}

/// A sample of notes was measured, one reading a note.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasureTaken {
    pub product: ProductId,
    pub quantity: Quantity,
    /// In the order in which they were read.
    pub readings: Vec<Reading>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<LotId>,
    /// The press that printed the notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub press: Option<PressId>,
    /// The works that printed them, when it is another one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<SiteId>,
    /// The entry whose sample is replaced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}
