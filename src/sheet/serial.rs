use std::fmt;
use std::hash::Hash;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{ShortText, read_text};

/// What a serial stands on: [`Printed`] or [`Replacement`].
pub trait Kind: Copy + Ord + Hash + fmt::Debug {}

/// Marks the serials of notes printed in a lot.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Printed {}

/// Marks the serials of replacement notes.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Replacement {}

impl Kind for Printed {}
impl Kind for Replacement {}

/// The serial of a note as printed, without spaces: at most 15 letters and digits (common
/// practice, no source), or the star that some issuers print on replacement notes.
///
/// A `Serial<Printed>` is never taken for a `Serial<Replacement>`. Within one format the order of
/// serials is the order of their numbers. One read back from a file is only known to look like a
/// serial: [`Numbering::locate_text`](super::Numbering::locate_text) and
/// [`Series::find`](super::Series::find) prove that it belongs. `Copy`, 16 bytes, no heap.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Serial<K: Kind> {
    text: ShortText<15>,
    kind: PhantomData<K>,
}

/// A text that cannot be any serial.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a serial. A serial is 1 to 15 capital letters and digits, without spaces.")]
pub struct SerialTextError(pub String);

impl<K: Kind> Serial<K> {
    pub fn as_str(&self) -> &str {
        self.text.as_str()
    }

    pub(super) fn from_text(text: ShortText<15>) -> Self {
        Self {
            text,
            kind: PhantomData,
        }
    }
}

/// Whether a character may stand in a serial.
pub(super) fn is_serial_byte(byte: u8) -> bool {
    byte.is_ascii_uppercase() || byte.is_ascii_digit() || byte == b'*'
}

impl<K: Kind> FromStr for Serial<K> {
    type Err = SerialTextError;

    fn from_str(text: &str) -> Result<Self, SerialTextError> {
        let bytes = text.as_bytes();
        let looks_right = !bytes.is_empty() && bytes.iter().all(|&b| is_serial_byte(b));
        looks_right
            .then(|| ShortText::new(bytes))
            .flatten()
            .map(Self::from_text)
            .ok_or_else(|| SerialTextError(text.to_owned()))
    }
}

impl<K: Kind> fmt::Display for Serial<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.text.fmt(f)
    }
}

impl<K: Kind> fmt::Debug for Serial<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Serial({})", self.text)
    }
}

impl<K: Kind> Serialize for Serial<K> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de, K: Kind> Deserialize<'de> for Serial<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        read_text(deserializer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn serde_is_the_text() {
        let serial: Serial<Printed> = serde_json::from_str("\"KA0123456\"").unwrap();
        assert_eq!(serde_json::to_string(&serial).unwrap(), "\"KA0123456\"");
        assert_eq!(std::mem::size_of_val(&serial), 16);
    }

    #[test]
    fn refuses_what_no_serial_is() {
        for bad in ["", "KA 12", "ka12", "KA-12", "KÄ12", "ABCDEFGHIJ123456"] {
            let error = bad.parse::<Serial<Replacement>>().unwrap_err();
            assert_eq!(error, SerialTextError(bad.to_owned()));
        }
    }
}
