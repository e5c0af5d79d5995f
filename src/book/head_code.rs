//! The short code of a head: what a person writes down, reads out and types again.
//!
//! # The form
//!
//! `1204-K3F-792-QX0-ABC-DEF-GHJ-KM4`: the number of entries in figures, without leading zeros;
//! then 20 characters, the first 100 bits of the head, most significant first, five bits each;
//! then one check character. The characters are those of Crockford's base 32 (Douglas Crockford,
//! "Base 32": `0` to `9` and `A` to `Z` without `I`, `L`, `O`, `U`, worth 0 to 31 in this order).
//! Read: small letters are capitals, `O` is `0`, `I` and `L` are `1`, and hyphens, dots and white
//! space say nothing.
//!
//! The check is our own, since Crockford's may be a sign that is hard to write. Characters are
//! elements of the field of 32 elements (polynomials over {0, 1} modulo x⁵ + x² + 1, the bit
//! worth 2ⁱ standing for xⁱ). Starting from 0, multiply by x and add the next character, figures
//! of the count included, one after the other: after the check character the sum is 0. So any one
//! wrong character is found, and any two that have changed places.
//!
//! To find other lines with the same 100 bits takes some 2¹⁰⁰ trials. Whoever may write both of
//! two lines needs 2⁵⁰ to make a pair that agree, so the QR code and the file carry the whole hash.

use std::fmt::{self, Write};
use std::str::FromStr;

use super::hash::Hash;

/// Crockford's characters, each at the place of its value.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Characters that stand for the head.
const OF_HEAD: usize = 20;
/// Characters in a group behind the count.
const GROUP: usize = 3;
/// Most figures of a count: a million million entries.
const FIGURES_MAX: usize = 12;

/// A head by its first 100 bits, and the number of entries it stands behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeadCode {
    entries: u64,
    /// The first 100 bits of the head.
    start: u128,
}

/// Why a text is not the code of a head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum HeadCodeError {
    #[error(
        "\"{0}\" does not stand in the code of a head. It has the figures 0-9 and the letters A-Z without U."
    )]
    Character(char),
    #[error(
        "A code has the number of entries and 21 characters behind it; this one has {0} in all. Compare it with the paper, group by group."
    )]
    Length(usize),
    #[error(
        "The check character does not fit: a character is wrong, or two have changed places. Compare the code with the paper, group by group."
    )]
    Check,
    #[error(
        "The code does not begin with the number of entries. Give all of it, from its first figure."
    )]
    Count,
}

impl HeadCode {
    /// The code of a head that stands behind so many entries.
    pub fn new(entries: u64, head: &Hash) -> Self {
        Self {
            entries,
            start: start_of(head),
        }
    }

    /// Number of entries of the book that had this head.
    pub fn entries(&self) -> u64 {
        self.entries
    }

    /// Whether the head begins as the code says.
    pub fn fits(&self, head: &Hash) -> bool {
        start_of(head) == self.start
    }

    /// The values of all characters but the check.
    fn values(&self) -> Vec<u8> {
        let figures = self.entries.to_string().into_bytes();
        let figures = figures.into_iter().map(|figure| figure - b'0');
        let of_head = (0..OF_HEAD).rev();
        let of_head = of_head.map(|place| (self.start >> (5 * place)) as u8 & 31);
        figures.chain(of_head).collect()
    }
}

fn start_of(head: &Hash) -> u128 {
    let mut first = [0; 16];
    first.copy_from_slice(&head.bytes()[..16]);
    u128::from_be_bytes(first) >> (128 - 5 * OF_HEAD)
}

/// Multiplies by x in the field of 32 elements.
fn times_x(value: u8) -> u8 {
    let doubled = value << 1;
    if doubled & 32 == 0 {
        doubled
    } else {
        doubled ^ 0b100101
    }
}

/// The sum over characters: nothing is left over a whole code.
fn sum(values: &[u8]) -> u8 {
    values.iter().fold(0, |sum, value| times_x(sum) ^ value)
}

impl fmt::Display for HeadCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let values = self.values();
        let check = times_x(sum(&values));
        write!(f, "{}", self.entries)?;
        let behind = &values[values.len() - OF_HEAD..];
        for (place, value) in behind.iter().chain([&check]).enumerate() {
            if place % GROUP == 0 {
                f.write_char('-')?;
            }
            f.write_char(char::from(ALPHABET[usize::from(*value)]))?;
        }
        Ok(())
    }
}

/// What a typed character is worth; nothing for one that says nothing.
fn value(typed: char) -> Result<Option<u8>, HeadCodeError> {
    let meant = match typed.to_ascii_uppercase() {
        '-' | '–' | '.' => return Ok(None),
        white if white.is_whitespace() => return Ok(None),
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    };
    let place = ALPHABET
        .iter()
        .position(|known| char::from(*known) == meant);
    place
        .map(|place| Some(place as u8))
        .ok_or(HeadCodeError::Character(typed))
}

impl FromStr for HeadCode {
    type Err = HeadCodeError;

    fn from_str(text: &str) -> Result<Self, HeadCodeError> {
        let values = text.chars().filter_map(|typed| value(typed).transpose());
        let values: Vec<u8> = values.collect::<Result<_, _>>()?;
        let figures = values.len().checked_sub(OF_HEAD + 1);
        let figures = figures.filter(|figures| (1..=FIGURES_MAX).contains(figures));
        let (count, behind) = values.split_at(figures.ok_or(HeadCodeError::Length(values.len()))?);
        if sum(&values) != 0 {
            return Err(HeadCodeError::Check);
        }
        if count[0] == 0 || count.iter().any(|figure| *figure > 9) {
            return Err(HeadCodeError::Count);
        }
        let number = |count: u64, figure: &u8| 10 * count + u64::from(*figure);
        let bits = |start: u128, value: &u8| start << 5 | u128::from(*value);
        Ok(Self {
            entries: count.iter().fold(0, number),
            start: behind[..OF_HEAD].iter().fold(0, bits),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hash(text: &str) -> Hash {
        text.parse().expect("a hash")
    }

    /// The bits 00000 00001 00010 … of each character's value in turn, then zeros: worked by hand.
    #[test]
    fn the_head_is_written_five_bits_a_character() {
        let counting = hash("00443214c74254b635cf84653a56d7c675be77df000000000000000000000000");
        let code = HeadCode::new(1204, &counting).to_string();
        assert_eq!(&code[..code.len() - 1], "1204-012-345-678-9AB-CDE-FGH-JK");
        let high = HeadCode::new(7, &hash(&"f".repeat(64))).to_string();
        assert_eq!(&high[..high.len() - 1], "7-ZZZ-ZZZ-ZZZ-ZZZ-ZZZ-ZZZ-ZZ");
    }

    /// The count 1 and a head of zeros: x is multiplied 21 times. x⁵ = x² + 1, so x¹⁰ = x⁴ + 1,
    /// x²⁰ = x⁸ + 1 = x⁵ + x³ + 1 = x³ + x², and x²¹ = x⁴ + x³, worth 24: R. By hand.
    #[test]
    fn the_check_character_is_the_sum_in_the_field() {
        let code = HeadCode::new(1, &hash(&"0".repeat(64)));
        assert_eq!(code.to_string(), "1-000-000-000-000-000-000-00R");
    }

    #[test]
    fn it_is_read_as_people_type_it() {
        let code = HeadCode::new(1203, &hash(&"01".repeat(32)));
        let written = code.to_string();
        assert_eq!(written.parse(), Ok(code));
        let sloppy = written.to_lowercase().replace('0', "o").replace('1', "l");
        assert_eq!(sloppy.replace('-', " ").parse(), Ok(code));
        assert_eq!(written.replace('1', "I").replace('-', "").parse(), Ok(code));
    }

    #[test]
    fn what_is_not_a_code_is_told_why() {
        let read = |text: &str| text.parse::<HeadCode>().unwrap_err();
        assert_eq!(read(""), HeadCodeError::Length(0));
        assert_eq!(read("1-000-000"), HeadCodeError::Length(7));
        assert_eq!(read(&"1".repeat(34)), HeadCodeError::Length(34));
        assert_eq!(read("1-00U"), HeadCodeError::Character('U'));
        assert_eq!(read("1-000-000-000-000-000-000-00Q"), HeadCodeError::Check);
        assert_eq!(read("0-000-000-000-000-000-000-000"), HeadCodeError::Count);
    }
}
