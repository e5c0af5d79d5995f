//! What must be settled before the book can go on from a checkpoint.

use std::fmt;

use crate::custody::{ContainerId, Seal, SessionId};
use crate::people::Day;
use crate::sheet::{LotId, grouped};

use super::super::cage::Place;
use super::super::lot::Lot;
use super::super::pool::Fate;
use super::super::state::State;

/// What must be settled before the book can go on from a checkpoint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unsettled {
    NotOpened,
    Lots {
        open: u64,
        first: LotId,
    },
    Spoils {
        pieces: u64,
    },
    Container(ContainerId),
    /// A destruction is under way.
    Session(SessionId),
    OnHand {
        notes: u64,
    },
    /// A book that follows residue out of the works follows all of it.
    Residue(SessionId),
    Day(Day),
    /// What is carried over has to fit into a line.
    TooMuch {
        bytes: u64,
    },
}

impl fmt::Display for Unsettled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsettled::NotOpened => f.write_str("it is not open: open it first"),
            Unsettled::Lots { open: 1, first } => {
                write!(f, "lot {first} is open: close it (Balance)")
            }
            Unsettled::Lots { open, first } => {
                let open = grouped(*open);
                write!(
                    f,
                    "{open} lots are open, {first} first: close them (Balance)"
                )
            }
            Unsettled::Spoils { pieces: 1 } => {
                f.write_str("1 spoil is not destroyed: see where it lies (Cage)")
            }
            Unsettled::Spoils { pieces } => {
                let pieces = grouped(*pieces);
                write!(
                    f,
                    "{pieces} spoils are not destroyed: see where they lie (Cage)"
                )
            }
            Unsettled::Container(id) => {
                write!(
                    f,
                    "container {id} is not empty: destroy what it holds (Destroy)"
                )
            }
            Unsettled::Session(id) => {
                write!(f, "session {id} is under way: end it (Destroy)")
            }
            Unsettled::Residue(id) => {
                write!(
                    f,
                    "the residue of session {id} has not left: record where it went (Destroy)"
                )
            }
            Unsettled::OnHand { notes: 1 } => f.write_str(
                "1 replacement note is on hand: insert or return it (Verdicts, Replacement notes)",
            ),
            Unsettled::OnHand { notes } => {
                let notes = grouped(*notes);
                write!(
                    f,
                    "{notes} replacement notes are on hand: insert or return them (Verdicts, Replacement notes)"
                )
            }
            Unsettled::Day(day) => write!(f, "day {day} is not closed: close it (Day)"),
            Unsettled::TooMuch { bytes } => {
                let bytes = grouped(*bytes);
                write!(
                    f,
                    "what it takes along has {bytes} bytes, more than a line may have: save this book for good and open a new one for the bench"
                )
            }
        }
    }
}

/// Everything that is not settled yet, in the order in which it is usually mended.
pub fn unsettled(state: &State) -> Vec<Unsettled> {
    if state.opened.is_none() {
        return vec![Unsettled::NotOpened];
    }
    let open: Vec<&Lot> = state
        .lots
        .values()
        .filter(|lot| lot.closed.is_none())
        .collect();
    let lots = open.first().map(|lot| Unsettled::Lots {
        open: open.len() as u64,
        first: lot.id,
    });
    let notes: u64 = state
        .pools
        .values()
        .map(|pool| pool.count(Fate::OnHand))
        .sum();
    let places = state.cage.spoils.values();
    let pieces = places
        .filter(|place| !matches!(place, Place::Destroyed(_) | Place::Lost(_)))
        .count() as u64;
    let containers = state.cage.containers.values().filter(|container| {
        let done = matches!(
            container.seal,
            Seal::Destroyed { .. } | Seal::Retired { .. }
        );
        let unused = container.seal == Seal::Open && container.items.is_empty();
        !done && !unused
    });
    let days = state
        .days
        .iter()
        .filter(|(day, totals)| totals.has_work() && !state.closed_days.contains_key(day));
    let follows_residue = !state.residue.is_empty() || !state.archive.receipts.is_empty();
    let sessions = state.sessions.iter().map(|one| one.record.session);
    let residue = sessions.filter(|id| follows_residue && state.residue_of(*id).is_none());
    lots.into_iter()
        .chain((notes > 0).then_some(Unsettled::OnHand { notes }))
        .chain((pieces > 0).then_some(Unsettled::Spoils { pieces }))
        .chain(containers.map(|container| Unsettled::Container(container.id)))
        .chain(
            state
                .session
                .iter()
                .map(|log| Unsettled::Session(log.session)),
        )
        .chain(residue.map(Unsettled::Residue))
        .chain(days.map(|(day, _)| Unsettled::Day(*day)))
        .collect()
}
