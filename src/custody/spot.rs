//! Where in the works a container stands, in a few words.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

const MAX: usize = 40;

/// A place like "cage, shelf 3": 1 to 40 characters, without control characters; serde as a
/// string.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct CagePlace(String);

/// Why a text is not a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CagePlaceError {
    #[error("The place is empty. Say where the container stands, like \"cage, shelf 3\".")]
    Empty,
    #[error("The place has {0} characters. Shorten it to 40 or fewer.")]
    TooLong(usize),
    #[error("The place contains a line break or another control character. Write it in one line.")]
    Control,
}

impl FromStr for CagePlace {
    type Err = CagePlaceError;

    /// Spaces at both ends are left out.
    fn from_str(text: &str) -> Result<Self, CagePlaceError> {
        let text = text.trim();
        match text.chars().count() {
            0 => Err(CagePlaceError::Empty),
            length if length > MAX => Err(CagePlaceError::TooLong(length)),
            _ if text.chars().any(char::is_control) => Err(CagePlaceError::Control),
            _ => Ok(Self(text.to_owned())),
        }
    }
}

impl TryFrom<String> for CagePlace {
    type Error = CagePlaceError;

    fn try_from(text: String) -> Result<Self, CagePlaceError> {
        text.parse()
    }
}

impl From<CagePlace> for String {
    fn from(place: CagePlace) -> String {
        place.0
    }
}

impl fmt::Display for CagePlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_short_and_in_one_line() {
        let read = |text: &str| text.parse::<CagePlace>();
        assert_eq!(
            read(" cage, shelf 3 ").unwrap().to_string(),
            "cage, shelf 3"
        );
        assert_eq!(read("  "), Err(CagePlaceError::Empty));
        assert_eq!(read(&"é".repeat(41)), Err(CagePlaceError::TooLong(41)));
        assert!(read(&"é".repeat(40)).is_ok());
        assert_eq!(read("shelf\n3"), Err(CagePlaceError::Control));
    }
}
