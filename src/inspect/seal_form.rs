//! What a seal number of the works looks like: a simple pattern.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// The longest seal number there can be.
const MAX: usize = 24;

/// A pattern of 1 to 24 signs: `#` is a digit, `A` a capital letter, every other sign stands for
/// itself. "CB-####" takes "CB-0412". Serde as a string.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct SealForm(String);

/// Why a text is not a pattern.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SealFormError {
    #[error(
        "The form of seal numbers is empty. Write # for a digit and A for a letter, like AA######."
    )]
    Empty,
    #[error("The form of seal numbers has {0} signs. A seal number has at most 24.")]
    TooLong(usize),
    #[error(
        "The form of seal numbers contains \"{0}\". Use # for a digit, A for a letter, and letters, digits, dots, underscores or hyphens for themselves."
    )]
    Sign(char),
    #[error("The form of seal numbers starts with \"{0}\". Start it with #, a letter or a digit.")]
    Start(char),
    #[error(
        "The form of seal numbers has neither # nor A, so there would be one seal number only. Put in # for each digit that counts up."
    )]
    NothingFree,
}

impl SealForm {
    pub fn accepts(&self, seal: &str) -> bool {
        let same_length = seal.chars().count() == self.0.chars().count();
        same_length
            && self
                .0
                .chars()
                .zip(seal.chars())
                .all(|(sign, c)| fits(sign, c))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn fits(sign: char, c: char) -> bool {
    match sign {
        '#' => c.is_ascii_digit(),
        'A' => c.is_ascii_uppercase(),
        own => c == own,
    }
}

impl FromStr for SealForm {
    type Err = SealFormError;

    fn from_str(text: &str) -> Result<Self, SealFormError> {
        let text = text.trim();
        let first = text.chars().next().ok_or(SealFormError::Empty)?;
        let length = text.chars().count();
        if length > MAX {
            return Err(SealFormError::TooLong(length));
        }
        let allowed = |c: char| c.is_ascii_alphanumeric() || "#._-".contains(c);
        if let Some(sign) = text.chars().find(|c| !allowed(*c)) {
            return Err(SealFormError::Sign(sign));
        }
        if "._-".contains(first) {
            return Err(SealFormError::Start(first));
        }
        if !text.contains(['#', 'A']) {
            return Err(SealFormError::NothingFree);
        }
        Ok(Self(text.to_owned()))
    }
}

impl TryFrom<String> for SealForm {
    type Error = SealFormError;

    fn try_from(text: String) -> Result<Self, SealFormError> {
        text.parse()
    }
}

impl From<SealForm> for String {
    fn from(form: SealForm) -> String {
        form.0
    }
}

impl fmt::Display for SealForm {
    /// In words: `"CB-", then 4 digits`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let signs: Vec<char> = self.0.chars().collect();
        let kind = |sign: &char| match sign {
            '#' => 0,
            'A' => 1,
            _ => 2,
        };
        let runs = signs.chunk_by(|a, b| kind(a) == kind(b));
        for (index, run) in runs.enumerate() {
            let then = if index == 0 { "" } else { ", then " };
            match (run[0], run.len()) {
                ('#', 1) => write!(f, "{then}1 digit")?,
                ('#', many) => write!(f, "{then}{many} digits")?,
                ('A', 1) => write!(f, "{then}1 capital letter")?,
                ('A', many) => write!(f, "{then}{many} capital letters")?,
                _ => write!(f, "{then}\"{}\"", String::from_iter(run))?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(text: &str) -> SealForm {
        text.parse().expect("a pattern")
    }

    #[test]
    fn signs_stand_for_digits_letters_and_themselves() {
        let cases = [
            ("CB-####", "CB-0412", true),
            ("CB-####", "CB-412", false),
            ("CB-####", "CB-04127", false),
            ("CB-####", "cb-0412", false),
            ("AA######", "XK000001", true),
            ("AA######", "X1000001", false),
            ("A#", "é1", false),
            ("#", "٣", false),
        ];
        for (pattern, seal, taken) in cases {
            assert_eq!(form(pattern).accepts(seal), taken, "{pattern} {seal}");
        }
    }

    #[test]
    fn a_form_is_said_in_words() {
        let said = [
            ("CB-####", "\"CB-\", then 4 digits"),
            ("AA######", "2 capital letters, then 6 digits"),
            ("#x.A", "1 digit, then \"x.\", then 1 capital letter"),
        ];
        for (pattern, words) in said {
            assert_eq!(form(pattern).to_string(), words);
        }
    }

    #[test]
    fn a_wrong_form_is_refused_with_what_to_do() {
        let why = |text: &str| text.parse::<SealForm>().unwrap_err();
        assert_eq!(why("  "), SealFormError::Empty);
        assert_eq!(why(&"#".repeat(25)), SealFormError::TooLong(25));
        assert_eq!(why("S ##"), SealFormError::Sign(' '));
        assert_eq!(why("-##"), SealFormError::Start('-'));
        assert_eq!(why("SEL-1"), SealFormError::NothingFree);
        assert!(form("S-1#").accepts("S-17"));
        assert!(serde_json::from_str::<SealForm>("\"S ##\"").is_err());
    }
}
