use serde::{Deserialize, Serialize};

use super::serial::is_serial_byte;
use super::{CheckError, CheckSystem, Kind, Serial, ShortText, grouped};

/// Where the check character stands.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckPlace {
    /// Last of all, after the suffix.
    #[default]
    End,
    /// Between number and suffix.
    AfterNumber,
}

/// What the check character guards.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckOver {
    /// Prefix, number and suffix, read in this order.
    #[default]
    Whole,
    /// The number alone, for systems that cannot read the letters of the prefix.
    Number,
}

/// A serial format as it is written down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SerialFormatSpec {
    /// Capital letters, digits, star; may be empty.
    #[serde(default)]
    pub prefix: String,
    /// Digits of the number, 1..=12, filled with zeros on the left.
    pub width: u8,
    #[serde(default)]
    pub suffix: String,
    #[serde(default)]
    pub check: CheckSystem,
    #[serde(default)]
    pub check_place: CheckPlace,
    #[serde(default)]
    pub check_over: CheckOver,
    /// Sizes of the groups in which it is shown, from the left; empty: in one piece.
    #[serde(default)]
    pub grouping: Vec<u8>,
}

/// Why no serial can be written so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormatError {
    #[error("The number has {0} digits. Give a width of 1 to 12.")]
    Width(u8),
    #[error(
        "The {part} \"{text}\" contains \"{found}\". Use capital letters, digits and the star only."
    )]
    Character {
        part: &'static str,
        text: String,
        found: char,
    },
    #[error(
        "The serial would have {0} characters with its check character; at most 15 are allowed. Shorten prefix, number or suffix."
    )]
    TooLong(usize),
    #[error("{0} Choose another check system: every serial has digits.")]
    CheckOfNumber(CheckError),
    #[error("{0} Choose another check system, or let it guard the number alone.")]
    CheckOfWhole(CheckError),
    #[error(
        "The display groups add up to {groups} characters, but the serial has {length}. Make them add up, each at least 1, or leave them out."
    )]
    Grouping { groups: usize, length: usize },
}

/// Why a text is not a serial of this format, or a number cannot be written in it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SerialError {
    #[error("Number {} needs more than the {width} digits of this serial format.", grouped(*.number))]
    TooLarge { number: u64, width: u8 },
    #[error("\"{found}\" cannot stand in a serial. Use letters and digits.")]
    Character { found: char },
    #[error(
        "This serial has {found} characters, but serials of this format have {expected}. Look for a missing or doubled character."
    )]
    Length { found: usize, expected: usize },
    #[error(
        "This serial starts with \"{found}\", but serials of this format start with \"{expected}\"."
    )]
    Prefix { found: String, expected: String },
    #[error("Character {place} is \"{found}\", where a digit belongs.")]
    NotADigit { place: usize, found: char },
    #[error(
        "This serial has the suffix \"{found}\", but serials of this format have \"{expected}\"."
    )]
    Suffix { found: String, expected: String },
    #[error(
        "The check character \"{found}\" does not fit this serial. One character is wrong or two are swapped: read it again from the note."
    )]
    Check { found: String },
}

/// How a serial is written: prefix, zero-padded number, suffix, and a check character. Checked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "SerialFormatSpec", into = "SerialFormatSpec")]
pub struct SerialFormat {
    spec: SerialFormatSpec,
}

impl SerialFormat {
    /// The longest serial, in characters (common practice, no source).
    pub const MAX_LENGTH: usize = 15;

    pub fn new(spec: SerialFormatSpec) -> Result<Self, FormatError> {
        if !(1..=12).contains(&spec.width) {
            return Err(FormatError::Width(spec.width));
        }
        for (part, text) in [("prefix", &spec.prefix), ("suffix", &spec.suffix)] {
            let strange = |c: &char| !u8::try_from(*c).is_ok_and(is_serial_byte);
            if let Some(found) = text.chars().find(strange) {
                return Err(FormatError::Character {
                    part,
                    text: text.clone(),
                    found,
                });
            }
        }
        let format = Self { spec };
        let length = format.length();
        if length > Self::MAX_LENGTH {
            return Err(FormatError::TooLong(length));
        }
        let groups = format.spec.grouping.iter().map(|&g| usize::from(g)).sum();
        let grouping = &format.spec.grouping;
        if !grouping.is_empty() && (groups != length || grouping.contains(&0)) {
            return Err(FormatError::Grouping { groups, length });
        }
        // Readable for one number is readable for all: only the digits change.
        let zeros = &[b'0'; 12][..format.width()];
        let system = format.spec.check;
        system.compute(zeros).map_err(FormatError::CheckOfNumber)?;
        format.check_of(zeros).map_err(FormatError::CheckOfWhole)?;
        Ok(format)
    }

    pub fn spec(&self) -> &SerialFormatSpec {
        &self.spec
    }

    /// Characters of every serial of this format, 1..=15.
    pub fn length(&self) -> usize {
        let spec = &self.spec;
        spec.prefix.len() + usize::from(spec.width) + spec.suffix.len() + spec.check.len()
    }

    /// How many numbers there are: 0 to `capacity() - 1`.
    pub fn capacity(&self) -> u64 {
        10u64.pow(self.spec.width.into())
    }

    /// The canonical text of a number, without spaces.
    pub fn text(&self, number: u64) -> Result<String, SerialError> {
        self.write(number).map(|text| text.as_str().to_owned())
    }

    /// The text of a number in the format's display groups: `KA 0123 456`.
    pub fn display(&self, number: u64) -> Result<String, SerialError> {
        self.write(number).map(|text| self.group(text.as_str()))
    }

    /// A serial's text in the format's display groups; a text of another length in one piece.
    pub fn in_groups(&self, serial: &str) -> String {
        match serial.len() == self.length() {
            true => self.group(serial),
            false => serial.to_owned(),
        }
    }

    /// The number of a serial. Spaces, dots, hyphens and small letters are forgiven; nothing else.
    pub fn parse(&self, text: &str) -> Result<u64, SerialError> {
        let clean = clean(text)?;
        if clean.len() != self.length() {
            return Err(SerialError::Length {
                found: clean.len(),
                expected: self.length(),
            });
        }
        self.parse_clean(clean.as_bytes())
    }

    /// A text of exactly this format's length, in capitals and without spaces.
    pub(super) fn parse_clean(&self, text: &[u8]) -> Result<u64, SerialError> {
        let spec = &self.spec;
        let (prefix, rest) = text.split_at(spec.prefix.len());
        let (digits, rest) = rest.split_at(self.width());
        let (suffix, check) = match spec.check_place {
            CheckPlace::End => rest.split_at(spec.suffix.len()),
            CheckPlace::AfterNumber => {
                let (check, suffix) = rest.split_at(spec.check.len());
                (suffix, check)
            }
        };
        if prefix != spec.prefix.as_bytes() {
            return Err(SerialError::Prefix {
                found: owned(prefix),
                expected: spec.prefix.clone(),
            });
        }
        if let Some(at) = digits.iter().position(|b| !b.is_ascii_digit()) {
            let place = spec.prefix.len() + at + 1;
            return Err(SerialError::NotADigit {
                place,
                found: digits[at].into(),
            });
        }
        if suffix != spec.suffix.as_bytes() {
            return Err(SerialError::Suffix {
                found: owned(suffix),
                expected: spec.suffix.clone(),
            });
        }
        match self.check_of(digits) {
            Ok(right) if right.as_bytes() == check => Ok(digits_value(digits)),
            _ => Err(SerialError::Check {
                found: owned(check),
            }),
        }
    }

    pub(super) fn serial<K: Kind>(&self, number: u64) -> Result<Serial<K>, SerialError> {
        self.write(number).map(Serial::from_text)
    }

    fn width(&self) -> usize {
        self.spec.width.into()
    }

    fn write(&self, number: u64) -> Result<ShortText<15>, SerialError> {
        let spec = &self.spec;
        if number >= self.capacity() {
            return Err(SerialError::TooLarge {
                number,
                width: spec.width,
            });
        }
        let mut digits = [b'0'; 12];
        let digits = &mut digits[..self.width()];
        let mut rest = number;
        for digit in digits.iter_mut().rev() {
            *digit = b'0' + (rest % 10) as u8;
            rest /= 10;
        }
        let check = self
            .check_of(digits)
            .expect("`new` tried the check system on this format");
        let (prefix, suffix) = (spec.prefix.as_bytes(), spec.suffix.as_bytes());
        Ok(match spec.check_place {
            CheckPlace::End => join([prefix, digits, suffix, check.as_bytes()]),
            CheckPlace::AfterNumber => join([prefix, digits, check.as_bytes(), suffix]),
        })
    }

    fn check_of(&self, digits: &[u8]) -> Result<ShortText<2>, CheckError> {
        let spec = &self.spec;
        match spec.check_over {
            CheckOver::Number => spec.check.compute(digits),
            CheckOver::Whole => {
                let whole = join([spec.prefix.as_bytes(), digits, spec.suffix.as_bytes()]);
                spec.check.compute(whole.as_bytes())
            }
        }
    }

    fn group(&self, text: &str) -> String {
        let mut shown = String::with_capacity(text.len() + self.spec.grouping.len());
        let mut rest = text;
        for &size in &self.spec.grouping {
            let (group, after) = rest.split_at(size.into());
            shown.push_str(group);
            if !after.is_empty() {
                shown.push(' ');
            }
            rest = after;
        }
        shown.push_str(rest);
        shown
    }
}

/// A typed or scanned text in capitals, without spaces, dots and hyphens.
pub(super) fn clean(text: &str) -> Result<String, SerialError> {
    let mut clean = String::with_capacity(text.len());
    for c in text
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '-'))
    {
        let upper = c.to_ascii_uppercase();
        if !u8::try_from(upper).is_ok_and(is_serial_byte) {
            return Err(SerialError::Character { found: c });
        }
        clean.push(upper);
    }
    Ok(clean)
}

/// The parts of a serial in one text.
fn join<const N: usize>(parts: [&[u8]; N]) -> ShortText<15> {
    let mut bytes = [0; SerialFormat::MAX_LENGTH];
    let mut length = 0;
    for part in parts {
        bytes[length..length + part.len()].copy_from_slice(part);
        length += part.len();
    }
    ShortText::new(&bytes[..length]).expect("a format holds at most 15 ASCII characters")
}

fn digits_value(digits: &[u8]) -> u64 {
    digits
        .iter()
        .fold(0, |number, digit| number * 10 + u64::from(digit - b'0'))
}

fn owned(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

impl TryFrom<SerialFormatSpec> for SerialFormat {
    type Error = FormatError;

    fn try_from(spec: SerialFormatSpec) -> Result<Self, FormatError> {
        Self::new(spec)
    }
}

impl From<SerialFormat> for SerialFormatSpec {
    fn from(format: SerialFormat) -> SerialFormatSpec {
        format.spec
    }
}

#[cfg(test)]
mod tests;
