//! What the press is doing wrong right now: tags that come sheet after sheet.

use crate::book::{Lot, Mark, Press, family};
use crate::inspect::{Spot, Tag};
use crate::quality::Probability;
use crate::sheet::{Position, SheetNo};

/// A tag that was on the sheets just before this one as well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    pub position: Position,
    pub mark: Mark,
    /// Sheets in a row, this one included.
    pub length: u64,
    /// The exact chance of such a run anywhere in the lot so far.
    pub chance: Probability,
}

/// Longest run that is counted back.
pub const LOOK_BACK: u64 = 500;
/// Chance of a false alarm, over everything that could have run.
const LIMIT: Probability = Probability::ONE_IN_TWENTY;
/// Runs whose chance is worked out, the longest ones.
const TOLD: usize = 3;

/// The tags of the sheet on the bench that have run longer than chance would let them, the least
/// likely first.
///
/// A run is told when its chance, times all the positions and classes in which one could have
/// shown, is at most 1 in 20.
pub fn running(press: &Press, lot: &Lot, sheet: SheetNo, tags: &[Tag]) -> Vec<Running> {
    let mut long: Vec<(Position, Mark, u64)> = tags
        .iter()
        .filter_map(|tag| Some((note(tag)?, mark(tag), length(lot, sheet, tag))))
        .filter(|(_, _, length)| *length > 1)
        .collect();
    long.sort_by_key(|(_, _, length)| std::cmp::Reverse(*length));
    let mut runs: Vec<Running> = long
        .into_iter()
        .take(TOLD)
        .map(|(position, mark, length)| Running {
            position,
            mark,
            length,
            chance: press.chance(lot, position, mark, length),
        })
        .filter(|run| run.chance.get() * family(lot).size() as f64 <= LIMIT.get())
        .collect();
    runs.sort_by(|a, b| a.chance.get().total_cmp(&b.chance.get()));
    runs
}

fn note(tag: &Tag) -> Option<Position> {
    match tag.spot {
        Spot::Note(position) => Some(position),
        Spot::WholeSheet => None,
    }
}

fn mark(tag: &Tag) -> Mark {
    Mark {
        class: tag.class,
        side: tag.side,
    }
}

/// Sheets in a row up to this one with the same defect, over examined sheets.
fn length(lot: &Lot, sheet: SheetNo, tag: &Tag) -> u64 {
    let before = (0..sheet.index())
        .rev()
        .take(LOOK_BACK as usize - 1)
        .map(SheetNo::from_index);
    let examined = before.filter_map(|sheet| lot.sheet(sheet)?.exam.as_deref());
    1 + examined
        .take_while(|exam| exam.tags.iter().any(|other| other.same_defect(tag)))
        .count() as u64
}
