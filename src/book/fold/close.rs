//! Closing lots and days, copies that leave the machine, and homes that were healed.

use crate::people::Duty;

use super::super::entry::{Copied, CopyTaken, DayClosed, LotClosed, ShiftHandedOver, Way};
use super::super::handover::Handover;
use super::super::homes::StoreHealed;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, DayClosing, Healing, LastCopy, State};
use super::{may, required};

/// Longest name of who has a copy.
const TO_MAX: usize = 60;
/// Longest account of who was told, in characters.
const TOLD_MAX: usize = 400;

pub fn lot_closed(state: &State, header: &Header, data: &LotClosed) -> Result<Change, Refusal> {
    let lot = state.lot(data.lot)?;
    if lot.closed.is_some() {
        return Err(Refusal::LotIsClosed(lot.id));
    }
    if let Some(why) = state.stands_in_the_way(lot).into_iter().next() {
        return Err(Refusal::LotNotDone { lot: lot.id, why });
    }
    let (id, seq) = (lot.id, header.seq);
    Ok(Change::new(move |state| {
        if let Some(lot) = state.lots.get_mut(&id) {
            lot.closed = Some(seq);
        }
    }))
}

pub fn day_closed(state: &State, header: &Header, data: &DayClosed) -> Result<Change, Refusal> {
    let day = data.day;
    if state.closed_days.contains_key(&day) {
        return Err(Refusal::DayClosedBefore(day));
    }
    if !state.days.contains_key(&day) {
        return Err(Refusal::EmptyDay(day));
    }
    let closing = DayClosing {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
    };
    Ok(Change::new(move |state| {
        state.closed_days.insert(day, closing);
    }))
}

/// A head that leaves alone must be the one the line builds on, and say how it left: a note of a
/// head that the book never had would make a later comparison worthless.
pub fn copy_taken(header: &Header, data: &CopyTaken) -> Result<Change, Refusal> {
    if data.what == Copied::Head {
        if data.head != header.prev {
            return Err(Refusal::OldHead);
        }
        let way = data.how.ok_or(Refusal::Empty {
            field: "How it left",
        })?;
        if way == Way::Told && data.to.is_none() {
            return Err(Refusal::Empty { field: "Told to" });
        }
    }
    if let Some(to) = &data.to {
        required("Told to", to, TO_MAX)?;
    }
    let copy = LastCopy {
        what: data.what,
        at: header.at.clone(),
        seq: header.seq,
    };
    Ok(Change::new(move |state| {
        if copy.what == Copied::Book {
            state.last_book_copy = Some(copy.clone());
        }
        state.last_copy = Some(copy);
    }))
}

pub fn shift_handed_over(
    state: &State,
    header: &Header,
    data: &ShiftHandedOver,
) -> Result<Change, Refusal> {
    required("Who was told", &data.told, TOLD_MAX)?;
    if data.to == header.by {
        return Err(Refusal::HandedToSelf(data.to));
    }
    may(state, data.to, Duty::HandOver)?;
    let handover = Handover {
        seq: header.seq,
        by: header.by,
        to: data.to,
        at: header.at.clone(),
        told: data.told.clone(),
    };
    Ok(Change::new(move |state| state.handovers.push(handover)))
}

pub fn store_healed(header: &Header, data: &StoreHealed) -> Result<Change, Refusal> {
    let StoreHealed { from, to, .. } = *data;
    if from > to || to >= header.seq {
        return Err(Refusal::HealedAmiss { from, to });
    }
    let (seq, at, what) = (header.seq, header.at.clone(), *data);
    Ok(Change::new(move |state| {
        state.healings.push(Healing { seq, at, what });
    }))
}
