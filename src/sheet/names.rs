//! What positions are called, and in which order they are numbered.

use serde::{Deserialize, Serialize};

use super::LayoutError;

/// How the notes of a sheet are named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NameScheme {
    /// `A1` is row 1, column 1; `B1` is below it.
    RowLetterColumnNumber,
    /// `A1` is column 1, row 1; `B1` is to its right.
    ColumnLetterRowNumber,
    /// `1`, `2`, … in the order in which positions are numbered.
    Running,
    /// The sheet is quartered: 1 top left, 2 top right, 3 bottom left, 4 bottom right. In each
    /// quarter letters run down the columns: `A1` `B1` … then the next column.
    Quadrant,
    /// The works' own names, row by row from the top left of the front.
    List(Vec<String>),
}

/// The order of positions for numbering: the rank of a position is its place in this order.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RankOrder {
    /// Left to right, then the next row.
    #[default]
    Rows,
    /// Top to bottom, then the next column.
    Columns,
    /// Quarter by quarter (top left, top right, bottom left, bottom right), each by columns.
    Quadrants,
}

/// Rows and columns of a checked layout.
#[derive(Copy, Clone)]
pub(super) struct Grid {
    pub rows: u16,
    pub columns: u16,
}

impl Grid {
    fn cells(self) -> impl Iterator<Item = (u16, u16)> {
        (0..self.rows).flat_map(move |row| (0..self.columns).map(move |column| (row, column)))
    }

    /// Quarter (0..4) of a cell and its place in that quarter, counted down the columns.
    fn quarter(self, row: u16, column: u16) -> (u16, u16) {
        let (high, wide) = (self.rows / 2, self.columns / 2);
        (
            (row / high) * 2 + column / wide,
            (column % wide) * high + row % high,
        )
    }

    /// The rank of every position, in row-major order of positions.
    pub fn ranks(self, order: RankOrder) -> Result<Vec<u16>, LayoutError> {
        if order == RankOrder::Quadrants {
            self.quarterable()?;
        }
        let rank = |(row, column)| match order {
            RankOrder::Rows => row * self.columns + column,
            RankOrder::Columns => column * self.rows + row,
            RankOrder::Quadrants => {
                let (quarter, place) = self.quarter(row, column);
                quarter * (self.rows / 2) * (self.columns / 2) + place
            }
        };
        Ok(self.cells().map(rank).collect())
    }

    /// The name of every position, in row-major order of positions.
    pub fn names(self, scheme: &NameScheme, ranks: &[u16]) -> Result<Vec<String>, LayoutError> {
        let names = match scheme {
            NameScheme::RowLetterColumnNumber => self
                .cells()
                .map(|(row, column)| letter_number(row, column))
                .collect(),
            NameScheme::ColumnLetterRowNumber => self
                .cells()
                .map(|(row, column)| letter_number(column, row))
                .collect(),
            NameScheme::Running => ranks.iter().map(|rank| (rank + 1).to_string()).collect(),
            NameScheme::Quadrant => self.quadrant_names()?,
            NameScheme::List(names) => self.listed_names(names)?,
        };
        Ok(names)
    }

    fn quarterable(self) -> Result<(), LayoutError> {
        if self.rows % 2 == 1 || self.columns % 2 == 1 {
            return Err(LayoutError::OddQuadrants {
                rows: self.rows,
                columns: self.columns,
            });
        }
        Ok(())
    }

    fn quadrant_names(self) -> Result<Vec<String>, LayoutError> {
        self.quarterable()?;
        let notes = (self.rows / 2) * (self.columns / 2);
        if notes > 26 {
            return Err(LayoutError::QuadrantLetters { notes });
        }
        let name = |(row, column)| {
            let (quarter, place) = self.quarter(row, column);
            letter_number(place, quarter)
        };
        Ok(self.cells().map(name).collect())
    }

    fn listed_names(self, names: &[String]) -> Result<Vec<String>, LayoutError> {
        let notes = usize::from(self.rows * self.columns);
        if names.len() != notes {
            return Err(LayoutError::NameCount {
                names: names.len(),
                notes,
            });
        }
        for (place, name) in names.iter().enumerate() {
            check_name(place + 1, name)?;
            if let Some(earlier) = names[..place]
                .iter()
                .position(|n| n.eq_ignore_ascii_case(name))
            {
                let name = name.clone();
                return Err(LayoutError::NameTwice {
                    name,
                    first: earlier + 1,
                    second: place + 1,
                });
            }
        }
        Ok(names.to_vec())
    }
}

/// `A1` for (0, 0). Rows and columns stop at 20 and quarters at 26 notes, so the letter exists.
fn letter_number(letter: u16, number: u16) -> String {
    format!("{}{}", char::from(b'A' + letter as u8), number + 1)
}

/// A name must be typable beside defect codes, which are two letters, and stay short on a chip.
fn check_name(place: usize, name: &str) -> Result<(), LayoutError> {
    let error = |why: &'static str| LayoutError::BadName {
        place,
        name: name.to_owned(),
        why,
    };
    if name.is_empty() {
        return Err(error("is empty: give it a name"));
    }
    if name.len() > 8 {
        return Err(error("is longer than 8 characters: shorten it"));
    }
    if !name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-') {
        return Err(error(
            "has other signs than letters, digits and hyphens: leave them out",
        ));
    }
    if name.len() == 2 && name.bytes().all(|b| b.is_ascii_alphabetic()) {
        return Err(error(
            "is two letters only and would read as a defect code: add a digit",
        ));
    }
    Ok(())
}
