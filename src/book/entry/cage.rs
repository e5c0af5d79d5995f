//! What a line can say of the cage: containers from opening to retirement, their seals, and
//! spoils that are missing or lost.

use serde::{Deserialize, Serialize};

use crate::custody::{CagePlace, ContainerId, Item, Mass, ScaleId, SealNumber, TareAndScale};
use crate::people::PersonId;
use crate::sheet::{LotId, Printed, Replacement, Serial, SheetNo};

/// Spoils by kind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pieces {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sheets: Vec<(LotId, SheetNo)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Serial<Printed>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replacements: Vec<Serial<Replacement>>,
}

impl Pieces {
    pub fn is_empty(&self) -> bool {
        self.sheets.is_empty() && self.notes.is_empty() && self.replacements.is_empty()
    }

    /// Every piece, sheets first.
    pub fn items(&self) -> Vec<Item> {
        let sheets = self.sheets.iter();
        let sheets = sheets.map(|(lot, sheet)| Item::Sheet(*lot, *sheet));
        let notes = self.notes.iter().copied().map(Item::Note);
        let replacements = self.replacements.iter().copied().map(Item::Replacement);
        sheets.chain(notes).chain(replacements).collect()
    }
}

impl FromIterator<Item> for Pieces {
    fn from_iter<I: IntoIterator<Item = Item>>(items: I) -> Self {
        let mut pieces = Self::default();
        for item in items {
            match item {
                Item::Sheet(lot, sheet) => pieces.sheets.push((lot, sheet)),
                Item::Note(serial) => pieces.notes.push(serial),
                Item::Replacement(serial) => pieces.replacements.push(serial),
            }
        }
        pieces
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerOpened {
    pub container: ContainerId,
    /// Where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<CagePlace>,
}

/// Loose spoils put into an open container.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerFilled {
    pub container: ContainerId,
    pub sheets: Vec<(LotId, SheetNo)>,
    pub notes: Vec<Serial<Printed>>,
    pub replacements: Vec<Serial<Replacement>>,
}

impl ContainerFilled {
    pub fn new(container: ContainerId, pieces: Pieces) -> Self {
        Self {
            container,
            sheets: pieces.sheets,
            notes: pieces.notes,
            replacements: pieces.replacements,
        }
    }

    pub fn pieces(&self) -> Pieces {
        Pieces {
            sheets: self.sheets.clone(),
            notes: self.notes.clone(),
            replacements: self.replacements.clone(),
        }
    }
}

/// A container sealed by the line's author and a second person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerSealed {
    pub container: ContainerId,
    pub seal: SealNumber,
    pub second: PersonId,
    /// Gross mass in milligrams, if weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Mass>,
    /// Mass of the empty container in milligrams; only with `gross`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tare: Option<Mass>,
    /// The scale it was read from; only with `gross`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleId>,
}

/// A container stands elsewhere from now on. One person may move it: its seal tells whether it was
/// opened on the way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerMoved {
    pub container: ContainerId,
    pub place: CagePlace,
}

/// An empty container is taken out of use. Its number is not used again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerRetired {
    pub container: ContainerId,
    pub reason: String,
}

/// A seal was looked at. Unless it is whole and has the right number, this line puts the container
/// on hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealChecked {
    pub container: ContainerId,
    /// The number found; absent when there was no seal, or a broken one that cannot be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<SealNumber>,
    /// The seal found was broken.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub broken: bool,
}

/// A sealed container is put on hold for something other than its seal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerHeld {
    pub container: ContainerId,
    pub reason: String,
}

/// A held container counted again and explained by the line's author and a second person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerRecounted {
    pub container: ContainerId,
    /// Whole sheets counted, and notes with replacement notes: what is declared, less what is
    /// missing, with what was found besides.
    pub sheets: u32,
    pub notes: u32,
    #[serde(default, skip_serializing_if = "Pieces::is_empty")]
    pub missing: Pieces,
    /// In it, though the book had them as missing or loose.
    #[serde(default, skip_serializing_if = "Pieces::is_empty")]
    pub found: Pieces,
    pub explanation: String,
    pub second: PersonId,
}

/// A held container, counted and explained, is sealed anew by the line's author and a second
/// person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContainerResealed {
    pub container: ContainerId,
    pub seal: SealNumber,
    pub second: PersonId,
    /// Gross mass in milligrams, if weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Mass>,
    /// Mass of the empty container in milligrams; only with `gross`. Lines written before
    /// 2026-12-01 have none, and no scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tare: Option<Mass>,
    /// The scale it was read from; only with `gross`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleId>,
}

/// Pieces that went into the wrong open container are taken out again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FillingCorrected {
    /// The container they are in.
    pub container: ContainerId,
    /// The open container they go to; absent when they are loose again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<ContainerId>,
    pub pieces: Pieces,
    /// The entry that put them in.
    pub corrects: u64,
    pub reason: String,
}

/// What was written amiss when a container was sealed, put right by the line's author and a second
/// person. Every fact stands as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealingCorrected {
    pub container: ContainerId,
    /// The entry with the last word on the sealing: itself, or a correction of it.
    pub corrects: u64,
    pub seal: SealNumber,
    /// Gross mass in milligrams; absent when it was not weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Mass>,
    /// Tare and scale, when one of them is corrected; only with `gross`. Absent, both stay, as in
    /// every line written before 2026-12-01.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weighed: Option<TareAndScale>,
    pub reason: String,
    pub second: PersonId,
}

/// Missing or loose spoils that are given up, by a supervisor and a second person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpoilsLost {
    pub pieces: Pieces,
    pub reason: String,
    pub second: PersonId,
}

/// Spoils that were missing, or declared lost, turned up: they are loose now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpoilsFound {
    pub pieces: Pieces,
    /// Where and how.
    pub remark: String,
}
