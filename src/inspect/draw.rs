//! The draw: each note to replace gets the next unused replacement note, in finishing order.

use crate::sheet::{Replacement, Serial, Series};

/// A note that needs a replacement, with its place in finishing order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Need<T> {
    /// Bundle, counted from 1 through the lot.
    pub bundle: u32,
    /// Place in the bundle, from the top, counted from 1.
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
    Short { series: String, needed: usize, left: u64 },
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
    let left = series.len() - used;
    if needs.len() as u64 > left {
        return Err(DrawError::Short {
            series: series.id().to_string(),
            needed: needs.len(),
            left,
        });
    }
    needs.sort();
    let numbers = series.first() + used..;
    let pairs = needs.into_iter().zip(numbers);
    Ok(pairs.map(|(need, number)| (need.note, series.serial(number))).collect())
}
