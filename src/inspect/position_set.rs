//! A set of note positions of one sheet, small enough to copy.

use crate::sheet::{Layout, Position};

const WORDS: usize = 7; // 7 × 64 bits hold the 20 × 20 = 400 positions of the largest sheet

/// A set of positions of one sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PositionSet([u64; WORDS]);

impl PositionSet {
    /// Adds a position; says whether it was new.
    pub fn insert(&mut self, position: Position) -> bool {
        let (word, bit) = place(position);
        let new = self.0[word] & bit == 0;
        self.0[word] |= bit;
        new
    }

    pub fn contains(&self, position: Position) -> bool {
        let (word, bit) = place(position);
        self.0[word] & bit != 0
    }

    pub fn len(&self) -> u16 {
        self.0.iter().map(|word| word.count_ones() as u16).sum()
    }

    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// The positions held, in row-major order of the layout's front.
    pub fn iter<'a>(&'a self, layout: &'a Layout) -> impl Iterator<Item = Position> + 'a {
        layout
            .positions()
            .filter(|position| self.contains(*position))
    }
}

fn place(position: Position) -> (usize, u64) {
    let index = position.index();
    (index / 64, 1 << (index % 64))
}
