//! What stands between a lot and its closing.

use std::fmt;

use crate::account::Identity;
use crate::quality::sampling::Decision;
use crate::sheet::{AcceptanceId, grouped};

use super::figures;
use super::lot::Lot;
use super::state::State;

/// One thing that must be mended before a lot can be closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Obstacle {
    NotExamined {
        sheets: u64,
    },
    /// Marked notes of a lot examined before numbering have no serials to be replaced under.
    NotNumbered {
        notes: u64,
    },
    /// Sheets of an acceptance sample are still to be looked at.
    NotLookedAt {
        sheets: u64,
    },
    /// The last acceptance sample said no.
    NotAccepted(AcceptanceId),
    /// A second look found them bad, and they are passed all the same.
    PassedThoughBad {
        sheets: u64,
    },
    NoReplacement {
        notes: u64,
    },
    NotInserted {
        notes: u64,
    },
    NotDestroyed {
        spoils: u64,
    },
    /// An identity that does not hold: found less owed.
    Differs {
        identity: &'static str,
        by: i128,
    },
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Obstacle::NotExamined { sheets: 1 } => f.write_str("1 sheet is not examined"),
            Obstacle::NotExamined { sheets } => {
                write!(f, "{} sheets are not examined", grouped(*sheets))
            }
            Obstacle::NotNumbered { notes: 1 } => {
                f.write_str("the lot is not numbered, so 1 marked note has no serial")
            }
            Obstacle::NotNumbered { notes } => {
                let notes = grouped(*notes);
                write!(
                    f,
                    "the lot is not numbered, so {notes} marked notes have no serial"
                )
            }
            Obstacle::NotLookedAt { sheets: 1 } => {
                f.write_str("1 sheet of the acceptance sample is not looked at")
            }
            Obstacle::NotLookedAt { sheets } => {
                let sheets = grouped(*sheets);
                write!(
                    f,
                    "{sheets} sheets of the acceptance sample are not looked at"
                )
            }
            Obstacle::NotAccepted(sample) => write!(
                f,
                "acceptance sample {sample} was rejected: examine the passed sheets again and draw anew"
            ),
            Obstacle::PassedThoughBad { sheets: 1 } => f.write_str(
                "1 sheet that a second look found bad is still passed: correct it on the Bench",
            ),
            Obstacle::PassedThoughBad { sheets } => write!(
                f,
                "{} sheets that a second look found bad are still passed: correct them on the Bench",
                grouped(*sheets)
            ),
            Obstacle::NoReplacement { notes: 1 } => f.write_str("1 note has no replacement drawn"),
            Obstacle::NoReplacement { notes } => {
                write!(f, "{} notes have no replacement drawn", grouped(*notes))
            }
            Obstacle::NotInserted { notes: 1 } => {
                f.write_str("1 replacement note is drawn but not inserted")
            }
            Obstacle::NotInserted { notes } => {
                let notes = grouped(*notes);
                write!(f, "{notes} replacement notes are drawn but not inserted")
            }
            Obstacle::NotDestroyed { spoils: 1 } => f.write_str("1 spoil is not destroyed"),
            Obstacle::NotDestroyed { spoils } => {
                write!(f, "{} spoils are not destroyed", grouped(*spoils))
            }
            Obstacle::Differs { identity, by } => {
                write!(f, "{} differ by {by}", identity.to_lowercase())
            }
        }
    }
}

impl State {
    /// Everything that stands between a lot and its closing, in the order in which it is usually
    /// mended. Empty when the lot can be closed.
    pub fn stands_in_the_way(&self, lot: &Lot) -> Vec<Obstacle> {
        let account = figures::lot_account(self, lot);
        let spoils = account.spoil_figures;
        let samples = self.acceptances_of(lot.id);
        let not_looked = samples.iter().flat_map(|one| one.open()).count();
        let rejected = samples
            .last()
            .filter(|one| one.decision() == Some(Decision::Reject));
        let rejected = rejected.map(|one| Obstacle::NotAccepted(one.id));
        let open = [
            Obstacle::NotExamined {
                sheets: account.sheet_figures.not_examined,
            },
            Obstacle::NotNumbered {
                notes: match lot.is_numbered() {
                    true => 0,
                    false => account.note_figures.spoiled_on_mixed,
                },
            },
            Obstacle::NotLookedAt {
                sheets: not_looked as u64,
            },
            Obstacle::PassedThoughBad {
                sheets: self.passed_though_bad(lot).len() as u64,
            },
            Obstacle::NoReplacement {
                notes: lot.needs().len() as u64,
            },
            Obstacle::NotInserted {
                notes: account.replacement_figures.on_hand,
            },
            Obstacle::NotDestroyed {
                spoils: spoils.loose + spoils.in_open_containers + spoils.sealed + spoils.held,
            },
        ];
        let differs = account
            .identities
            .iter()
            .filter(|identity| !identity.holds());
        let differs = differs.map(|identity: &Identity| Obstacle::Differs {
            identity: identity.name,
            by: identity.difference(),
        });
        open.into_iter()
            .filter(Obstacle::is_there)
            .chain(rejected)
            .chain(differs)
            .collect()
    }
}

impl Obstacle {
    fn is_there(&self) -> bool {
        match self {
            Obstacle::NotExamined { sheets }
            | Obstacle::NotLookedAt { sheets }
            | Obstacle::PassedThoughBad { sheets } => *sheets > 0,
            Obstacle::NotNumbered { notes }
            | Obstacle::NoReplacement { notes }
            | Obstacle::NotInserted { notes } => *notes > 0,
            Obstacle::NotDestroyed { spoils } => *spoils > 0,
            Obstacle::Differs { .. } | Obstacle::NotAccepted(_) => true,
        }
    }
}
