//! The end of a shift: what is unfinished, where it is, and who takes it over.

use std::fmt;

use crate::custody::{ContainerId, Seal, SessionId};
use crate::people::{PersonId, Stamp};
use crate::sheet::{AcceptanceId, LotId, number_of};

use super::cage::Place;
use super::figures::on_hand;
use super::state::State;

/// A shift as it was handed over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handover {
    pub seq: u64,
    pub by: PersonId,
    pub to: PersonId,
    pub at: Stamp,
    pub told: String,
}

/// One thing that the next shift finds unfinished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unfinished {
    NotExamined { lot: LotId, sheets: u32 },
    NotLookedAt { sample: AcceptanceId, sheets: u64 },
    NotReplaced { lot: LotId, notes: u64 },
    OnHand { lot: LotId, notes: u64 },
    Loose { pieces: u64 },
    OpenContainer { container: ContainerId, pieces: u64 },
    Sealed { container: ContainerId, pieces: u64 },
    Held { container: ContainerId },
    Missing { pieces: u64 },
    Session { session: SessionId },
}

/// Where an unfinished thing is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    Bench,
    /// Where acceptance samples are.
    Acceptance,
    /// Where replacement notes are drawn and inserted.
    Replacements,
    Cage,
    Destroy,
}

impl Unfinished {
    /// Where it is finished.
    pub fn at(&self) -> Finish {
        match self {
            Unfinished::NotExamined { .. } => Finish::Bench,
            Unfinished::NotLookedAt { .. } => Finish::Acceptance,
            Unfinished::NotReplaced { .. } | Unfinished::OnHand { .. } => Finish::Replacements,
            Unfinished::Loose { .. }
            | Unfinished::OpenContainer { .. }
            | Unfinished::Held { .. }
            | Unfinished::Missing { .. } => Finish::Cage,
            Unfinished::Sealed { .. } | Unfinished::Session { .. } => Finish::Destroy,
        }
    }
}

impl fmt::Display for Unfinished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unfinished::NotExamined { lot, sheets } => {
                write!(
                    f,
                    "Lot {lot}: {} not examined",
                    number_of((*sheets).into(), "sheet", "sheets")
                )
            }
            Unfinished::NotLookedAt { sample, sheets } => {
                let sheets = number_of(*sheets, "sheet", "sheets");
                write!(f, "Acceptance sample {sample}: {sheets} not looked at")
            }
            Unfinished::NotReplaced { lot, notes } => {
                write!(
                    f,
                    "Lot {lot}: {} without a replacement",
                    number_of(*notes, "note", "notes")
                )
            }
            Unfinished::OnHand { lot, notes } => {
                let notes = number_of(*notes, "replacement note", "replacement notes");
                write!(f, "Lot {lot}: {notes} drawn and not inserted")
            }
            Unfinished::Loose { pieces } => {
                write!(
                    f,
                    "Cage: {} loose, in no container",
                    number_of(*pieces, "piece", "pieces")
                )
            }
            Unfinished::OpenContainer { container, pieces } => {
                let pieces = number_of(*pieces, "piece", "pieces");
                write!(f, "Container {container}: open, with {pieces}")
            }
            Unfinished::Sealed { container, pieces } => {
                let pieces = number_of(*pieces, "piece", "pieces");
                write!(
                    f,
                    "Container {container}: sealed with {pieces}, not destroyed"
                )
            }
            Unfinished::Held { container } => {
                write!(f, "Container {container}: held, to be counted again")
            }
            Unfinished::Missing { pieces } => {
                write!(f, "Cage: {} missing", number_of(*pieces, "piece", "pieces"))
            }
            Unfinished::Session { session } => {
                write!(f, "Destruction {session}: begun and not recorded")
            }
        }
    }
}

impl State {
    /// Everything that is unfinished now, in the order of the works: bench, replacement notes,
    /// cage, destruction.
    pub fn unfinished(&self) -> Vec<Unfinished> {
        let mut found = Vec::new();
        for lot in self.lots.values().filter(|lot| lot.closed.is_none()) {
            let sheets = lot.not_examined();
            found.extend((sheets > 0).then_some(Unfinished::NotExamined {
                lot: lot.id,
                sheets,
            }));
        }
        for sample in self.acceptances.values() {
            let sheets = sample.open().count() as u64;
            found.extend((sheets > 0).then_some(Unfinished::NotLookedAt {
                sample: sample.id,
                sheets,
            }));
        }
        for lot in self.lots.values().filter(|lot| lot.closed.is_none()) {
            let notes = lot.needs().len() as u64;
            found.extend((notes > 0).then_some(Unfinished::NotReplaced { lot: lot.id, notes }));
            let notes = on_hand(self, lot).len() as u64;
            found.extend((notes > 0).then_some(Unfinished::OnHand { lot: lot.id, notes }));
        }
        found.extend(self.unfinished_in_the_cage());
        found
    }

    fn unfinished_in_the_cage(&self) -> Vec<Unfinished> {
        let places = self.cage.spoils.values();
        let pieces = places.filter(|place| **place == Place::Loose).count() as u64;
        let loose = (pieces > 0).then_some(Unfinished::Loose { pieces });
        let pieces = self.cage.missing().count() as u64;
        let missing = (pieces > 0).then_some(Unfinished::Missing { pieces });
        let session = self.session.as_ref().map(|log| Unfinished::Session {
            session: log.session,
        });
        let containers = self.cage.containers.values().filter_map(|one| {
            let (container, pieces) = (one.id, one.items.len() as u64);
            match one.seal {
                Seal::Open => Some(Unfinished::OpenContainer { container, pieces }),
                Seal::Sealed(_) => Some(Unfinished::Sealed { container, pieces }),
                Seal::Held(..) => Some(Unfinished::Held { container }),
                Seal::Destroyed { .. } | Seal::Retired { .. } => None,
            }
        });
        let found = loose.into_iter().chain(missing).chain(containers);
        found.chain(session).collect()
    }
}
