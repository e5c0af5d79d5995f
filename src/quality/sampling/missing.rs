//! How many pieces must be looked for so that missing ones are hardly overlooked.
//!
//! Only the four operations of arithmetic are used, which give the same figures on every machine:
//! how many pieces are drawn is a rule of the book.

use crate::quality::{Probability, QualityError};

/// So that a chance that is exactly the risk is not missed for its last digit.
const ROUNDING: f64 = 1e-12;

/// The chance that a random sample of `sample` out of `pieces` holds none of the `missing` ones:
/// C(pieces − missing, sample) / C(pieces, sample), the hypergeometric chance of 0.
///
/// # Errors
/// `PartOverWhole` when the missing pieces or the sample outnumber all.
pub fn overlooked(pieces: u64, missing: u64, sample: u64) -> Result<Probability, QualityError> {
    for (part_field, part) in [("missing pieces", missing), ("sample", sample)] {
        if part > pieces {
            return Err(QualityError::PartOverWhole {
                part_field,
                part,
                whole_field: "pieces",
                whole: pieces,
            });
        }
    }
    let chance = chances(pieces, missing).nth(sample as usize);
    Ok(Probability::rounded(chance.unwrap_or(0.0)))
}

/// The chances of overlooking with a sample of 0, 1, 2, … pieces: each next piece must again be
/// one that is there.
fn chances(pieces: u64, missing: u64) -> impl Iterator<Item = f64> {
    let there = pieces - missing;
    let next = move |(chance, drawn): (f64, u64)| {
        let left = there.saturating_sub(drawn);
        (chance * left as f64 / (pieces - drawn) as f64, drawn + 1)
    };
    let steps = std::iter::successors(Some((1.0, 0)), move |step| {
        (step.1 < pieces).then(|| next(*step))
    });
    steps.map(|(chance, _)| chance)
}

/// The smallest sample that overlooks `missing` missing pieces with at most this chance; at least
/// one piece. A container that holds no more than `missing` is counted whole.
pub fn sample_for(pieces: u64, missing: u64, risk: Probability) -> u64 {
    if missing >= pieces {
        return pieces;
    }
    let enough = |chance: f64| chance <= risk.get() + ROUNDING;
    let least = chances(pieces, missing).position(enough);
    least.map_or(pieces, |least| least.max(1) as u64)
}
