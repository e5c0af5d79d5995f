//! A checkpoint: closed days leave the browser, and the book goes on from what is carried over.
//!
//! The line is an ordinary one of the chain. It says which lines before it are in the archive, and
//! all that the lines after it need of them. Whoever has those lines checks that it follows from
//! them; whoever has not, begins to read at this line. Either way the state behind it is made from
//! what is carried over and from nothing else, so that both come to the same.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::account::{DayTotals, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures};
use crate::custody::{CagePlace, Container, ContainerId, Seal, SealNumber, SessionId};
use crate::inspect::{Catalogue, Rules};
use crate::people::{Day, Person, PersonId, Stamp};
use crate::quality::sampling::Standing;
use crate::sheet::{AcceptanceId, LotId, NumberingSpec, ProductId, SeriesSpec, grouped, pairs};

use super::archive::ArchivedLot;
use super::cage::Place;
use super::entry::ProductDefined;
use super::figures::lot_account;
use super::hash::Hash;
use super::line::{BenchId, LINE_MAX};
use super::lot::Lot;
use super::pool::{Fate, Pool, Settled};
use super::state::{DayClosing, Product, State};

mod back;

/// Production days of which the totals are carried over, and days with draws of each series: what
/// comparisons and forecasts look back on.
const DAYS_CARRIED: usize = 31;

/// Sessions of which the witnesses are carried over, so that the same pair is noticed: as many as
/// the rules can ask for.
const SESSIONS_CARRIED: usize = u8::MAX as usize;

/// Longest text of what is carried over, in bytes: it leaves room for the rest of the line.
const CARRIED_MAX: usize = LINE_MAX - (16 << 10);

/// The book goes on from here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookCheckpoint {
    pub archived: Archived,
    /// Who has seen the archive besides the author.
    pub second: PersonId,
    pub carried: Box<Carried>,
}

/// The lines before a checkpoint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Archived {
    /// How many: entries 0 to one less than this.
    pub lines: NonZeroU64,
    /// The hash of the last of them.
    pub head: Hash,
}

/// All that the lines behind a checkpoint need of those before it. Lists rise by their names.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Carried {
    pub works: String,
    pub book: Uuid,
    pub bench: BenchId,
    pub practice: bool,
    pub opened: Stamp,
    /// With the keys in force.
    pub people: Vec<Person>,
    pub retired: Vec<Person>,
    pub classes: Catalogue,
    pub rules: Rules,
    pub products: Vec<ProductDefined>,
    pub series: Vec<CarriedSeries>,
    /// Every lot that the book ever closed.
    pub lots: Vec<CarriedLot>,
    /// Containers that are open, and empty.
    pub containers: Vec<CarriedContainer>,
    /// Every other container number ever used.
    pub used_containers: Vec<ContainerId>,
    /// Every seal number ever used, with its container.
    #[serde(with = "pairs")]
    pub seals: BTreeMap<SealNumber, ContainerId>,
    /// Every session number ever used.
    pub sessions: Vec<SessionId>,
    /// Whether sessions are recorded step by step.
    pub begins_sessions: bool,
    /// The witnesses of the last sessions, oldest first.
    pub witnesses: Vec<Vec<PersonId>>,
    /// When somebody's passphrase was wrong too often, last.
    #[serde(with = "pairs")]
    pub failed_keys: BTreeMap<PersonId, Stamp>,
    /// Every number of an acceptance sample ever used.
    pub acceptances: Vec<AcceptanceId>,
    /// How strictly the next lot of each product must be inspected.
    #[serde(with = "pairs")]
    pub standings: BTreeMap<ProductId, Standing>,
    /// The last days' totals.
    #[serde(with = "pairs")]
    pub days: BTreeMap<Day, DayTotals>,
    /// The day of the last line.
    pub last_day: Option<Day>,
    /// Every day that was closed.
    #[serde(with = "pairs")]
    pub closed_days: BTreeMap<Day, DayClosing>,
}

/// A replacement series: how many of its first notes are settled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedSeries {
    pub series: SeriesSpec,
    pub settled: Settled,
}

/// An open, empty container, where it stands and who put it there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedContainer {
    pub container: ContainerId,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<CarriedPlace>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedPlace {
    pub place: CagePlace,
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
}

/// A closed lot: the numbers it uses, and its account.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedLot {
    pub lot: LotId,
    pub product: ProductId,
    /// The entries that opened and closed it.
    pub opened: u64,
    pub closed: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub numbering: Option<NumberingSpec>,
    pub sheets: SheetFigures,
    pub notes: NoteFigures,
    pub replacements: ReplacementFigures,
    pub spoils: SpoilFigures,
}

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

impl Carried {
    /// SHA-256 of its text. Two that say the same in another writing are not the same.
    pub fn hash(&self) -> Hash {
        Hash::of_file(&self.text())
    }

    /// As the line writes it.
    pub fn text(&self) -> Vec<u8> {
        let text = serde_json::to_vec(self);
        text.expect("texts, numbers and lists can be written")
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
        .chain(days.map(|(day, _)| Unsettled::Day(*day)))
        .collect()
}

/// What the state carries over to the lines behind a checkpoint.
///
/// # Errors
/// The first thing that is not settled.
pub fn carry(state: &State) -> Result<Carried, Unsettled> {
    if let Some(first) = unsettled(state).into_iter().next() {
        return Err(first);
    }
    // Named one by one: whoever adds to the state decides here what of it is carried over.
    let State {
        opened,
        people,
        retired,
        catalogue,
        rules,
        products,
        pools,
        lots,
        acceptances,
        cage,
        sessions,
        // Nothing is under way.
        session: _,
        abandoned,
        failed_keys,
        days,
        closed_days,
        last_day,
        // Lists are in the archive.
        handovers: _,
        healings: _,
        // The checkpoint is the last copy itself.
        last_copy: _,
        last_book_copy: _,
        archive,
    } = state;
    let opened = opened.as_ref().expect("it is settled, so it is open");
    let done = sessions.iter().map(|session| &session.record.session);
    let used = done.chain(abandoned.iter().map(|one| &one.log.session));
    let used = every(used, &archive.sessions);
    let (open, gone): (Vec<&Container>, Vec<_>) = cage
        .containers
        .values()
        .partition(|container| container.seal == Seal::Open);
    let gone = gone.into_iter().map(|container| &container.id);
    let carried = Carried {
        works: opened.works.clone(),
        book: opened.book,
        bench: opened.bench,
        practice: opened.practice,
        opened: opened.at.clone(),
        people: people.values().cloned().collect(),
        retired: retired.values().cloned().collect(),
        classes: (**catalogue).clone(),
        rules: (**rules).clone(),
        products: products.values().map(|product| defined(product)).collect(),
        series: pools.values().map(settled).collect(),
        lots: every_lot(state, lots, &archive.lots),
        containers: open.into_iter().map(open_container).collect(),
        used_containers: every(gone, &archive.containers),
        seals: cage.seals.clone(),
        sessions: used,
        begins_sessions: state.begins_sessions(),
        witnesses: last_witnesses(state),
        failed_keys: failed_keys.clone(),
        acceptances: every(acceptances.keys(), &archive.acceptances),
        standings: standings(state),
        days: compared(days),
        last_day: *last_day,
        closed_days: closed_days.clone(),
    };
    let bytes = carried.text().len();
    match bytes > CARRIED_MAX {
        true => Err(Unsettled::TooMuch {
            bytes: bytes as u64,
        }),
        false => Ok(carried),
    }
}

/// Names used here and in the archive.
fn every<'a, T: Copy + Ord + 'a>(
    here: impl Iterator<Item = &'a T>,
    archived: &'a BTreeSet<T>,
) -> Vec<T> {
    let names: BTreeSet<T> = here.chain(archived).copied().collect();
    names.into_iter().collect()
}

fn open_container(container: &Container) -> CarriedContainer {
    let place = container.place.as_ref();
    CarriedContainer {
        container: container.id,
        place: place.map(|(place, act)| CarriedPlace {
            place: place.clone(),
            seq: act.seq,
            by: act.by,
            at: act.at.clone(),
        }),
    }
}

fn last_witnesses(state: &State) -> Vec<Vec<PersonId>> {
    let mut last: Vec<Vec<PersonId>> = state
        .witnesses()
        .rev()
        .take(SESSIONS_CARRIED)
        .map(<[PersonId]>::to_vec)
        .collect();
    last.reverse();
    last
}

/// The standing of each product that has left its beginning.
fn standings(state: &State) -> BTreeMap<ProductId, Standing> {
    let products = state.products.keys();
    let standings = products.map(|product| (*product, state.standing(*product)));
    standings
        .filter(|(_, standing)| *standing != Standing::default())
        .collect()
}

fn defined(product: &Product) -> ProductDefined {
    ProductDefined {
        product: product.id,
        title: product.title.clone(),
        layout: product.layout.spec().clone(),
        finishing: product.finishing,
    }
}

fn settled(pool: &Pool) -> CarriedSeries {
    CarriedSeries {
        series: pool.series.spec().clone(),
        settled: Settled {
            inserted: pool.count(Fate::Inserted),
            spoiled: pool.count(Fate::Spoiled),
            returned: pool.count(Fate::Returned),
            by_day: last(&pool.by_day()),
        },
    }
}

/// The last days on which sheets were examined, and every day behind the first of them.
fn compared(days: &BTreeMap<Day, DayTotals>) -> BTreeMap<Day, DayTotals> {
    let examined = days.iter().filter(|(_, totals)| totals.all.examined() > 0);
    let first = examined.rev().nth(DAYS_CARRIED - 1).map(|(day, _)| *day);
    let kept = days.iter().filter(|(day, _)| Some(**day) >= first);
    kept.map(|(day, totals)| (*day, totals.clone())).collect()
}

/// The last days of a map.
fn last<T: Clone>(days: &BTreeMap<Day, T>) -> BTreeMap<Day, T> {
    let last = days.iter().rev().take(DAYS_CARRIED);
    last.map(|(day, value)| (*day, value.clone())).collect()
}

fn every_lot(
    state: &State,
    lots: &BTreeMap<LotId, Lot>,
    archived: &BTreeMap<LotId, ArchivedLot>,
) -> Vec<CarriedLot> {
    let before = archived.values().map(|lot| lot.carried.clone());
    let new = lots.values().map(|lot| closed(state, lot));
    let mut every: Vec<CarriedLot> = before.chain(new).collect();
    every.sort_by_key(|lot| lot.lot);
    every
}

fn closed(state: &State, lot: &Lot) -> CarriedLot {
    let account = lot_account(state, lot);
    CarriedLot {
        lot: lot.id,
        product: lot.product.id,
        opened: lot.seq,
        closed: lot.closed.expect("every lot is closed"),
        numbering: lot.numbering().map(|numbering| numbering.spec().clone()),
        sheets: account.sheet_figures,
        notes: account.note_figures,
        replacements: account.replacement_figures,
        spoils: account.spoil_figures,
    }
}
