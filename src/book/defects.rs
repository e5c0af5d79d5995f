//! What the limit of the rules decides, and what another one would.

use crate::inspect::Reason;

use super::lot::Lot;

/// Sheets of a lot by their defective notes, as far as the count decides: what another limit
/// would do can be read off it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DefectCounts {
    /// The n-th is how many sheets have n defective notes.
    pub sheets: Vec<u64>,
    /// Sheets that a whole-sheet class spoils, whatever their count.
    pub whole_sheet: u64,
}

impl DefectCounts {
    /// By the rules' own reading of the tags, whatever was overruled.
    pub fn of(lot: &Lot) -> Self {
        let mut counts = Self {
            sheets: vec![0; usize::from(lot.notes()) + 1],
            whole_sheet: 0,
        };
        for (_, exam) in lot.examined() {
            match exam.ruling.by_rules() {
                (_, Reason::WholeSheet { .. }) => counts.whole_sheet += 1,
                _ => counts.sheets[usize::from(exam.ruling.defective.len())] += 1,
            }
        }
        counts
    }

    /// Mixed and spoiled sheets (by count alone) if sheets were spoiled at `limit`, 1 or more.
    pub fn split(&self, limit: u16) -> (u64, u64) {
        let (mixed, spoiled) = self.sheets[1..].split_at(usize::from(limit) - 1);
        (mixed.iter().sum(), spoiled.iter().sum())
    }
}
