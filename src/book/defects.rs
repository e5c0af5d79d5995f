//! What the limit of the rules decides, and what another one would.

use crate::inspect::{Costs, Reason};

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

    /// Notes to replace at this limit: the defective ones of mixed sheets, all of spoiled ones,
    /// those of whole-sheet classes left out.
    pub fn lost(&self, limit: u16) -> u64 {
        let notes = self.sheets.len() as u64 - 1;
        let (_, spoiled) = self.split(limit);
        let mixed = (0..).zip(&self.sheets).take(usize::from(limit));
        mixed
            .map(|(defective, sheets): (u64, _)| defective * sheets)
            .sum::<u64>()
            + notes * spoiled
    }

    /// What these sheets cost at this limit, in the unit of the costs.
    pub fn cost(&self, limit: u16, costs: &Costs) -> u64 {
        let notes = self.sheets.len() as u16 - 1;
        let (_, spoiled) = self.split(limit);
        let mixed = (0..).zip(&self.sheets).take(usize::from(limit)).skip(1);
        let kept: u64 = mixed
            .map(|(defective, sheets)| costs.salvage(defective) * sheets)
            .sum();
        kept + costs.scrapping(notes) * spoiled
    }
}
