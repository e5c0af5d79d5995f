//! The draw: each note to replace gets the next unused replacement note, in finishing order.

use crate::sheet::{BundleNo, Replacement, Serial, Series, SeriesId};

/// A note that needs a replacement, with its place in finishing order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Need<T> {
    pub bundle: BundleNo,
    /// Depth in its stack from the top, from 1: in one bundle, the order from the top.
    pub depth: u32,
    /// What is to be replaced.
    pub note: T,
}

/// Why a draw cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DrawError {
    #[error(
        "{needed} replacement notes are needed but series {series} has {left} left. Add a replacement series in the Office, or draw for fewer sheets."
    )]
    Short {
        series: SeriesId,
        needed: usize,
        left: u64,
    },
}

/// Pairs each need with the next unused note of the series, in finishing order.
///
/// `used` is how many notes of the series were drawn before, counted from its first note.
///
/// # Errors
/// [`DrawError::Short`] when the series would run out; nothing is drawn then.
pub fn draw<T: Ord>(
    mut needs: Vec<Need<T>>,
    series: &Series,
    used: u64,
) -> Result<Vec<(T, Serial<Replacement>)>, DrawError> {
    needs.sort();
    let notes = needs.into_iter().map(|need| need.note);
    pair(notes.collect(), series, used)
}

/// Pairs the notes of whole sheets, each sheet by rank, with the next unused sheets of a series of
/// sheets. The sheets come in finishing order, which is that of the numbering press.
///
/// # Errors
/// [`DrawError::Short`] when the series would run out; nothing is drawn then.
pub fn draw_sheets<T>(
    sheets: Vec<Vec<T>>,
    series: &Series,
    used: u64,
) -> Result<Vec<(T, Serial<Replacement>)>, DrawError> {
    pair(sheets.into_iter().flatten().collect(), series, used)
}

fn pair<T>(
    notes: Vec<T>,
    series: &Series,
    used: u64,
) -> Result<Vec<(T, Serial<Replacement>)>, DrawError> {
    let left = series.len().saturating_sub(used);
    if notes.len() as u64 > left {
        return Err(DrawError::Short {
            series: series.id(),
            needed: notes.len(),
            left,
        });
    }
    let unused = (used..).map_while(|place| series.serial(place));
    Ok(notes.into_iter().zip(unused).collect())
}
