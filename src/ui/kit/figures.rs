//! How counted things are written.

use crate::sheet::grouped;

/// A count with thin groups of three: "10 000".
pub fn count(number: impl Into<u64>) -> String {
    grouped(number.into()).replace(' ', "\u{a0}")
}

/// How many of a thing: "1 sheet", "6 400 sheets", the figure in one piece.
pub fn number_of(number: impl Into<u64>, one: &str, many: &str) -> String {
    let number = number.into();
    format!("{} {}", count(number), if number == 1 { one } else { many })
}

/// A share as per cent with two decimals; a dash when there is nothing to divide by.
pub fn percent(share: Option<f64>) -> String {
    share.map_or_else(|| "–".to_owned(), |share| format!("{:.2} %", share * 100.0))
}

/// A text in which no per cent sign is parted from its figure at the end of a line.
pub fn unbroken(text: &str) -> String {
    text.replace(" %", "\u{a0}%")
}
