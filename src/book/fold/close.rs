//! Closing lots and days, and copies that leave the machine.

use crate::people::Stamp;

use super::super::entry::{CopyTaken, DayClosed, LotClosed};
use super::super::figures;
use super::super::line::Header;
use super::super::lot::Lot;
use super::super::refusal::Refusal;
use super::super::state::{Change, LastCopy, State};

pub fn lot_closed(state: &State, header: &Header, data: &LotClosed) -> Result<Change, Refusal> {
    let lot = state.lot(data.lot)?;
    if lot.closed.is_some() {
        return Err(Refusal::LotIsClosed(lot.id));
    }
    if let Some(why) = not_done(state, lot) {
        return Err(Refusal::LotNotDone { lot: lot.id, why });
    }
    let (id, seq) = (lot.id, header.seq);
    Ok(Change::new(move |state| {
        if let Some(lot) = state.lots.get_mut(&id) {
            lot.closed = Some(seq);
        }
    }))
}

/// What still stands between a lot and its closing, in words; nothing when it can be closed.
pub(in super::super) fn not_done(state: &State, lot: &Lot) -> Option<String> {
    let open = lot.not_examined();
    if open > 0 {
        return Some(format!("{open} sheets are not examined"));
    }
    let needs = lot.needs().len();
    if needs > 0 {
        return Some(format!("{needs} notes have no replacement drawn"));
    }
    let account = figures::lot_account(state, lot);
    let on_hand = account.replacement_figures.on_hand;
    if on_hand > 0 {
        return Some(format!(
            "{on_hand} replacement notes are drawn but not inserted"
        ));
    }
    let spoils = account.spoil_figures;
    let kept = spoils.made - spoils.destroyed;
    if kept > 0 {
        return Some(format!("{kept} spoils are not destroyed"));
    }
    let off = account
        .identities
        .iter()
        .find(|identity| !identity.holds())?;
    Some(format!(
        "{} differ by {}",
        off.name.to_lowercase(),
        off.difference()
    ))
}

pub fn day_closed(state: &State, header: &Header, data: &DayClosed) -> Result<Change, Refusal> {
    let day = data.day;
    if state.closed_days.contains_key(&day) {
        return Err(Refusal::DayClosedBefore(day));
    }
    if !state.days.contains_key(&day) {
        return Err(Refusal::EmptyDay(day));
    }
    let seq = header.seq;
    Ok(Change::new(move |state| {
        state.closed_days.insert(day, seq);
    }))
}

pub fn copy_taken(header: &Header, data: &CopyTaken) -> Change {
    let (what, at, seq): (_, Stamp, _) = (data.what, header.at.clone(), header.seq);
    Change::new(move |state| state.last_copy = Some(LastCopy { what, at, seq }))
}
