//! The position map: how often each note position of the sheet is marked.

use super::{Grid, QualityError};

/// Share of examined sheets on which each position was marked, row after row, each 0..=1.
#[derive(Clone, Debug, PartialEq)]
pub struct RateMap {
    columns: usize,
    rates: Vec<f64>,
}

impl RateMap {
    /// Divides the marks of each position by the number of sheets examined. A position counts
    /// at most once for a sheet, however many marks it bears.
    ///
    /// # Errors
    /// `Zero` when no sheet was examined, `PartOverWhole` when a position is marked more often
    /// than sheets were examined.
    pub fn new(marked: &Grid, examined: u64) -> Result<Self, QualityError> {
        if examined == 0 {
            return Err(QualityError::Zero {
                field: "sheets examined",
            });
        }
        let rates = marked
            .counts()
            .iter()
            .map(|&part| rate(part, examined))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            columns: marked.columns(),
            rates,
        })
    }

    /// The rates, row after row.
    pub fn rates(&self) -> &[f64] {
        &self.rates
    }

    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The highest rate of any position: the top of the drawing's scale.
    pub fn highest(&self) -> f64 {
        self.rates.iter().copied().fold(0.0, f64::max)
    }
}

fn rate(part: u64, whole: u64) -> Result<f64, QualityError> {
    if part > whole {
        return Err(QualityError::PartOverWhole {
            part_field: "sheets marked at one position",
            part,
            whole_field: "sheets examined",
            whole,
        });
    }
    Ok(part as f64 / whole as f64)
}
