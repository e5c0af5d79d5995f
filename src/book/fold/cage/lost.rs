//! Spoils that are given up by two, and spoils that turn up again.

use super::super::super::cage::{Came, Loss, Place};
use super::super::super::cage_refusal::CageRefusal;
use super::super::super::entry::{SpoilsFound, SpoilsLost};
use super::super::super::line::Header;
use super::super::super::refusal::Refusal;
use super::super::super::state::{Change, State};
use super::super::bench::REASON_MAX;
use super::super::{listed, required};
use super::hold::each_once_and_few;
use super::{not_loose, second};

/// Only what is missing from a container, or loose, can be given up. The loss stays on record.
pub fn declared(state: &State, header: &Header, data: &SpoilsLost) -> Result<Change, Refusal> {
    let items = data.pieces.items();
    listed(items.len())?;
    each_once_and_few(items.iter())?;
    for &item in &items {
        match state.cage.spoils.get(&item) {
            Some(Place::Loose | Place::Missing(_)) => {}
            Some(Place::In(_)) => return Err(CageRefusal::StillContained(item).into()),
            Some(place) => return Err(not_loose(item, *place)),
            None => return Err(Refusal::NotASpoil(item)),
        }
    }
    required("Reason", &data.reason, REASON_MAX)?;
    second(state, header, data.second)?;
    let (day, came) = (state.day_of(&header.at), Came::new(header.seq, &header.at));
    let loss = Loss {
        seq: header.seq,
        by: header.by,
        second: data.second,
        at: header.at.clone(),
        reason: data.reason.trim().to_owned(),
        items,
    };
    Ok(Change::new(move |state| {
        state.days.entry(day).or_default().spoils_lost += loss.items.len() as u64;
        for item in &loss.items {
            state.cage.put(*item, Place::Lost(loss.seq), &came);
        }
        state.cage.losses.push(loss);
    }))
}

pub fn found(state: &State, header: &Header, data: &SpoilsFound) -> Result<Change, Refusal> {
    let items = data.pieces.items();
    listed(items.len())?;
    each_once_and_few(items.iter())?;
    for &item in &items {
        match state.cage.spoils.get(&item) {
            Some(Place::Missing(_) | Place::Lost(_)) => {}
            Some(_) => return Err(CageRefusal::NotGone(item).into()),
            None => return Err(Refusal::NotASpoil(item)),
        }
    }
    required("Where it was found", &data.remark, REASON_MAX)?;
    let came = Came::new(header.seq, &header.at);
    Ok(Change::new(move |state| {
        for item in items {
            state.cage.put(item, Place::Loose, &came);
        }
    }))
}
