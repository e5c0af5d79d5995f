use serde::{Deserialize, Serialize};

use super::names::Grid;
use super::{Grammage, Length, NameScheme, RankOrder};

/// One note place on a sheet: its row-major index from the top left of the front.
/// Made only by a [`Layout`]; use it with the layout that made it.
#[derive(Copy, Clone, Eq, PartialEq, Ord, PartialOrd, Hash, Debug)]
pub struct Position(u16);

impl Position {
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// A side of a sheet; serde `"front"` or `"back"`.
#[derive(
    Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    #[default]
    Front,
    Back,
}

impl Side {
    pub const BOTH: [Side; 2] = [Side::Front, Side::Back];

    /// The word people use, lower case.
    pub fn name(self) -> &'static str {
        match self {
            Side::Front => "front",
            Side::Back => "back",
        }
    }

    pub fn other(self) -> Side {
        match self {
            Side::Front => Side::Back,
            Side::Back => Side::Front,
        }
    }
}

/// How a sheet is turned over to look at its back.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// About its vertical axis: left and right change places.
    #[default]
    WorkAndTurn,
    /// About its horizontal axis: top and bottom change places.
    WorkAndTumble,
}

/// A layout as it is written down. Lengths in micrometres, grammage in mg/m².
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LayoutSpec {
    /// 1..=20
    pub rows: u8,
    /// 1..=20
    pub columns: u8,
    pub note_width: Length,
    pub note_height: Length,
    /// From the left edge of the front to the first column.
    pub margin_x: Length,
    /// From the top edge of the front to the first row.
    pub margin_y: Length,
    /// Between columns.
    pub gutter_x: Length,
    /// Between rows.
    pub gutter_y: Length,
    pub sheet_width: Length,
    pub sheet_height: Length,
    pub grammage: Grammage,
    pub names: NameScheme,
    pub order: RankOrder,
    pub turn: Turn,
}

/// Why a layout cannot be printed or named so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    #[error("The layout has {found} {what}. Give 1 to 20.")]
    Count { what: &'static str, found: u8 },
    #[error("The note {what} is 0 mm. Give the size of a cut note.")]
    NoSize { what: &'static str },
    #[error(
        "The {count} {what} of notes need {needed} of sheet {extent} with margin and gutters, but the sheet has {available}. Make the sheet larger, or the notes, margin or gutters smaller."
    )]
    DoesNotFit {
        what: &'static str,
        extent: &'static str,
        count: u8,
        needed: Length,
        available: Length,
    },
    #[error(
        "A sheet of {rows} rows and {columns} columns cannot be quartered. Make both even, or choose another naming and numbering order."
    )]
    OddQuadrants { rows: u16, columns: u16 },
    #[error(
        "A quarter of the sheet has {notes} notes, more than the 26 letters. Choose another naming."
    )]
    QuadrantLetters { notes: u16 },
    #[error("The list names {names} positions, but the sheet has {notes}. Give one name a note.")]
    NameCount { names: usize, notes: usize },
    #[error("Position name {place} in the list, \"{name}\", {why}.")]
    BadName {
        place: usize,
        name: String,
        why: &'static str,
    },
    #[error(
        "Position name \"{name}\" is given to places {first} and {second} of the list (capitals do not count). Make each name different."
    )]
    NameTwice {
        name: String,
        first: usize,
        second: usize,
    },
}

/// How notes lie on a sheet, checked: they fit, and every position has its own name and rank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "LayoutSpec", into = "LayoutSpec")]
pub struct Layout {
    spec: LayoutSpec,
    names: Vec<String>,
    rank_of: Vec<u16>,
    at_rank: Vec<Position>,
}

impl Layout {
    pub fn new(spec: LayoutSpec) -> Result<Self, LayoutError> {
        check_sizes(&spec)?;
        let grid = Grid {
            rows: spec.rows.into(),
            columns: spec.columns.into(),
        };
        let rank_of = grid.ranks(spec.order)?;
        let names = grid.names(&spec.names, &rank_of)?;
        let mut at_rank: Vec<Position> = (0..grid.rows * grid.columns).map(Position).collect();
        at_rank.sort_by_key(|p| rank_of[p.index()]);
        Ok(Self {
            spec,
            names,
            rank_of,
            at_rank,
        })
    }

    pub fn spec(&self) -> &LayoutSpec {
        &self.spec
    }

    pub fn rows(&self) -> u8 {
        self.spec.rows
    }

    pub fn columns(&self) -> u8 {
        self.spec.columns
    }

    /// Notes on a sheet, 1..=400.
    pub fn notes(&self) -> u16 {
        u16::from(self.spec.rows) * u16::from(self.spec.columns)
    }

    /// All positions, row by row from the top left of the front.
    pub fn positions(
        &self,
    ) -> impl ExactSizeIterator<Item = Position> + DoubleEndedIterator + use<> {
        (0..self.notes()).map(Position)
    }

    /// The position at a row and column of the front, both from 0.
    pub fn position(&self, row: u8, column: u8) -> Option<Position> {
        (row < self.spec.rows && column < self.spec.columns)
            .then(|| Position(u16::from(row) * u16::from(self.spec.columns) + u16::from(column)))
    }

    /// The position with this row-major index on the front.
    pub fn at(&self, index: usize) -> Option<Position> {
        u16::try_from(index)
            .ok()
            .filter(|&i| i < self.notes())
            .map(Position)
    }

    /// Row and column on the front, from 0.
    pub fn cell(&self, position: Position) -> (u8, u8) {
        let columns = u16::from(self.spec.columns);
        // A layout has at most 20 rows and columns.
        ((position.0 / columns) as u8, (position.0 % columns) as u8)
    }

    /// # Panics
    /// When the position was made by a larger layout.
    pub fn name(&self, position: Position) -> &str {
        &self.names[position.index()]
    }

    /// The position of this name; spaces around it and capitals do not count.
    pub fn find(&self, name: &str) -> Option<Position> {
        let name = name.trim();
        let index = self
            .names
            .iter()
            .position(|n| n.eq_ignore_ascii_case(name))?;
        self.at(index)
    }

    /// The place of a position in the numbering order, from 0.
    ///
    /// # Panics
    /// When the position was made by a larger layout.
    pub fn rank(&self, position: Position) -> u16 {
        self.rank_of[position.index()]
    }

    /// The position of a rank; the inverse of [`Layout::rank`].
    pub fn of_rank(&self, rank: u16) -> Option<Position> {
        self.at_rank.get(usize::from(rank)).copied()
    }

    /// Row and column, from 0, at which a note appears to someone who looks at this side.
    pub fn seen(&self, side: Side, position: Position) -> (u8, u8) {
        let (row, column) = self.cell(position);
        self.turned(side, row, column)
    }

    /// The note that appears at this row and column of this side; the inverse of [`Layout::seen`].
    pub fn seen_at(&self, side: Side, row: u8, column: u8) -> Option<Position> {
        self.position(row, column)?;
        let (row, column) = self.turned(side, row, column);
        self.position(row, column)
    }

    /// Turning twice gives the front again, so one function serves both ways.
    fn turned(&self, side: Side, row: u8, column: u8) -> (u8, u8) {
        match (side, self.spec.turn) {
            (Side::Front, _) => (row, column),
            (Side::Back, Turn::WorkAndTurn) => (row, self.spec.columns - 1 - column),
            (Side::Back, Turn::WorkAndTumble) => (self.spec.rows - 1 - row, column),
        }
    }

    pub fn note_area_mm2(&self) -> f64 {
        self.spec.note_width.mm() * self.spec.note_height.mm()
    }

    pub fn sheet_area_mm2(&self) -> f64 {
        self.spec.sheet_width.mm() * self.spec.sheet_height.mm()
    }

    /// Width and height.
    pub fn sheet_size(&self) -> (Length, Length) {
        (self.spec.sheet_width, self.spec.sheet_height)
    }

    /// The top left corner of a note as drawn on this side, from the sheet's top left corner.
    ///
    /// Margins need not be equal left and right: on the back they change places as the sheet does.
    pub fn origin(&self, side: Side, position: Position) -> (Length, Length) {
        let spec = &self.spec;
        let (row, column) = self.cell(position);
        let x = start(spec.margin_x, spec.note_width, spec.gutter_x, column);
        let y = start(spec.margin_y, spec.note_height, spec.gutter_y, row);
        let across =
            |size: Length, note: Length, from: u32| u32::from(size) - u32::from(note) - from;
        let (x, y) = match (side, spec.turn) {
            (Side::Front, _) => (x, y),
            (Side::Back, Turn::WorkAndTurn) => (across(spec.sheet_width, spec.note_width, x), y),
            (Side::Back, Turn::WorkAndTumble) => {
                (x, across(spec.sheet_height, spec.note_height, y))
            }
        };
        (Length::from_micrometres(x), Length::from_micrometres(y))
    }
}

/// Where the note of this row or column starts, in micrometres.
fn start(margin: Length, note: Length, gutter: Length, place: u8) -> u32 {
    u32::from(margin) + u32::from(place) * (u32::from(note) + u32::from(gutter))
}

fn check_sizes(spec: &LayoutSpec) -> Result<(), LayoutError> {
    for (what, found) in [("rows", spec.rows), ("columns", spec.columns)] {
        if !(1..=20).contains(&found) {
            return Err(LayoutError::Count { what, found });
        }
    }
    for (what, size) in [("width", spec.note_width), ("height", spec.note_height)] {
        if size == Length::default() {
            return Err(LayoutError::NoSize { what });
        }
    }
    let fits = |what, extent, count, margin, note, gutter, available| {
        // 20 notes and gutters of at most 10 m each stay below 2^32 micrometres.
        let needed = start(margin, note, gutter, count - 1) + u32::from(note);
        if needed > u32::from(available) {
            let needed = Length::from_micrometres(needed);
            return Err(LayoutError::DoesNotFit {
                what,
                extent,
                count,
                needed,
                available,
            });
        }
        Ok(())
    };
    let s = spec;
    fits(
        "columns",
        "width",
        s.columns,
        s.margin_x,
        s.note_width,
        s.gutter_x,
        s.sheet_width,
    )?;
    fits(
        "rows",
        "height",
        s.rows,
        s.margin_y,
        s.note_height,
        s.gutter_y,
        s.sheet_height,
    )
}

impl TryFrom<LayoutSpec> for Layout {
    type Error = LayoutError;

    fn try_from(spec: LayoutSpec) -> Result<Self, LayoutError> {
        Self::new(spec)
    }
}

impl From<Layout> for LayoutSpec {
    fn from(layout: Layout) -> LayoutSpec {
        layout.spec
    }
}

#[cfg(test)]
mod tests;
