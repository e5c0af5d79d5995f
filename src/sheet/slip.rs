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
