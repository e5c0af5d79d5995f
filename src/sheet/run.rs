use serde::{Deserialize, Serialize};

use super::comb::Comb;

/// Whether numbers rise or fall along the run.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    #[default]
    Up,
    Down,
}

/// What follows a number: the same place on the next sheet, or the next place on the same sheet.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Arrangement {
    /// Position rank `p` of the run's sheet `k` (from 0) has `first ± (p·stride + k)`: a cut
    /// stack gives packs of consecutive serials.
    #[default]
    DownStack,
    /// It has `first ± (k·stride + p)`: a sheet holds consecutive serials.
    AcrossSheet,
}

/// One numbering run: a block of sheets numbered by one rule.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    pub sheets: u32,
    /// The number of position rank 0 on the run's first sheet.
    pub first: u64,
    /// From one position to the next (down the stack) or from one sheet to the next (across the
    /// sheet). At least the sheets of the run, or the notes of a sheet.
    pub stride: u64,
    #[serde(default)]
    pub direction: Direction,
    #[serde(default)]
    pub arrangement: Arrangement,
}

impl Run {
    /// Down the stack, upwards, without gaps.
    pub fn down_stack(sheets: u32, first: u64) -> Self {
        let (direction, arrangement) = (Direction::Up, Arrangement::DownStack);
        Self {
            sheets,
            first,
            stride: sheets.into(),
            direction,
            arrangement,
        }
    }

    /// Across the sheet, upwards, without gaps, for sheets of `notes` notes.
    pub fn across_sheet(sheets: u32, first: u64, notes: u16) -> Self {
        let (direction, arrangement) = (Direction::Up, Arrangement::AcrossSheet);
        Self {
            sheets,
            first,
            stride: notes.into(),
            direction,
            arrangement,
        }
    }

    /// The least stride at which no two notes share a number.
    pub(super) fn least_stride(&self, notes: u16) -> u64 {
        match self.arrangement {
            Arrangement::DownStack => self.sheets.into(),
            Arrangement::AcrossSheet => notes.into(),
        }
    }

    /// How far the last number is from the first. Wide, so that an absurd stride is still told
    /// by its true size.
    pub(super) fn reach(&self, notes: u16) -> u128 {
        let (blocks, length) = self.blocks(notes);
        u128::from(blocks - 1) * u128::from(self.stride) + u128::from(length - 1)
    }

    /// Blocks of consecutive numbers, and the length of each.
    fn blocks(&self, notes: u16) -> (u64, u64) {
        match self.arrangement {
            Arrangement::DownStack => (notes.into(), self.sheets.into()),
            Arrangement::AcrossSheet => (self.sheets.into(), notes.into()),
        }
    }

    /// The number of a note; `sheet` counted from 0 in the run, both within a checked run.
    pub(super) fn number(&self, sheet: u32, rank: u16) -> u64 {
        let offset = match self.arrangement {
            Arrangement::DownStack => u64::from(rank) * self.stride + u64::from(sheet),
            Arrangement::AcrossSheet => u64::from(sheet) * self.stride + u64::from(rank),
        };
        match self.direction {
            Direction::Up => self.first + offset,
            Direction::Down => self.first - offset,
        }
    }

    /// The exact inverse of [`Run::number`].
    pub(super) fn locate(&self, number: u64, notes: u16) -> Option<(u32, u16)> {
        let offset = match self.direction {
            Direction::Up => number.checked_sub(self.first)?,
            Direction::Down => self.first.checked_sub(number)?,
        };
        let (block, place) = (offset / self.stride, offset % self.stride);
        let (sheet, rank) = match self.arrangement {
            Arrangement::DownStack => (place, block),
            Arrangement::AcrossSheet => (block, place),
        };
        let inside = sheet < u64::from(self.sheets) && rank < u64::from(notes);
        inside.then_some((sheet as u32, rank as u16))
    }

    /// The numbers of a checked run.
    pub(super) fn comb(&self, notes: u16) -> Comb {
        let (blocks, length) = self.blocks(notes);
        let reach = (blocks - 1) * self.stride + length - 1;
        let low = match self.direction {
            Direction::Up => self.first,
            Direction::Down => self.first - reach,
        };
        Comb::new(low, length, self.stride, blocks)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comb_is_the_numbers_of_its_run() {
        for direction in [Direction::Up, Direction::Down] {
            for arrangement in [Arrangement::DownStack, Arrangement::AcrossSheet] {
                for stride in [5, 7] {
                    let run = Run {
                        sheets: 3,
                        first: 100,
                        stride,
                        direction,
                        arrangement,
                    };
                    let mut made: Vec<u64> = (0..3)
                        .flat_map(|sheet| (0..5).map(move |rank| run.number(sheet, rank)))
                        .collect();
                    made.sort();
                    let comb = run.comb(5).intervals().flat_map(|(from, to)| from..=to);
                    assert_eq!(made, comb.collect::<Vec<_>>(), "{run:?}");
                }
            }
        }
    }
}
