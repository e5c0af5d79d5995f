//! Containers of the cage, their seals and what they hold.

use std::collections::BTreeSet;

use crate::people::{PersonId, Stamp};
use crate::sheet::name_id;

use super::item::Item;
use super::mass::Mass;
use super::scale::ScaleId;

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

/// Who sealed a container, when, with what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealing {
    pub number: SealNumber,
    pub by: PersonId,
    pub second: PersonId,
    pub at: Stamp,
    /// Gross mass when sealed, if it was weighed.
    pub gross: Option<Mass>,
    /// Mass of the empty container, if that was weighed too.
    pub tare: Option<Mass>,
    /// The registered scale that was read.
    pub scale: Option<ScaleId>,
}

/// The state of a container. It only ever moves forward.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seal {
    Open,
    Sealed(Sealing),
    /// Destroyed with its contents in the session of that name.
    Destroyed {
        sealing: Sealing,
        session: super::SessionId,
    },
}

/// How much a container holds, by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Contents {
    pub sheets: u32,
    pub notes: u32,
}

/// One container and what lies in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Container {
    pub id: ContainerId,
    pub seal: Seal,
    pub items: BTreeSet<Item>,
}

impl Container {
    /// An empty open container.
    pub fn new(id: ContainerId) -> Self {
        Self {
            id,
            seal: Seal::Open,
            items: BTreeSet::new(),
        }
    }

    /// Counts by kind; replacement notes count as notes.
    pub fn contents(&self) -> Contents {
        let sheets = self
            .items
            .iter()
            .filter(|item| matches!(item, Item::Sheet(..)))
            .count() as u32;
        Contents {
            sheets,
            notes: self.items.len() as u32 - sheets,
        }
    }

    /// The sealing, when sealed or destroyed.
    pub fn sealing(&self) -> Option<&Sealing> {
        match &self.seal {
            Seal::Open => None,
            Seal::Sealed(sealing) | Seal::Destroyed { sealing, .. } => Some(sealing),
        }
    }
}
