//! `head`: whether a book contains a head that was kept elsewhere, and at which line.

use std::fmt;
use std::str::FromStr;

use cullbook::book::{KeptHead, Line};
use cullbook::export::read_head;
use cullbook::people::{PersonId, Stamp};

use super::AuditError;
use super::reading::{Reading, Source};

/// Fewest digits of a head that are taken without the rest.
const DIGITS_MIN: usize = 12;

/// A head as it was kept: its short code, its text from a file or a scan, or its first digits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sought {
    Kept { text: String, head: KeptHead },
    Digits(String),
}

/// Why a text is not a head.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is not a head. Give its short code, its 64 digits 0-9 and a-f, or at least the first {DIGITS_MIN}, as \"1a2b 3c4d 5e6f\"."
)]
pub struct SoughtError(String);

impl FromStr for Sought {
    type Err = SoughtError;

    fn from_str(text: &str) -> Result<Self, SoughtError> {
        let shown = || text.chars().take(80).collect();
        if let Ok(head) = read_head(text) {
            let text = shown();
            return Ok(Self::Kept { text, head });
        }
        let digits: String = text.split_whitespace().collect();
        let fits = (DIGITS_MIN..64).contains(&digits.len());
        let hex = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
        match fits && digits.chars().all(hex) {
            true => Ok(Self::Digits(digits)),
            false => Err(SoughtError(shown())),
        }
    }
}

impl Sought {
    /// Whether it is the head after this line.
    fn is(&self, line: &Line) -> bool {
        match self {
            Sought::Kept { head, .. } => head.is_after(line),
            Sought::Digits(digits) => line.hash.to_string().starts_with(digits),
        }
    }
}

impl fmt::Display for Sought {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Sought::Kept { text, .. } => f.write_str(text),
            Sought::Digits(digits) => f.write_str(digits),
        }
    }
}

/// Where a head was found.
struct Found {
    seq: u64,
    kind: &'static str,
    by: PersonId,
    at: Stamp,
}

/// Verifies the whole book and looks for the head on the way.
pub fn find(reading: &Reading, book: &Source, sought: &Sought) -> Result<String, AuditError> {
    let mut found: Option<Found> = None;
    let read = reading.verified(book, |line: &Line| {
        if sought.is(line) {
            let header = &line.header;
            found.get_or_insert_with(|| Found {
                seq: header.seq,
                kind: line.entry.kind(),
                by: header.by,
                at: header.at.clone(),
            });
        }
    })?;
    let lines = read.len();
    let Some(Found { seq, kind, by, at }) = found else {
        return Err(AuditError::NoSuchHead {
            book: book.clone(),
            lines,
            sought: sought.clone(),
        });
    };
    Ok(format!(
        "{book}: contains this head. It is that of line {seq}, {kind} by {by} at {at}; {} lines follow it.\n",
        lines - seq - 1
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_is_typed_as_it_is_printed() {
        let digits = Sought::Digits("1a2b3c4d5e6f".to_owned());
        assert_eq!("1a2b 3c4d 5e6f".parse(), Ok(digits));
        let all = "0".repeat(64);
        assert!(matches!(all.parse(), Ok(Sought::Kept { .. })));
        for wrong in ["", "1a2b 3c4d 5e6", "1A2B 3C4D 5E6F", &"0".repeat(65)] {
            let why = wrong.parse::<Sought>().unwrap_err();
            assert!(why.to_string().contains(wrong), "{why}");
        }
    }
}
