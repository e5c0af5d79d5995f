//! The cursor and the selection on the drawn grid, as seen from the side that lies up.

use crate::sheet::{Layout, Position, Side};

/// A place in the drawn grid: row and column from the top left as seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    pub row: u8,
    pub column: u8,
}

/// The rectangle between two corners; one cell when they are the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// Where the rectangle began.
    pub anchor: Cell,
    /// Where the keyboard is.
    pub cursor: Cell,
}

impl Selection {
    pub fn at(cell: Cell) -> Self {
        Self {
            anchor: cell,
            cursor: cell,
        }
    }

    /// Moves the cursor; the anchor follows unless the selection is extended.
    pub fn move_to(&mut self, cell: Cell, extend: bool) {
        self.cursor = cell;
        if !extend {
            self.anchor = cell;
        }
    }

    pub fn contains(&self, cell: Cell) -> bool {
        let within = |x: u8, a: u8, b: u8| (a.min(b)..=a.max(b)).contains(&x);
        let (a, b) = (self.anchor, self.cursor);
        within(cell.row, a.row, b.row) && within(cell.column, a.column, b.column)
    }

    /// The same notes as they are seen from the other side.
    pub fn turned(self, layout: &Layout, from: Side, to: Side) -> Self {
        let turned = |cell: Cell| {
            let note = layout.seen_at(from, cell.row, cell.column);
            note.map_or(cell, |note| {
                let (row, column) = layout.seen(to, note);
                Cell { row, column }
            })
        };
        Self {
            anchor: turned(self.anchor),
            cursor: turned(self.cursor),
        }
    }

    /// The selected notes, row by row as seen.
    pub fn positions(&self, layout: &Layout, side: Side) -> Vec<Position> {
        let cells = (0..layout.rows())
            .flat_map(|row| (0..layout.columns()).map(move |column| Cell { row, column }));
        cells
            .filter(|cell| self.contains(*cell))
            .filter_map(|cell| layout.seen_at(side, cell.row, cell.column))
            .collect()
    }
}
