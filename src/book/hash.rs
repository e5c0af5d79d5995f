//! The hash that chains the lines.

use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};

use crate::sheet::{Hex, read_hex, serde_as_text};

/// Said before the bytes of a line, so that a line's hash is never the hash of anything else.
const DOMAIN: &[u8] = b"cullbook line v2\n";

/// SHA-256 of one line of a book.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

/// Why a text is not a hash.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a hash. It has 64 digits 0-9 and a-f.")]
pub struct HashError(String);

impl Hash {
    /// What the first line of a book names as the line before it.
    pub const NONE: Hash = Hash([0; 32]);

    /// Hash of one line's exact bytes, without line end.
    pub fn of_line(bytes: &[u8]) -> Self {
        let digest = Sha256::new()
            .chain_update(DOMAIN)
            .chain_update(bytes)
            .finalize();
        Self(digest.into())
    }

    /// SHA-256 of a whole file, in the same notation.
    pub fn of_file(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The 32 bytes.
    pub fn bytes(&self) -> [u8; 32] {
        self.0
    }

    /// The first 12 digits in groups of 4: enough to read aloud and compare.
    pub fn short(&self) -> String {
        let text = self.to_string();
        format!("{} {} {}", &text[0..4], &text[4..8], &text[8..12])
    }
}

impl FromStr for Hash {
    type Err = HashError;

    fn from_str(text: &str) -> Result<Self, HashError> {
        let mut bytes = [0; 32];
        let read = read_hex(text, &mut bytes).map(|()| Self(bytes));
        read.ok_or_else(|| HashError(text.chars().take(80).collect()))
    }
}

serde_as_text!(Hash);

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Hex(&self.0).fmt(f)
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
