//! Containers of the cage: what they hold, where they stand, and the whole story of their seals.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::people::{Day, PersonId, Stamp};
use crate::sheet::name_id;

use super::hold::Hold;
use super::item::Item;
use super::mass::Mass;
use super::scale::ScaleId;
use super::spot::CagePlace;

name_id!(
    ContainerId,
    "container number",
    "The number painted on a container."
);
name_id!(
    SealNumber,
    "seal number",
    "The number on a seal. Used once, never again."
);

/// Who did something to a container, when, in which entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Act {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
}

/// What a gross mass goes with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TareAndScale {
    /// Mass of the empty container in milligrams, if that was weighed too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tare: Option<Mass>,
    /// The registered scale that was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleId>,
}

/// Who sealed a container, when, with what: as corrected last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealing {
    /// The entry of the sealing.
    pub seq: u64,
    pub number: SealNumber,
    pub by: PersonId,
    pub second: PersonId,
    pub at: Stamp,
    /// Gross mass when sealed, if it was weighed.
    pub gross: Option<Mass>,
    /// Nothing in it without the gross mass.
    pub weighed: TareAndScale,
    /// What was written otherwise before, oldest first.
    pub corrections: Vec<SealingCorrection>,
}

impl Sealing {
    /// The entry that has the last word on the facts of the sealing.
    pub fn last_word(&self) -> u64 {
        self.corrections.last().map_or(self.seq, |one| one.act.seq)
    }
}

/// One correction of a sealing: what stood there before, and why it was wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealingCorrection {
    pub number_was: SealNumber,
    pub gross_was: Option<Mass>,
    pub weighed_was: TareAndScale,
    pub act: Act,
    pub second: PersonId,
    pub reason: String,
}

/// The state of a container.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seal {
    Open,
    Sealed(Sealing),
    /// Its seal or its count is in doubt. Nothing goes in, out or away before it is counted again
    /// by two, explained, and sealed anew.
    Held(Sealing, Hold),
    /// Destroyed with its contents in the session of that name.
    Destroyed {
        sealing: Sealing,
        session: super::SessionId,
    },
    /// Empty, and taken out of use on that production day: its number is not used again.
    Retired {
        act: Act,
        day: Day,
        reason: String,
    },
}

/// How much a container holds, by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Contents {
    pub sheets: u32,
    pub notes: u32,
}

impl Contents {
    /// Counts by kind; replacement notes count as notes.
    pub fn of<'a>(items: impl IntoIterator<Item = &'a Item>) -> Self {
        let mut contents = Self::default();
        for item in items {
            match item {
                Item::Sheet(..) => contents.sheets += 1,
                Item::Note(_) | Item::Replacement(_) => contents.notes += 1,
            }
        }
        contents
    }
}

/// One container and what lies in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Container {
    pub id: ContainerId,
    pub seal: Seal,
    pub items: BTreeSet<Item>,
    /// Where it stands, and who put it there; nothing when it was never said.
    pub place: Option<(CagePlace, Act)>,
    /// The last time that its seal was found as it should be.
    pub checked: Option<Act>,
    /// Seals it had before, each with why it was held and how that was explained.
    pub past: Vec<(Sealing, Hold)>,
}

impl Container {
    /// An empty open container.
    pub fn new(id: ContainerId) -> Self {
        Self {
            id,
            seal: Seal::Open,
            items: BTreeSet::new(),
            place: None,
            checked: None,
            past: Vec::new(),
        }
    }

    /// Counts by kind; replacement notes count as notes.
    pub fn contents(&self) -> Contents {
        Contents::of(&self.items)
    }

    /// The sealing in force, when it is sealed, held or destroyed.
    pub fn sealing(&self) -> Option<&Sealing> {
        match &self.seal {
            Seal::Open | Seal::Retired { .. } => None,
            Seal::Sealed(sealing) | Seal::Held(sealing, _) | Seal::Destroyed { sealing, .. } => {
                Some(sealing)
            }
        }
    }

    /// Every sealing it ever had, the last one last.
    pub fn sealings(&self) -> impl Iterator<Item = &Sealing> {
        let past = self.past.iter().map(|(sealing, _)| sealing);
        past.chain(self.sealing())
    }

    /// Why it is held, while it is.
    pub fn hold(&self) -> Option<&Hold> {
        match &self.seal {
            Seal::Held(_, hold) => Some(hold),
            _ => None,
        }
    }

    /// Everyone who counted it again after a hold, as first or second person.
    pub fn recounters(&self) -> impl Iterator<Item = PersonId> {
        let holds = self.past.iter().map(|(_, hold)| hold).chain(self.hold());
        let recounts = holds.flat_map(|hold| &hold.recounts);
        recounts.flat_map(|recount| [recount.act.by, recount.second])
    }

    /// Whether it was destroyed or taken out of use.
    pub fn is_gone(&self) -> bool {
        matches!(self.seal, Seal::Destroyed { .. } | Seal::Retired { .. })
    }

    /// One word for its state.
    pub fn state_name(&self) -> &'static str {
        match self.seal {
            Seal::Open => "open",
            Seal::Sealed(_) => "sealed",
            Seal::Held(..) => "held",
            Seal::Destroyed { .. } => "destroyed",
            Seal::Retired { .. } => "retired",
        }
    }
}
