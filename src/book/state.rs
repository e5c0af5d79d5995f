//! The folded state: everything the lines so far add up to.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::account::{CutOverMove, DayTotals};
use crate::custody::{
    Container, ContainerId, Destruction, Fact, Paper, Scale, ScaleId, SessionLog,
};
use crate::inspect::{Catalogue, Quantity, Rules, Tolerance, starter_catalogue};
use crate::people::{Day, Person, PersonId, PublicKey, Stamp};
use crate::sheet::{AcceptanceId, Finishing, Layout, LotId, ProductId, SeriesId};

use super::acceptance::Acceptance;
use super::archive::Archive;
use super::cage::Cage;
use super::entry::{Copied, Entry};
use super::figures::carried;
use super::fold;
use super::handover::Handover;
use super::hash::Hash;
use super::homes::StoreHealed;
use super::line::{BenchId, Header, Line};
use super::lot::Lot;
use super::measured::Sample;
use super::pool::Pool;
use super::refusal::Refusal;
use super::statement;
use super::weighing::{ResidueRecord, WeighCheck};

/// Whose book it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    pub works: String,
    pub book: Uuid,
    pub bench: BenchId,
    pub practice: bool,
    pub at: Stamp,
}

/// A product with its checked layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    pub id: ProductId,
    pub title: String,
    pub layout: Layout,
    pub finishing: Finishing,
}

/// A destruction as recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionRecord {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// The production day it was recorded on.
    pub day: Day,
    /// The production day it began on.
    pub began_on: Day,
    /// Hash of the recording line.
    pub hash: Hash,
    /// The head that the line builds on.
    pub prev: Hash,
    /// The statement that the operator and the witnesses signed.
    pub statement: String,
    /// As signed. What was mistyped in it stands in `corrections`.
    pub record: Destruction,
    /// The weigh check of each container of the record, in its order, by what was known then.
    pub weighed: Vec<WeighCheck>,
    /// The steps; lines written before there were any have none.
    pub log: Option<SessionLog>,
    pub corrections: Vec<SessionCorrection>,
}

impl SessionRecord {
    /// The record with everything that was corrected since.
    pub fn as_corrected(&self) -> &Destruction {
        let last = self.corrections.last();
        last.map_or(&self.record, |last| &last.record)
    }
}

/// A fact of a session that was corrected.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionCorrection {
    pub seq: u64,
    pub by: PersonId,
    pub second: PersonId,
    pub at: Stamp,
    pub reason: String,
    pub was: Fact,
    pub now: Fact,
    /// The whole record with this correction.
    pub record: Destruction,
}

/// A session that ended before anything was destroyed.
#[derive(Clone, Debug, PartialEq)]
pub struct AbandonedSession {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub reason: String,
    pub log: SessionLog,
}

/// Who closed a production day, and when.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayClosing {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
}

/// The last copy that left the machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LastCopy {
    pub what: Copied,
    pub at: Stamp,
    pub seq: u64,
}

/// One home of the book was healed from the other, as recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Healing {
    pub seq: u64,
    pub at: Stamp,
    pub what: StoreHealed,
}

/// Everything the lines so far add up to. Starts empty; grows by [`State::plan`].
#[derive(Clone, Debug)]
pub struct State {
    pub opened: Option<Opened>,
    pub people: BTreeMap<PersonId, Person>,
    pub retired: BTreeMap<PersonId, Person>,
    pub catalogue: Rc<Catalogue>,
    pub rules: Rc<Rules>,
    pub products: BTreeMap<ProductId, Rc<Product>>,
    pub pools: BTreeMap<SeriesId, Pool>,
    pub lots: BTreeMap<LotId, Lot>,
    pub acceptances: BTreeMap<AcceptanceId, Acceptance>,
    pub cage: Cage,
    pub sessions: Vec<SessionRecord>,
    /// Every scale, as it was registered last.
    pub scales: BTreeMap<ScaleId, Scale>,
    /// What is known of each product's paper now.
    pub papers: BTreeMap<ProductId, Paper>,
    /// What each quantity of a product should be now.
    pub tolerances: BTreeMap<(ProductId, Quantity), Tolerance>,
    /// Measured samples in force, by their entries.
    pub samples: BTreeMap<u64, Sample>,
    /// Residue that left the works.
    pub residue: Vec<ResidueRecord>,
    /// The session that is under way.
    pub session: Option<SessionLog>,
    pub abandoned: Vec<AbandonedSession>,
    /// When somebody's passphrase was wrong too often, last.
    pub failed_keys: BTreeMap<PersonId, Stamp>,
    pub days: BTreeMap<Day, DayTotals>,
    /// Closed days, with how each was closed.
    pub closed_days: BTreeMap<Day, DayClosing>,
    /// Shifts handed over, in order.
    pub handovers: Vec<Handover>,
    /// The day of the last line.
    pub last_day: Option<Day>,
    /// The last copy of anything: each carries a head.
    pub last_copy: Option<LastCopy>,
    pub healings: Vec<Healing>,
    /// The last copy of the whole book.
    pub last_book_copy: Option<LastCopy>,
    pub archive: Archive,
}

impl Default for State {
    fn default() -> Self {
        Self {
            opened: None,
            people: BTreeMap::new(),
            retired: BTreeMap::new(),
            catalogue: Rc::new(starter_catalogue()),
            rules: Rc::new(Rules::default()),
            products: BTreeMap::new(),
            pools: BTreeMap::new(),
            lots: BTreeMap::new(),
            acceptances: BTreeMap::new(),
            cage: Cage::default(),
            sessions: Vec::new(),
            scales: BTreeMap::new(),
            papers: BTreeMap::new(),
            tolerances: BTreeMap::new(),
            samples: BTreeMap::new(),
            residue: Vec::new(),
            session: None,
            abandoned: Vec::new(),
            failed_keys: BTreeMap::new(),
            days: BTreeMap::new(),
            closed_days: BTreeMap::new(),
            handovers: Vec::new(),
            last_day: None,
            last_copy: None,
            healings: Vec::new(),
            last_book_copy: None,
            archive: Archive::default(),
        }
    }
}

/// What an accepted line does to the state. Made by [`State::plan`], which has checked it all,
/// so that applying it cannot fail.
pub struct Change(Box<dyn FnOnce(&mut State)>);

impl Change {
    pub(super) fn new(change: impl FnOnce(&mut State) + 'static) -> Self {
        Self(Box::new(change))
    }

    pub(super) fn apply(self, state: &mut State) {
        (self.0)(state);
    }
}

impl State {
    /// Checks a line's entry, and the further signatures it needs, against everything before it,
    /// and says what it would change. The author's own signature is the book's to check.
    ///
    /// # Errors
    /// Why the entry cannot be taken. The state is untouched.
    pub fn plan(&self, line: &Line) -> Result<Change, Refusal> {
        let change = self.plan_unsigned(&line.header, &line.entry, line.hash)?;
        statement::check(self, line)?;
        let day = self.day_of(&line.header.at);
        let anew = matches!(line.entry, Entry::BookCheckpoint(_));
        let of_the_book = matches!(line.entry, Entry::CopyTaken(_) | Entry::StoreHealed(_));
        let late = self.closed_days.contains_key(&day) && !of_the_book && !anew;
        let seq = line.header.seq;
        let mut change = Some(change);
        Ok(Change::new(move |state| {
            // A checkpoint makes the whole state anew, so it comes before it is counted.
            if let Some(change) = change.take_if(|_| anew) {
                change.apply(state);
            }
            state.turn_to(day);
            let totals = state.days.entry(day).or_default();
            totals.entries += 1;
            totals.late += u64::from(late);
            let from = state.rules.cut_over_hour;
            if let Some(change) = change {
                change.apply(state);
            }
            state.note_cut_over(day, seq, from);
        }))
    }

    /// Keeps what is open when the lines pass from one production day to another.
    fn turn_to(&mut self, day: Day) {
        if self.last_day == Some(day) {
            return;
        }
        let carried = carried(self);
        if let Some(left) = self.last_day.replace(day) {
            self.days.entry(left).or_default().carried_over = Some(carried);
        }
        let is_new = !self.days.contains_key(&day);
        let totals = self.days.entry(day).or_default();
        totals.carried_over = None;
        if is_new {
            totals.carried_in = carried;
        }
    }

    fn note_cut_over(&mut self, day: Day, entry: u64, from: u8) {
        let to = self.rules.cut_over_hour;
        let totals = self.days.entry(day).or_default();
        totals.cut_over_hour = from;
        if from != to {
            totals.cut_over_moves.push(CutOverMove { entry, from, to });
        }
    }

    /// The same before anybody has signed.
    pub(super) fn plan_unsigned(
        &self,
        header: &Header,
        entry: &Entry,
        hash: Hash,
    ) -> Result<Change, Refusal> {
        fold::plan(self, header, entry, hash)
    }

    /// The key that a line of this author is signed with: as enrolled or given last. The opening
    /// line brings its own.
    pub fn key_of(&self, by: PersonId, entry: &Entry) -> Option<PublicKey> {
        match entry {
            Entry::BookOpened(data) if self.opened.is_none() => Some(data.supervisor.key),
            _ => self.people.get(&by).map(|person| person.key),
        }
    }

    /// The production day of a moment under the rules in force.
    pub fn day_of(&self, at: &Stamp) -> Day {
        at.production_day(self.rules.cut_over_hour)
    }

    /// A person who is enrolled and not retired.
    ///
    /// # Errors
    /// [`Refusal::UnknownPerson`] or [`Refusal::Retired`].
    pub fn person(&self, id: PersonId) -> Result<&Person, Refusal> {
        match self.people.get(&id) {
            Some(person) => Ok(person),
            None if self.retired.contains_key(&id) => Err(Refusal::Retired(id)),
            None => Err(Refusal::UnknownPerson(id)),
        }
    }

    /// Who tagged sheets whose spoils lie in these containers: none of them may witness.
    pub fn taggers(&self, containers: &[ContainerId]) -> BTreeSet<PersonId> {
        fold::taggers(self, containers)
    }

    /// The printed name of anyone ever enrolled, else the code itself.
    pub fn name_of(&self, id: PersonId) -> String {
        let person = self.people.get(&id).or_else(|| self.retired.get(&id));
        person.map_or_else(|| id.to_string(), |person| person.name.to_string())
    }

    /// # Errors
    /// [`Refusal::UnknownLot`], or [`Refusal::LotIsClosed`] for one in the archive.
    pub fn lot(&self, id: LotId) -> Result<&Lot, Refusal> {
        let archived = || self.archive.lots.contains_key(&id);
        self.lots.get(&id).ok_or_else(|| match archived() {
            true => Refusal::LotIsClosed(id),
            false => Refusal::UnknownLot(id),
        })
    }

    /// # Errors
    /// [`Refusal::UnknownAcceptance`].
    pub fn acceptance(&self, id: AcceptanceId) -> Result<&Acceptance, Refusal> {
        self.acceptances
            .get(&id)
            .ok_or(Refusal::UnknownAcceptance(id))
    }

    /// # Errors
    /// [`Refusal::UnknownProduct`].
    pub fn product(&self, id: ProductId) -> Result<&Rc<Product>, Refusal> {
        self.products.get(&id).ok_or(Refusal::UnknownProduct(id))
    }

    /// # Errors
    /// [`Refusal::UnknownSeries`].
    pub fn pool(&self, id: SeriesId) -> Result<&Pool, Refusal> {
        self.pools.get(&id).ok_or(Refusal::UnknownSeries(id))
    }

    /// The first series of whole sheets of a product that has any left.
    pub fn sheets_left(&self, product: ProductId) -> Option<&Pool> {
        let mut pools = self.pools.values();
        pools.find(|pool| {
            let sheets = pool.series.notes_of_sheet().is_some();
            sheets && pool.series.product() == product && pool.left() > 0
        })
    }

    /// # Errors
    /// [`Refusal::UnknownContainer`].
    pub fn container(&self, id: ContainerId) -> Result<&Container, Refusal> {
        self.cage
            .containers
            .get(&id)
            .ok_or(Refusal::UnknownContainer(id))
    }
}
