//! What left the browser at a checkpoint, as far as the book still knows it.

use std::collections::{BTreeMap, BTreeSet};

use crate::custody::{ContainerId, SessionId};
use crate::people::{Day, PersonId};
use crate::quality::sampling::Standing;
use crate::sheet::{AcceptanceId, LotId, Numbering, ProductId, SerialError};

use super::checkpoint::{Archived, CarriedLot, CarriedReceipt};
use super::figures::Account;
use super::pool::Pool;
use super::state::State;
use super::trace::ArchivedNote;

/// A closed lot of which the lines are in the archive.
#[derive(Clone, Debug, PartialEq)]
pub struct ArchivedLot {
    pub carried: CarriedLot,
    pub(super) numbering: Option<Numbering>,
}

impl ArchivedLot {
    /// Its account as it was closed.
    pub fn account(&self) -> Account {
        let CarriedLot {
            sheets,
            notes,
            replacements,
            spoils,
            ..
        } = self.carried;
        Account::new(sheets, notes, replacements, spoils)
    }

    /// Whether a serial is one of this lot.
    ///
    /// # Errors
    /// Why the lot's format cannot read it.
    pub fn has_serial(&self, text: &str) -> Result<bool, SerialError> {
        match &self.numbering {
            Some(numbering) => Ok(numbering.locate_text(text)?.is_some()),
            None => Ok(false),
        }
    }
}

/// Everything the book knows of its archive. Empty before the first checkpoint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Archive {
    /// Where the last checkpoint cut the book.
    pub cut: Option<Archived>,
    pub lots: BTreeMap<LotId, ArchivedLot>,
    /// Every container number used there.
    pub containers: BTreeSet<ContainerId>,
    /// Every session number used there.
    pub sessions: BTreeSet<SessionId>,
    /// Whether sessions were recorded step by step there.
    pub begins_sessions: bool,
    /// The witnesses of the last sessions there, oldest first.
    pub witnesses: Vec<Vec<PersonId>>,
    /// Every number of an acceptance sample used there.
    pub acceptances: BTreeSet<AcceptanceId>,
    /// How strictly the next lot of a product must be inspected, by the lots there.
    pub standings: BTreeMap<ProductId, Standing>,
    /// Every receipt for residue there.
    pub receipts: Vec<CarriedReceipt>,
}

impl Archive {
    /// Lines in the archive.
    pub fn lines(&self) -> u64 {
        self.cut.map_or(0, |cut| cut.lines.get())
    }

    /// "entries 0 to 41", to say where something is to be looked for.
    pub fn entries(&self) -> String {
        let last = self.lines().saturating_sub(1);
        format!("entries 0 to {last}")
    }
}

impl State {
    /// The title of a lot's product, also of a lot in the archive.
    pub fn title_of(&self, lot: LotId) -> Option<&str> {
        let known = self.lots.get(&lot).map(|lot| lot.product.id);
        let archived = || Some(self.archive.lots.get(&lot)?.carried.product);
        let product = self.products.get(&known.or_else(archived)?)?;
        Some(&product.title)
    }

    /// The entry that opened a lot, also of a lot in the archive.
    pub fn opened_in(&self, lot: LotId) -> Option<u64> {
        let archived = || Some(self.archive.lots.get(&lot)?.carried.opened);
        self.lots.get(&lot).map(|lot| lot.seq).or_else(archived)
    }

    /// Where the lines about a note are, in a sentence.
    pub fn archive_of(&self, note: ArchivedNote) -> String {
        let entries = self.archive.entries();
        match note {
            ArchivedNote::Printed(lot) => format!(
                "Lot {lot} is closed, and its lines are in the archive ({entries}). Look there for this note."
            ),
            ArchivedNote::Replacement(series) => format!(
                "This note of series {series} was drawn and settled, and its lines are in the archive ({entries}). Look there."
            ),
        }
    }

    /// Whether the lists of a day are in the archive: it was closed before the last checkpoint.
    /// Its totals are kept for comparison.
    pub fn is_archived(&self, day: Day) -> bool {
        let closing = self.closed_days.get(&day);
        closing.is_some_and(|closing| closing.seq < self.archive.lines())
    }

    /// Whether a container number was ever used.
    pub fn knows_container(&self, id: ContainerId) -> bool {
        self.cage.containers.contains_key(&id) || self.archive.containers.contains(&id)
    }

    /// Whether a number of an acceptance sample was ever used.
    pub fn knows_acceptance(&self, id: AcceptanceId) -> bool {
        self.acceptances.contains_key(&id) || self.archive.acceptances.contains(&id)
    }

    /// Whether a session number was ever used.
    pub fn knows_session(&self, id: SessionId) -> bool {
        let mut done = self.sessions.iter().map(|one| one.record.session);
        let mut abandoned = self.abandoned.iter().map(|one| one.log.session);
        self.archive.sessions.contains(&id)
            || done.any(|used| used == id)
            || abandoned.any(|used| used == id)
    }

    /// Whether sessions of this book are recorded step by step.
    pub fn begins_sessions(&self) -> bool {
        let begun = self.sessions.iter().any(|one| one.log.is_some());
        self.archive.begins_sessions || begun || !self.abandoned.is_empty()
    }

    /// The witnesses of every session that is known, oldest first.
    pub fn witnesses(&self) -> impl DoubleEndedIterator<Item = &[PersonId]> {
        let here = self.sessions.iter().map(|one| &one.record.witnesses[..]);
        self.archive.witnesses.iter().map(Vec::as_slice).chain(here)
    }
}

impl Pool {
    /// Whether a place of the series was drawn and settled in the archive.
    pub fn is_archived(&self, place: u64) -> bool {
        place < self.settled.count()
    }
}
