//! Measured samples, and what they are held against.

use crate::inspect::{MeasureError, check_readings};

use super::super::entry::{MeasureTaken, MeasureTarget};
use super::super::line::Header;
use super::super::measured::Sample;
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::bench::REASON_MAX;
use super::required;

pub fn target(state: &State, data: &MeasureTarget) -> Result<Change, Refusal> {
    let product = state.product(data.product)?;
    let (quantity, tolerance) = (data.quantity, data.tolerance);
    tolerance.check(quantity, product.layout.spec())?;
    let of = (data.product, quantity);
    Ok(Change::new(move |state| {
        state.tolerances.insert(of, tolerance);
    }))
}

pub fn taken(state: &State, header: &Header, data: &MeasureTaken) -> Result<Change, Refusal> {
    let product = state.product(data.product)?;
    check_readings(&data.readings, data.quantity, product.layout.spec())?;
    of_product(state, data)?;
    let corrects = corrected(state, data)?;
    let sample = Sample {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        day: state.day_of(&header.at),
        taken: data.clone(),
    };
    Ok(Change::new(move |state| {
        if let Some(seq) = corrects {
            state.samples.remove(&seq);
        }
        state.samples.insert(sample.seq, sample);
    }))
}

/// A lot of this works must be known and of the product; lots of another works are not in the
/// book.
fn of_product(state: &State, data: &MeasureTaken) -> Result<(), Refusal> {
    let Some(id) = data.lot.filter(|_| data.site.is_none()) else {
        return Ok(());
    };
    let here = state.lots.get(&id).map(|lot| lot.product.id);
    let archived = || state.archive.lots.get(&id).map(|lot| lot.carried.product);
    match here.or_else(archived) {
        None => Err(Refusal::UnknownLot(id)),
        Some(product) if product != data.product => Err(MeasureError::OtherProduct.into()),
        Some(_) => Ok(()),
    }
}

/// The sample that is replaced.
fn corrected(state: &State, data: &MeasureTaken) -> Result<Option<u64>, Refusal> {
    match (data.corrects, &data.reason) {
        (None, None) => Ok(None),
        (Some(seq), Some(reason)) => {
            required("Reason", reason, REASON_MAX)?;
            match state.samples.contains_key(&seq) {
                true => Ok(Some(seq)),
                false => Err(MeasureError::NoSuchSample(seq).into()),
            }
        }
        _ => Err(MeasureError::ReasonAlone.into()),
    }
}
