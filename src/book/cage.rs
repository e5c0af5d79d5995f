//! The store of spoils: every piece in exactly one place, and how it came there.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::custody::{Container, ContainerId, Item, SealNumber, SessionId};
use crate::people::{PersonId, Stamp};
use crate::sheet::LotId;

/// Where a spoil is. It is in exactly one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    Loose,
    In(ContainerId),
    /// Declared to lie in that container and not found there. It is a difference of the account
    /// until it is found, or declared lost.
    Missing(ContainerId),
    /// Declared lost by two, in that entry.
    Lost(u64),
    Destroyed(SessionId),
}

/// The entry that brought a spoil to where it is, or was when it was destroyed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Came {
    pub seq: u64,
    /// Shared by everything that the entry brought there.
    pub at: Rc<Stamp>,
}

impl Came {
    pub(super) fn new(seq: u64, at: &Stamp) -> Self {
        let at = Rc::new(at.clone());
        Self { seq, at }
    }
}

/// Spoils declared lost by two. It stays on record even when one of them is found after all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loss {
    pub seq: u64,
    pub by: PersonId,
    pub second: PersonId,
    pub at: Stamp,
    pub reason: String,
    pub items: Vec<Item>,
}

/// The store of spoils.
#[derive(Clone, Debug, Default)]
pub struct Cage {
    pub containers: BTreeMap<ContainerId, Container>,
    /// Every spoil ever made, and where it is. Grows by `add`, shrinks by `take_back`, and moves
    /// by `put`, which keep the other lists in step.
    pub spoils: BTreeMap<Item, Place>,
    pub(super) came: BTreeMap<Item, Came>,
    /// The same spoils by the lot they belong to; a replacement note belongs to the lot it was
    /// drawn for. Kept because a serial alone does not say its lot.
    pub(super) of_lot: BTreeMap<LotId, BTreeSet<Item>>,
    /// Every seal number ever used.
    pub seals: BTreeMap<SealNumber, ContainerId>,
    /// Every loss ever declared, oldest first.
    pub losses: Vec<Loss>,
}

impl Cage {
    /// A new spoil of a lot, loose.
    pub(super) fn add(&mut self, lot: LotId, item: Item, came: Came) {
        self.spoils.insert(item, Place::Loose);
        self.came.insert(item, came);
        self.of_lot.entry(lot).or_default().insert(item);
    }

    /// What was ruled spoiled is no spoil after all.
    pub(super) fn take_back(&mut self, lot: LotId, item: &Item) {
        self.spoils.remove(item);
        self.came.remove(item);
        if let Some(items) = self.of_lot.get_mut(&lot) {
            items.remove(item);
        }
    }

    /// Brings a spoil from wherever it is to another place.
    pub(super) fn put(&mut self, item: Item, to: Place, came: &Came) {
        if let Some(Place::In(from)) = self.spoils.insert(item, to)
            && let Some(container) = self.containers.get_mut(&from)
        {
            container.items.remove(&item);
        }
        if let Place::In(into) = to
            && let Some(container) = self.containers.get_mut(&into)
        {
            container.items.insert(item);
        }
        self.came.insert(item, came.clone());
    }

    /// The entry that brought a spoil to where it is, or was when it was destroyed.
    pub fn came(&self, item: &Item) -> Option<&Came> {
        self.came.get(item)
    }

    /// Every spoil that is missing, with the container it should lie in.
    pub fn missing(&self) -> impl Iterator<Item = (&Item, ContainerId)> {
        self.spoils.iter().filter_map(|(item, place)| match place {
            Place::Missing(container) => Some((item, *container)),
            _ => None,
        })
    }

    /// The loss that this entry declared.
    pub fn loss(&self, seq: u64) -> Option<&Loss> {
        self.losses.iter().find(|loss| loss.seq == seq)
    }
}
