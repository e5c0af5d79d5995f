//! What differed at the numbering press: sheets lost there, and sheets added.

use std::collections::BTreeMap;
use std::fmt;

use crate::inspect::Verdict;
use crate::people::{PersonId, Stamp};
use crate::sheet::{PressOrder, SheetNo, grouped};

use super::super::refusal::Refusal;
use super::Lot;

/// One difference as it was recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct PressRecord {
    pub seq: u64,
    pub by: PersonId,
    pub second: PersonId,
    pub at: Stamp,
    pub what: Differed,
    pub reason: String,
}

/// What differed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Differed {
    Lost(SheetNo),
    /// Sheets `first` to `last` came in right behind `after`, or before the first.
    Added {
        after: Option<SheetNo>,
        first: SheetNo,
        last: SheetNo,
    },
}

impl fmt::Display for Differed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |sheet: SheetNo| grouped(sheet.number().into());
        match *self {
            Differed::Lost(sheet) => write!(f, "sheet {} lost", shown(sheet)),
            Differed::Added { after, first, last } => {
                match first == last {
                    true => write!(f, "sheet {} added ", shown(first))?,
                    false => write!(f, "sheets {} to {} added ", shown(first), shown(last))?,
                }
                match after {
                    Some(after) => write!(f, "right behind sheet {}", shown(after)),
                    None => f.write_str("before the first sheet"),
                }
            }
        }
    }
}

/// All differences of one lot.
#[derive(Clone, Debug, Default)]
pub struct AtPress {
    pub records: Vec<PressRecord>,
    /// Sheets lost, each with the entry that says so.
    pub lost: BTreeMap<SheetNo, u64>,
    /// Sheets added; they have the last sheet numbers.
    pub added: u32,
}

/// Why a sheet is not in the press order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gone {
    /// Ruled spoiled, and so not numbered.
    BeforeNumbering,
    /// By this entry.
    LostAtPress { seq: u64 },
}

impl fmt::Display for Gone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Gone::BeforeNumbering => f.write_str("left before numbering"),
            Gone::LostAtPress { seq } => write!(f, "lost at the press, entry {seq}"),
        }
    }
}

impl Lot {
    /// Sheets received; those added at the press come on top.
    pub fn received(&self) -> u32 {
        self.len() - self.press.added
    }

    /// The sheets that a numbering would number: those of the press order that are not spoiled.
    pub fn survivors(&self) -> PressOrder {
        let spoiled = |sheet| self.verdict(sheet) == Some(Verdict::Spoiled);
        self.press_order().without(spoiled)
    }

    /// The sheets to number now.
    ///
    /// # Errors
    /// Why the lot cannot be numbered yet, or not any more.
    pub fn to_number(&self) -> Result<PressOrder, Refusal> {
        let (lot, sheets) = (self.id, self.not_examined());
        if self.is_numbered() {
            return Err(Refusal::NumberedBefore(lot));
        }
        if sheets > 0 {
            return Err(Refusal::NumberedTooSoon { lot, sheets });
        }
        let order = self.survivors();
        match order.is_empty() {
            true => Err(Refusal::NothingToNumber(lot)),
            false => Ok(order),
        }
    }

    /// Why a sheet of this lot takes no serial; nothing while it does or will.
    pub fn gone(&self, sheet: SheetNo) -> Option<Gone> {
        if let Some(seq) = self.press.lost.get(&sheet) {
            return Some(Gone::LostAtPress { seq: *seq });
        }
        let off = self.sheet(sheet).is_some() && self.press_order().place_of(sheet).is_none();
        off.then_some(Gone::BeforeNumbering)
    }

    /// The verdict of a sheet, once it is examined.
    pub fn verdict(&self, sheet: SheetNo) -> Option<Verdict> {
        let exam = self.sheet(sheet)?.exam.as_ref()?;
        Some(exam.ruling.verdict)
    }

    /// How many sheets with this verdict were lost at the press.
    pub fn lost_at_press(&self, verdict: Verdict) -> u64 {
        let lost = self.press.lost.keys();
        lost.filter(|sheet| self.verdict(**sheet) == Some(verdict))
            .count() as u64
    }
}
