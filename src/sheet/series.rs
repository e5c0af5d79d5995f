use serde::{Deserialize, Serialize};

use super::claim::Claim;
use super::comb::{Comb, Combs};
use super::{
    Layout, Numbering, NumberingError, NumberingSpec, ProductId, Replacement, Run, Serial,
    SerialError, SerialFormat, SeriesId, SheetNo, grouped,
};

/// A replacement series as it is written down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct SeriesSpec {
    pub id: SeriesId,
    pub product: ProductId,
    pub format: SerialFormat,
    pub stock: SeriesStock,
}

/// What a replacement series is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeriesStock {
    /// Loose notes, numbers `first` to `last`, both included.
    Notes { first: u64, last: u64 },
    /// Whole sheets of the product, numbered in one run.
    Sheets(Run),
}

/// A line has `first` and `last`, or `sheets`.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    id: SeriesId,
    product: ProductId,
    format: SerialFormat,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    first: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    last: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sheets: Option<Run>,
}

/// Why a replacement series cannot be set aside so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SeriesError {
    #[error(
        "Replacement series {0} must give \"first\" and \"last\", or \"sheets\". Give the one or the other."
    )]
    Stock(SeriesId),
    #[error(
        "Replacement series {id} starts at {} and ends before it, at {}. Give the lower number first.", grouped(*.first), grouped(*.last)
    )]
    Backwards { id: SeriesId, first: u64, last: u64 },
    #[error(
        "Replacement series {id} would reach number {}, but {width} digits end at {}. Give a lower last number or a wider serial format.", grouped(*.last), grouped(*.largest)
    )]
    Overflow {
        id: SeriesId,
        last: u64,
        width: u8,
        largest: u64,
    },
    #[error("The sheets of replacement series {id} cannot be numbered so. {why}")]
    Sheets { id: SeriesId, why: NumberingError },
}

/// Replacement notes set aside for a product, drawn in the order of their places: loose notes by
/// rising number, sheets sheet by sheet and rank by rank. Checked; never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Series {
    spec: SeriesSpec,
    stock: Stock,
}

/// The stock as checked.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Stock {
    Notes { first: u64, last: u64 },
    Sheets(Numbering),
}

impl Series {
    /// For a product of this layout.
    pub fn new(spec: SeriesSpec, layout: &Layout) -> Result<Self, SeriesError> {
        let id = spec.id;
        let stock = match spec.stock {
            SeriesStock::Notes { first, last } => {
                check_notes(id, first, last, &spec.format)?;
                Stock::Notes { first, last }
            }
            SeriesStock::Sheets(run) => {
                let numbering = NumberingSpec {
                    format: spec.format.clone(),
                    runs: vec![run],
                };
                let checked = Numbering::new(numbering, layout, run.sheets);
                Stock::Sheets(checked.map_err(|why| SeriesError::Sheets { id, why })?)
            }
        };
        Ok(Self { spec, stock })
    }

    pub fn spec(&self) -> &SeriesSpec {
        &self.spec
    }

    pub fn id(&self) -> SeriesId {
        self.spec.id
    }

    pub fn product(&self) -> ProductId {
        self.spec.product
    }

    pub fn format(&self) -> &SerialFormat {
        &self.spec.format
    }

    /// Notes of a sheet, when the series is one of whole sheets.
    pub fn notes_of_sheet(&self) -> Option<u16> {
        match &self.stock {
            Stock::Notes { .. } => None,
            Stock::Sheets(sheets) => Some(sheets.notes()),
        }
    }

    /// Notes in the series, at least 1.
    #[allow(clippy::len_without_is_empty)] // never empty
    pub fn len(&self) -> u64 {
        match &self.stock {
            Stock::Sheets(sheets) => u64::from(sheets.sheets()) * u64::from(sheets.notes()),
            &Stock::Notes { first, last } => last - first + 1,
        }
    }

    /// The number at a place of the series, from 0.
    pub fn number(&self, place: u64) -> Option<u64> {
        match &self.stock {
            Stock::Sheets(sheets) => {
                let (sheet, rank) = (
                    place / u64::from(sheets.notes()),
                    place % u64::from(sheets.notes()),
                );
                let sheet = u32::try_from(sheet)
                    .ok()
                    .filter(|&at| at < sheets.sheets())?;
                sheets.number(SheetNo::from_index(sheet), rank as u16)
            }
            &Stock::Notes { first, last } => first.checked_add(place).filter(|&n| n <= last),
        }
    }

    /// The replacement note at a place of the series, from 0.
    pub fn serial(&self, place: u64) -> Option<Serial<Replacement>> {
        let number = self.number(place)?;
        Some(
            self.format()
                .serial(number)
                .expect("`new` checked the largest number"),
        )
    }

    /// The place of a number in the series, from 0: the exact inverse of [`Series::number`].
    pub fn place_of(&self, number: u64) -> Option<u64> {
        match &self.stock {
            Stock::Sheets(sheets) => {
                let (sheet, rank) = sheets.locate(number)?;
                Some(u64::from(sheet.index()) * u64::from(sheets.notes()) + u64::from(rank))
            }
            &Stock::Notes { first, last } => {
                (first..=last).contains(&number).then(|| number - first)
            }
        }
    }

    /// The place, from 0, of a typed or scanned serial. `Ok(None)`: a good serial of this format,
    /// but outside the series.
    pub fn find(&self, text: &str) -> Result<Option<u64>, SerialError> {
        self.format()
            .parse(text)
            .map(|number| self.place_of(number))
    }

    /// A range of serials that both series would use, if there is one.
    pub fn overlaps(&self, other: &Series) -> Option<(String, String)> {
        self.claim().clash(&other.claim())
    }

    /// A range of serials that a lot would print and this series uses, if there is one.
    pub fn overlaps_numbering(&self, numbering: &Numbering) -> Option<(String, String)> {
        self.claim().clash(&numbering.claim())
    }

    fn claim(&self) -> Claim<'_> {
        match &self.stock {
            Stock::Sheets(sheets) => sheets.claim(),
            &Stock::Notes { first, .. } => {
                let comb = Comb::new(first, self.len(), self.len(), 1);
                Claim::new(self.format(), &Combs::new([comb].into_iter()))
            }
        }
    }
}

fn check_notes(
    id: SeriesId,
    first: u64,
    last: u64,
    format: &SerialFormat,
) -> Result<(), SeriesError> {
    if first > last {
        return Err(SeriesError::Backwards { id, first, last });
    }
    if last >= format.capacity() {
        let (width, largest) = (format.spec().width, format.capacity() - 1);
        return Err(SeriesError::Overflow {
            id,
            last,
            width,
            largest,
        });
    }
    Ok(())
}

impl TryFrom<Written> for SeriesSpec {
    type Error = SeriesError;

    fn try_from(line: Written) -> Result<Self, SeriesError> {
        let stock = match (line.first, line.last, line.sheets) {
            (Some(first), Some(last), None) => SeriesStock::Notes { first, last },
            (None, None, Some(run)) => SeriesStock::Sheets(run),
            _ => return Err(SeriesError::Stock(line.id)),
        };
        Ok(Self {
            id: line.id,
            product: line.product,
            format: line.format,
            stock,
        })
    }
}

impl From<SeriesSpec> for Written {
    fn from(spec: SeriesSpec) -> Self {
        let (first, last, sheets) = match spec.stock {
            SeriesStock::Notes { first, last } => (Some(first), Some(last), None),
            SeriesStock::Sheets(run) => (None, None, Some(run)),
        };
        Self {
            id: spec.id,
            product: spec.product,
            format: spec.format,
            first,
            last,
            sheets,
        }
    }
}

#[cfg(test)]
mod tests;
