//! What someone may have meant by a serial that does not hold.

use std::fmt;

use super::SerialFormat;
use super::format::clean;

/// One likely slip in a typed or scanned serial, and the serial it would make good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    pub kind: SlipKind,
    /// The canonical text that would hold.
    pub serial: String,
}

/// What went wrong; places count characters from 1, without spaces.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum SlipKind {
    Misread {
        place: usize,
        typed: char,
        meant: char,
    },
    /// The characters at `place` and `place + 1` changed places.
    Swapped { place: usize },
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let serial = &self.serial;
        match self.kind {
            SlipKind::Misread {
                place,
                typed,
                meant,
            } => {
                write!(f, "{serial}: character {place} is {meant}, not {typed}")
            }
            SlipKind::Swapped { place } => {
                write!(
                    f,
                    "{serial}: characters {place} and {} are swapped",
                    place + 1
                )
            }
        }
    }
}

impl SlipKind {
    /// Look-alikes first, then swaps, then the rest (common practice, no source).
    fn likelihood(self) -> u8 {
        match self {
            SlipKind::Misread { typed, meant, .. } if look_alike(typed, meant) => 0,
            SlipKind::Swapped { .. } => 1,
            SlipKind::Misread { .. } => 2,
        }
    }
}

fn look_alike(a: char, b: char) -> bool {
    ["0ODQ", "1IL7", "2Z", "5S", "6G", "8B", "38"]
        .iter()
        .any(|set| set.contains(a) && set.contains(b))
}

impl SerialFormat {
    /// Serials that hold and differ from this text by one wrong character or two neighbours
    /// swapped, the likeliest first. Empty when the text holds already or has another length.
    pub fn suggest(&self, text: &str) -> Vec<Slip> {
        let Ok(typed) = clean(text) else {
            return Vec::new();
        };
        let typed = typed.as_bytes();
        if typed.len() != self.length() || self.parse_clean(typed).is_ok() {
            return Vec::new();
        }
        let mut slips = self.swaps(typed);
        slips.extend(self.misreads(typed));
        slips.sort_by_key(|slip| slip.kind.likelihood());
        slips
    }

    fn swaps(&self, typed: &[u8]) -> Vec<Slip> {
        let mut tried = typed.to_vec();
        let mut slips = Vec::new();
        for at in 1..typed.len() {
            tried.swap(at - 1, at);
            slips.extend(self.holding(&tried, SlipKind::Swapped { place: at }));
            tried.swap(at - 1, at);
        }
        slips
    }

    fn misreads(&self, typed: &[u8]) -> Vec<Slip> {
        let mut tried = typed.to_vec();
        let mut slips = Vec::new();
        for at in 0..typed.len() {
            for &meant in b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*" {
                tried[at] = meant;
                let (typed, meant) = (typed[at].into(), meant.into());
                slips.extend(self.holding(
                    &tried,
                    SlipKind::Misread {
                        place: at + 1,
                        typed,
                        meant,
                    },
                ));
            }
            tried[at] = typed[at];
        }
        slips
    }

    fn holding(&self, tried: &[u8], kind: SlipKind) -> Option<Slip> {
        self.parse_clean(tried).ok()?;
        Some(Slip {
            kind,
            serial: String::from_utf8_lossy(tried).into_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::sample::format_spec;
    use crate::sheet::{CheckOver, CheckSystem, SerialFormatSpec};

    fn checked() -> SerialFormat {
        let spec = SerialFormatSpec {
            check: CheckSystem::Mod37_36,
            ..format_spec("KA", 6, "")
        };
        SerialFormat::new(spec).unwrap()
    }

    #[test]
    fn a_good_serial_needs_no_advice() {
        let format = checked();
        assert_eq!(format.suggest(&format.text(123_456).unwrap()), []);
        assert_eq!(format.suggest("KA1234"), []);
        assert_eq!(format.suggest("KA/12345X"), []);
    }

    #[test]
    fn look_alikes_come_first() {
        // Damm finds one digit for every place that would make a serial hold again.
        let check_over = CheckOver::Number;
        let spec = SerialFormatSpec {
            check: CheckSystem::Damm,
            ..format_spec("KA", 6, "")
        };
        let format = SerialFormat::new(SerialFormatSpec { check_over, ..spec }).unwrap();
        let right = format.text(500_483).unwrap();
        let slips = format.suggest(&right.replacen('3', "8", 1));
        assert!(slips.len() >= 7, "{slips:?}");
        assert_eq!(slips[0].serial, right);
        assert_eq!(
            slips[0].kind,
            SlipKind::Misread {
                place: 8,
                typed: '8',
                meant: '3'
            }
        );
        assert_eq!(
            slips[0].to_string(),
            format!("{right}: character 8 is 3, not 8")
        );
        assert!(slips.is_sorted_by_key(|slip| slip.kind.likelihood()));
    }

    #[test]
    fn a_letter_for_a_digit_is_a_slip() {
        let format = checked();
        let right = format.text(100_456).unwrap();
        let slips = format.suggest(&right.replacen("00", "O0", 1));
        assert_eq!(slips[0].serial, right);
        assert_eq!(
            slips[0].kind,
            SlipKind::Misread {
                place: 4,
                typed: 'O',
                meant: '0'
            }
        );
    }

    #[test]
    fn swaps_are_found() {
        let format = checked();
        let right = format.text(123_456).unwrap();
        let slips = format.suggest(&right.replacen("34", "43", 1));
        let swap = slips.iter().find(|slip| slip.serial == right).unwrap();
        assert_eq!(swap.kind, SlipKind::Swapped { place: 5 });
        assert!(swap.to_string().ends_with("characters 5 and 6 are swapped"));
    }

    #[test]
    fn every_suggestion_holds_and_every_single_misread_is_among_them() {
        let format = checked();
        let right = format.text(987_654).unwrap();
        for at in 0..right.len() {
            let mut typed = right.clone().into_bytes();
            typed[at] = if typed[at] == b'3' { b'4' } else { b'3' };
            let slips = format.suggest(std::str::from_utf8(&typed).unwrap());
            assert!(slips.iter().all(|slip| format.parse(&slip.serial).is_ok()));
            assert!(
                slips.iter().any(|slip| slip.serial == right),
                "place {}",
                at + 1
            );
        }
    }
}
