//! How counted things are written.

use crate::sheet::grouped;

/// A count with thin groups of three: "10 000".
pub fn count(number: impl Into<u64>) -> String {
    grouped(number.into())
}

/// A share as per cent with two decimals; a dash when there is nothing to divide by.
pub fn percent(share: Option<f64>) -> String {
    share.map_or_else(|| "–".to_owned(), |share| format!("{:.2} %", share * 100.0))
}
