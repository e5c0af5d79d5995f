//! A tag: one defect marked on one place of one side of a sheet.

use serde::{Deserialize, Serialize};

use crate::sheet::{Layout, Position, Side};

use super::catalogue::{Catalogue, Class, ClassCode, Scope};

/// Longest remark, in characters.
pub const REMARK_MAX: usize = 120;

/// Where a tag sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spot {
    WholeSheet,
    Note(Position),
}

/// Who saw the defect.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Source {
    /// The inspector.
    Eye,
    /// The machine-inspection file.
    Machine,
}

/// One defect on a sheet, its place resolved against the layout.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tag {
    pub spot: Spot,
    pub side: Side,
    pub class: ClassCode,
    pub source: Source,
    pub remark: Option<String>,
}

/// A tag as the book writes it: the position by its name, absent for the whole sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WrittenTag {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    pub side: Side,
    pub class: ClassCode,
    pub source: Source,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// Why a tag cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TagError {
    #[error("Position \"{0}\" is not on this sheet. Use a name printed on the grid.")]
    UnknownPosition(String),
    #[error("Class {0} is not in the catalogue. Use a code from the list of classes.")]
    UnknownClass(ClassCode),
    #[error("Class {0} is about the whole sheet and takes no position. Leave the position empty.")]
    SheetClassWithPosition(ClassCode),
    #[error("Class {0} is about a note and needs a position. Name the position.")]
    NoteClassWithoutPosition(ClassCode),
    #[error("The remark is longer than {REMARK_MAX} characters. Shorten it.")]
    RemarkTooLong,
}

impl Tag {
    /// The same defect, whoever saw it and whatever was remarked.
    pub fn same_defect(&self, other: &Tag) -> bool {
        (self.spot, self.side, self.class) == (other.spot, other.side, other.class)
    }

    /// The tag as the book writes it.
    pub fn written(&self, layout: &Layout) -> WrittenTag {
        WrittenTag {
            at: match self.spot {
                Spot::WholeSheet => None,
                Spot::Note(position) => Some(layout.name(position).to_owned()),
            },
            side: self.side,
            class: self.class,
            source: self.source,
            remark: self.remark.clone(),
        }
    }
}

impl WrittenTag {
    /// Resolves the place and checks the class against the catalogue.
    ///
    /// # Errors
    /// A position or class that does not exist, a class of the wrong scope, an over-long remark.
    pub fn resolve(&self, layout: &Layout, catalogue: &Catalogue) -> Result<Tag, TagError> {
        let class = catalogue
            .get(self.class)
            .ok_or(TagError::UnknownClass(self.class))?;
        if self
            .remark
            .as_ref()
            .is_some_and(|text| text.chars().count() > REMARK_MAX)
        {
            return Err(TagError::RemarkTooLong);
        }
        Ok(Tag {
            spot: resolve_spot(class, self.at.as_deref(), layout)?,
            side: self.side,
            class: self.class,
            source: self.source,
            remark: self.remark.clone(),
        })
    }
}

fn resolve_spot(class: &Class, at: Option<&str>, layout: &Layout) -> Result<Spot, TagError> {
    match (class.scope, at) {
        (Scope::Sheet, None) => Ok(Spot::WholeSheet),
        (Scope::Sheet, Some(_)) => Err(TagError::SheetClassWithPosition(class.code)),
        (Scope::Note, None) => Err(TagError::NoteClassWithoutPosition(class.code)),
        (Scope::Note, Some(name)) => {
            let position = layout
                .find(name)
                .ok_or_else(|| TagError::UnknownPosition(name.to_owned()))?;
            Ok(Spot::Note(position))
        }
    }
}
