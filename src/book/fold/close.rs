//! Closing lots and days, copies that leave the machine, and homes that were healed.

use crate::people::Stamp;

use super::super::entry::{CopyTaken, DayClosed, LotClosed, StoreHealed};
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, DayClosing, Healing, LastCopy, State};

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

pub fn copy_taken(header: &Header, data: &CopyTaken) -> Change {
    let (what, at, seq): (_, Stamp, _) = (data.what, header.at.clone(), header.seq);
    Change::new(move |state| state.last_copy = Some(LastCopy { what, at, seq }))
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
