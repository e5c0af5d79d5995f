//! A checkpoint: closed days leave the browser, and the book goes on from what is carried over.
//!
//! The line is an ordinary one of the chain. It says which lines before it are in the archive, and
//! all that the lines after it need of them. Whoever has those lines checks that it follows from
//! them; whoever has not, begins to read at this line. Either way the state behind it is made from
//! what is carried over and from nothing else, so that both come to the same.

use std::collections::BTreeMap;
use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::account::{DayTotals, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures};
use crate::custody::{CagePlace, ContainerId, Paper, Scale, SealNumber, SessionId};
use crate::inspect::{Catalogue, Rules};
use crate::people::{Day, Person, PersonId, Stamp};
use crate::quality::sampling::Standing;
use crate::sheet::{AcceptanceId, LotId, NumberingSpec, ProductId, SeriesSpec, pairs};

use super::entry::{MeasureTarget, ProductDefined};
use super::hash::Hash;
use super::line::BenchId;
use super::pool::Settled;
use super::state::DayClosing;

mod back;
mod carry;
mod unsettled;

pub use carry::carry;
pub use unsettled::{Unsettled, unsettled};

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
    pub scales: Vec<Scale>,
    /// What is known of each product's paper.
    #[serde(with = "pairs")]
    pub papers: BTreeMap<ProductId, Paper>,
    /// What each quantity of a product should be; absent in older lines.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tolerances: Vec<MeasureTarget>,
    /// Every receipt for residue.
    pub receipts: Vec<CarriedReceipt>,
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

/// A receipt for residue: it cannot be used again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedReceipt {
    pub destination: String,
    pub receipt: String,
    pub entry: u64,
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
