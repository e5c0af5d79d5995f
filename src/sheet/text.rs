//! Serde for types that are written as one text. A book has tens of them in each line, so they are
//! read where they stand, without a copy made first.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::de::{Deserializer, Error, Visitor};

/// Reads a type from its text.
///
/// # Errors
/// What its `FromStr` says of the text.
pub(crate) fn read_text<'de, D, T>(from: D) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    T: FromStr<Err: fmt::Display>,
{
    from.deserialize_str(Parsed(PhantomData))
}

struct Parsed<T>(PhantomData<T>);

impl<T: FromStr<Err: fmt::Display>> Visitor<'_> for Parsed<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a string")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}

/// Reads a type by its `FromStr` and writes it by its `Display`.
macro_rules! serde_as_text {
    ($name:ty) => {
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::sheet::read_text(from)
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.collect_str(self)
            }
        }
    };
}
pub(crate) use serde_as_text;

/// Bytes as lower-case hexadecimal digits.
pub(crate) struct Hex<'a>(pub &'a [u8]);

impl fmt::Display for Hex<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const DIGITS: &[u8; 16] = b"0123456789abcdef";
        let mut digits = [0; 128];
        for part in self.0.chunks(digits.len() / 2) {
            for (pair, byte) in digits.chunks_exact_mut(2).zip(part) {
                pair[0] = DIGITS[usize::from(byte >> 4)];
                pair[1] = DIGITS[usize::from(byte & 15)];
            }
            let written = std::str::from_utf8(&digits[..2 * part.len()]);
            f.write_str(written.expect("digits are ASCII"))?;
        }
        Ok(())
    }
}

/// Reads lower-case hexadecimal digits into exactly as many bytes as they are for.
pub(crate) fn read_hex(text: &str, bytes: &mut [u8]) -> Option<()> {
    let digit = |c: u8| match c {
        b'0'..=b'9' => Some(c - b'0'),
        b'a'..=b'f' => Some(c - b'a' + 10),
        _ => None,
    };
    if text.len() != 2 * bytes.len() {
        return None;
    }
    for (byte, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
        *byte = digit(pair[0])? << 4 | digit(pair[1])?;
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hexadecimal_digits_are_those_of_the_standard_library() {
        let all: Vec<u8> = (0..=255).collect();
        let expected: String = all.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(Hex(&all).to_string(), expected);
        let mut read = vec![0; 256];
        assert_eq!(read_hex(&expected, &mut read), Some(()));
        assert_eq!(read, all);
        assert_eq!(Hex(&[]).to_string(), "");
    }

    #[test]
    fn other_digits_and_lengths_are_refused() {
        let read = |text| {
            let mut bytes = [7; 2];
            read_hex(text, &mut bytes).map(|()| bytes)
        };
        assert_eq!(read("00ff"), Some([0, 255]));
        for wrong in ["", "00f", "00fff", "00FF", "0x00", "00 f", "0é1"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
