//! What the press is doing wrong right now: tags that come sheet after sheet.

use crate::book::Lot;
use crate::inspect::{ClassCode, Spot, Tag};
use crate::quality::Probability;
use crate::quality::repeat::alarm_length;
use crate::sheet::{Position, SheetNo};

/// A tag that was on the sheets just before this one as well.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Running {
    pub position: Position,
    pub class: ClassCode,
    /// Sheets in a row, this one included.
    pub length: u64,
}

/// Sheets over which a run must be a surprise: about what one bench examines in a shift.
const SHIFT_SHEETS: u64 = 2000;
/// Longest look back.
const LOOK_BACK: u32 = 500;

/// The tags of the sheet on the bench that have run longer than chance would let them.
///
/// A run is told when its chance within a shift is below 1 in 1000, were every mark independent
/// and as frequent as the class is in this lot.
pub fn running(lot: &Lot, sheet: SheetNo, tags: &[Tag]) -> Vec<Running> {
    let runs = tags.iter().filter_map(|tag| match tag.spot {
        Spot::Note(position) => Some(Running {
            position,
            class: tag.class,
            length: length(lot, sheet, tag),
        }),
        Spot::WholeSheet => None,
    });
    let long: Vec<Running> = runs.filter(|run| run.length > 2).collect();
    long.into_iter()
        .filter(|run| run.length >= alarm(lot, run.class))
        .collect()
}

/// Sheets in a row up to this one with the same defect, over examined sheets.
fn length(lot: &Lot, sheet: SheetNo, tag: &Tag) -> u64 {
    let before = (0..sheet.index())
        .rev()
        .take(LOOK_BACK as usize)
        .map(SheetNo::from_index);
    let examined = before.filter_map(|sheet| lot.sheet(sheet)?.exam.as_deref());
    1 + examined
        .take_while(|exam| exam.tags.iter().any(|other| other.same_defect(tag)))
        .count() as u64
}

fn alarm(lot: &Lot, class: ClassCode) -> u64 {
    let marks = lot
        .not_good()
        .flat_map(|(_, exam)| &exam.tags)
        .filter(|tag| tag.class == class)
        .count();
    let places = lot.tally.examined() as f64 * f64::from(lot.notes());
    // Laplace's rule of succession keeps the rate off 0 while little is known.
    let rate = (marks as f64 + 1.0) / (places + 2.0);
    let probability = |p: f64| Probability::new("rate", p).unwrap_or(Probability::ONE);
    alarm_length(SHIFT_SHEETS, probability(rate), probability(0.001))
}
