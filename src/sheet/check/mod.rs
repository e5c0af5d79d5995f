//! Check characters of serials.

mod decimal;
mod iso7064;

use serde::{Deserialize, Serialize};

use super::ShortText;

/// A check character system. Serde by its snake case name: `"mod11_2"`, `"letter_sum9"`.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckSystem {
    /// No check character.
    #[default]
    None,
    /// ISO/IEC 7064 MOD 11-2: digits; check 0-9 or X.
    Mod11_2,
    /// ISO/IEC 7064 MOD 37-2: letters and digits; check 0-9, A-Z or *.
    Mod37_2,
    /// ISO/IEC 7064 MOD 97-10: letters and digits (A = 10 … Z = 35, as IBAN and LEI do); two check digits.
    Mod97_10,
    /// ISO/IEC 7064 MOD 11,10: digits; check digit.
    Mod11_10,
    /// ISO/IEC 7064 MOD 27,26: letters; check letter.
    Mod27_26,
    /// ISO/IEC 7064 MOD 37,36: letters and digits; check letter or digit.
    Mod37_36,
    /// ISO/IEC 7812-1 (Luhn): digits; check digit.
    Luhn,
    /// Verhoeff: digits; check digit.
    Verhoeff,
    /// Damm: digits; check digit.
    Damm,
    /// Letters as their ASCII codes, and the whole divisible by 9; check digit 1-9.
    /// It never sees swapped characters, nor 0 taken for 9.
    LetterSum9,
    /// The dihedral scheme over digits and the letters A D G K L N S U Y Z; check digit.
    DihedralLetters,
}

/// Why a check character cannot be worked out, or does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CheckError {
    #[error("There is nothing to check: the text before the check character is empty.")]
    Empty,
    #[error("Check system {system} cannot read \"{found}\" (character {place}). It reads {reads}.")]
    Unreadable {
        system: &'static str,
        found: char,
        place: usize,
        reads: &'static str,
    },
    #[error(
        "The check character does not hold. One character is wrong or two are swapped: read it again from the note."
    )]
    Mismatch,
}

type Check = ShortText<2>;

impl CheckSystem {
    /// Every system, for menus and tests.
    pub const ALL: [CheckSystem; 12] = [
        CheckSystem::None,
        CheckSystem::Mod11_2,
        CheckSystem::Mod37_2,
        CheckSystem::Mod97_10,
        CheckSystem::Mod11_10,
        CheckSystem::Mod27_26,
        CheckSystem::Mod37_36,
        CheckSystem::Luhn,
        CheckSystem::Verhoeff,
        CheckSystem::Damm,
        CheckSystem::LetterSum9,
        CheckSystem::DihedralLetters,
    ];

    /// The name people know it by.
    pub fn name(self) -> &'static str {
        match self {
            CheckSystem::None => "none",
            CheckSystem::Mod11_2 => "MOD 11-2",
            CheckSystem::Mod37_2 => "MOD 37-2",
            CheckSystem::Mod97_10 => "MOD 97-10",
            CheckSystem::Mod11_10 => "MOD 11,10",
            CheckSystem::Mod27_26 => "MOD 27,26",
            CheckSystem::Mod37_36 => "MOD 37,36",
            CheckSystem::Luhn => "Luhn",
            CheckSystem::Verhoeff => "Verhoeff",
            CheckSystem::Damm => "Damm",
            CheckSystem::LetterSum9 => "letters modulo 9",
            CheckSystem::DihedralLetters => "dihedral with letters",
        }
    }

    /// Number of check characters: 0, 1 or 2.
    pub fn len(self) -> usize {
        match self {
            CheckSystem::None => 0,
            CheckSystem::Mod97_10 => 2,
            _ => 1,
        }
    }

    /// True only for [`CheckSystem::None`].
    pub fn is_empty(self) -> bool {
        self == CheckSystem::None
    }

    /// The check characters for a text of capitals and digits; empty for [`CheckSystem::None`].
    pub fn check(self, payload: &str) -> Result<String, CheckError> {
        self.compute(payload.as_bytes())
            .map(|check| check.as_str().to_owned())
    }

    /// Whether a text that ends with its check characters holds.
    pub fn verify(self, full: &str) -> Result<(), CheckError> {
        let bytes = full.as_bytes();
        let split = bytes
            .len()
            .checked_sub(self.len())
            .ok_or(CheckError::Empty)?;
        let (payload, check) = bytes.split_at(split);
        if self.compute(payload)?.as_bytes() == check {
            Ok(())
        } else {
            Err(CheckError::Mismatch)
        }
    }

    pub(super) fn compute(self, payload: &[u8]) -> Result<Check, CheckError> {
        if self == CheckSystem::None {
            return Ok(one_or_two(&[]));
        }
        if payload.is_empty() {
            return Err(CheckError::Empty);
        }
        if let Some(at) = payload.iter().position(|&b| self.value(b).is_none()) {
            return Err(self.unreadable(payload, at));
        }
        let values = payload.iter().filter_map(|&b| self.value(b));
        Ok(match self {
            CheckSystem::None => one_or_two(&[]),
            CheckSystem::Mod11_2 => symbol(match iso7064::pure(values, 11) {
                10 => 33, // X stands for ten
                value => value,
            }),
            CheckSystem::Mod37_2 => symbol(iso7064::pure(values, 37)),
            CheckSystem::Mod97_10 => {
                let check = iso7064::mod_97_10(values);
                one_or_two(&[b'0' + check / 10, b'0' + check % 10])
            }
            CheckSystem::Mod11_10 => symbol(iso7064::hybrid(values, 10)),
            CheckSystem::Mod27_26 => symbol(iso7064::hybrid(values, 26) + 10),
            CheckSystem::Mod37_36 => symbol(iso7064::hybrid(values, 36)),
            CheckSystem::Luhn => symbol(decimal::luhn(values)),
            CheckSystem::Verhoeff => symbol(decimal::verhoeff(values)),
            CheckSystem::Damm => symbol(decimal::damm(values)),
            CheckSystem::LetterSum9 => symbol(decimal::letter_sum_9(values)),
            CheckSystem::DihedralLetters => symbol(decimal::dihedral(values)),
        })
    }

    /// What a character counts for, or `None` when the system cannot read it.
    fn value(self, byte: u8) -> Option<u8> {
        match (self, byte) {
            (CheckSystem::Mod27_26, b'A'..=b'Z') => Some(byte - b'A'),
            (CheckSystem::Mod27_26, _) => None,
            (_, b'0'..=b'9') => Some(byte - b'0'),
            (CheckSystem::Mod37_2 | CheckSystem::Mod97_10 | CheckSystem::Mod37_36, b'A'..=b'Z') => {
                Some(byte - b'A' + 10)
            }
            (CheckSystem::LetterSum9, b'A'..=b'Z') => Some(byte),
            (CheckSystem::DihedralLetters, _) => decimal::letter_digit(byte),
            _ => None,
        }
    }

    fn unreadable(self, payload: &[u8], at: usize) -> CheckError {
        // Payloads reach here as `str` bytes; a broken-off multi-byte character shows as one sign.
        let found = String::from_utf8_lossy(&payload[at..])
            .chars()
            .next()
            .unwrap_or('?');
        let reads = match self {
            CheckSystem::Mod27_26 => "the letters A to Z only",
            CheckSystem::Mod37_2
            | CheckSystem::Mod97_10
            | CheckSystem::Mod37_36
            | CheckSystem::LetterSum9 => "capital letters and digits",
            CheckSystem::DihedralLetters => "digits and the letters A D G K L N S U Y Z",
            _ => "digits only",
        };
        CheckError::Unreadable {
            system: self.name(),
            found,
            place: at + 1,
            reads,
        }
    }
}

const SYMBOLS: &[u8; 37] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

fn symbol(value: u8) -> Check {
    one_or_two(&[SYMBOLS[usize::from(value)]])
}

fn one_or_two(bytes: &[u8]) -> Check {
    ShortText::new(bytes).expect("at most two ASCII characters")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_it_cannot_read() {
        let says = |system: CheckSystem, text| system.check(text).unwrap_err().to_string();
        assert_eq!(
            says(CheckSystem::Luhn, "12A4"),
            "Check system Luhn cannot read \"A\" (character 3). It reads digits only."
        );
        assert!(says(CheckSystem::Mod27_26, "AB1").contains("the letters A to Z only"));
        assert!(says(CheckSystem::DihedralLetters, "AB1").contains("cannot read \"B\""));
        assert!(says(CheckSystem::Mod37_2, "AÉ").contains("cannot read \"É\""));
        assert!(says(CheckSystem::Damm, "").contains("empty"));
    }

    #[test]
    fn no_system_means_no_character() {
        assert_eq!(CheckSystem::None.check("anything"), Ok(String::new()));
        assert_eq!(CheckSystem::None.verify("anything"), Ok(()));
    }

    #[test]
    fn lengths_are_what_check_gives() {
        for system in CheckSystem::ALL {
            let payload = if system == CheckSystem::Mod27_26 {
                "ADGK"
            } else {
                "1234"
            };
            assert_eq!(
                system.check(payload).unwrap().len(),
                system.len(),
                "{}",
                system.name()
            );
            let full = format!("{payload}{}", system.check(payload).unwrap());
            assert_eq!(system.verify(&full), Ok(()), "{}", system.name());
        }
    }

    #[test]
    fn every_system_has_its_serde_name() {
        let names = CheckSystem::ALL.map(|s| serde_json::to_string(&s).unwrap());
        assert_eq!(names[1], "\"mod11_2\"");
        assert_eq!(names[10], "\"letter_sum9\"");
        for (system, name) in CheckSystem::ALL.into_iter().zip(names) {
            assert_eq!(serde_json::from_str::<CheckSystem>(&name).unwrap(), system);
        }
    }
}
