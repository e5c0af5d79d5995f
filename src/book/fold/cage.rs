//! The cage: containers opened, filled, moved, sealed by two, and destroyed before witnesses.

use std::collections::BTreeSet;

use crate::custody::{
    Act, Container, ContainerId, Item, Mass, Seal, SealNumber, Sealing, TareAndScale,
};
use crate::people::{Duty, PersonId};
use crate::sheet::{LotId, SheetNo};

use super::super::cage::{Came, Place};
use super::super::cage_refusal::CageRefusal;
use super::super::entry::{
    ContainerFilled, ContainerMoved, ContainerOpened, ContainerRetired, ContainerSealed,
};
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::bench::REASON_MAX;
use super::{listed, may, required};

pub(super) mod correct;
pub(super) mod hold;
pub(super) mod lost;

pub fn opened(state: &State, header: &Header, data: &ContainerOpened) -> Result<Change, Refusal> {
    let id = data.container;
    if state.knows_container(id) {
        return Err(Refusal::ContainerTaken(id));
    }
    let place = data.place.clone().map(|place| (place, act(header)));
    Ok(Change::new(move |state| {
        let container = Container {
            place,
            ..Container::new(id)
        };
        state.cage.containers.insert(id, container);
    }))
}

pub(super) fn act(header: &Header) -> Act {
    Act {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
    }
}

/// A container that something can be put into or taken out of.
fn open_container(state: &State, id: ContainerId) -> Result<&Container, Refusal> {
    let container = state.container(id)?;
    match &container.seal {
        Seal::Open => Ok(container),
        Seal::Sealed(_) => Err(Refusal::ContainerSealed(id)),
        _ => Err(gone_or_held(container)),
    }
}

/// Why nothing can be done with a container that is neither open nor sealed.
fn gone_or_held(container: &Container) -> Refusal {
    let id = container.id;
    match &container.seal {
        Seal::Open | Seal::Sealed(_) | Seal::Destroyed { .. } => CageRefusal::Destroyed(id),
        Seal::Held(_, hold) => CageRefusal::Held {
            container: id,
            why: hold.why.clone(),
        },
        Seal::Retired { .. } => CageRefusal::Retired(id),
    }
    .into()
}

pub fn filled(state: &State, header: &Header, data: &ContainerFilled) -> Result<Change, Refusal> {
    let id = open_container(state, data.container)?.id;
    let items = data.pieces().items();
    listed(items.len())?;
    let mut seen = BTreeSet::new();
    for item in &items {
        match state.cage.spoils.get(item) {
            Some(Place::Loose) if seen.insert(item) => {}
            Some(Place::Loose) => {
                return Err(Refusal::AlreadyIn {
                    item: *item,
                    container: id,
                });
            }
            Some(place) => return Err(not_loose(*item, *place)),
            None => return Err(Refusal::NotASpoil(*item)),
        }
    }
    let came = Came::new(header.seq, &header.at);
    Ok(Change::new(move |state| {
        for item in items {
            state.cage.put(item, Place::In(id), &came);
        }
    }))
}

/// Where a spoil is that was taken for a loose one.
fn not_loose(item: Item, place: Place) -> Refusal {
    match place {
        Place::Loose => Refusal::EmptyList,
        Place::In(container) => Refusal::AlreadyIn { item, container },
        Place::Missing(container) => CageRefusal::Missing { item, container }.into(),
        Place::Lost(seq) => CageRefusal::DeclaredLost { item, seq }.into(),
        Place::Destroyed(session) => Refusal::AlreadyDestroyed { item, session },
    }
}

pub fn moved(state: &State, header: &Header, data: &ContainerMoved) -> Result<Change, Refusal> {
    let container = state.container(data.container)?;
    if !matches!(container.seal, Seal::Open | Seal::Sealed(_)) {
        return Err(gone_or_held(container));
    }
    let stands = container.place.as_ref();
    if stands.is_some_and(|(place, _)| *place == data.place) {
        return Err(CageRefusal::SamePlace(container.id).into());
    }
    let (id, place) = (container.id, (data.place.clone(), act(header)));
    Ok(Change::new(move |state| {
        if let Some(container) = state.cage.containers.get_mut(&id) {
            container.place = Some(place);
        }
    }))
}

/// Only an empty container: open, or held and found empty by two.
pub fn retired(state: &State, header: &Header, data: &ContainerRetired) -> Result<Change, Refusal> {
    let container = state.container(data.container)?;
    let id = container.id;
    match &container.seal {
        Seal::Open => {}
        Seal::Sealed(_) => return Err(Refusal::ContainerSealed(id)),
        Seal::Held(_, hold) if hold.explained().is_some() => {}
        _ => return Err(gone_or_held(container)),
    }
    if !container.items.is_empty() {
        return Err(CageRefusal::NotEmpty(id).into());
    }
    required("Reason", &data.reason, REASON_MAX)?;
    let (act, day) = (act(header), state.day_of(&header.at));
    let reason = data.reason.trim().to_owned();
    Ok(Change::new(move |state| {
        let Some(container) = state.cage.containers.get_mut(&id) else {
            return;
        };
        let retired = Seal::Retired { act, day, reason };
        let before = std::mem::replace(&mut container.seal, retired);
        if let Seal::Held(sealing, hold) = before {
            container.past.push((sealing, hold));
        }
    }))
}

pub fn sealed(state: &State, header: &Header, data: &ContainerSealed) -> Result<Change, Refusal> {
    let container = open_container(state, data.container)?;
    if container.items.is_empty() {
        return Err(Refusal::ContainerEmpty(container.id));
    }
    unused_seal(state, data.seal)?;
    second(state, header, data.second)?;
    let weighed = TareAndScale {
        tare: data.tare,
        scale: data.scale,
    };
    masses(state, container.id, data.gross, weighed)?;
    let sealing = sealing(header, data.seal, data.second, (data.gross, weighed));
    let (id, day) = (container.id, state.day_of(&header.at));
    Ok(Change::new(move |state| {
        state.cage.seals.insert(sealing.number, id);
        state.days.entry(day).or_default().containers_sealed += 1;
        if let Some(container) = state.cage.containers.get_mut(&id) {
            container.seal = Seal::Sealed(sealing);
        }
    }))
}

/// A sealing by the line's author and a second person.
fn sealing(
    header: &Header,
    number: SealNumber,
    second: PersonId,
    (gross, weighed): (Option<Mass>, TareAndScale),
) -> Sealing {
    Sealing {
        seq: header.seq,
        number,
        by: header.by,
        second,
        at: header.at.clone(),
        gross,
        weighed,
        corrections: Vec::new(),
    }
}

/// A tare and a scale belong to a gross mass, and the full container is not lighter.
fn masses(
    state: &State,
    id: ContainerId,
    gross: Option<Mass>,
    weighed: TareAndScale,
) -> Result<(), Refusal> {
    let TareAndScale { tare, scale } = weighed;
    if let Some(scale) = scale.filter(|id| !state.scales.contains_key(id)) {
        return Err(Refusal::UnknownScale(scale));
    }
    match (gross, tare) {
        (None, None) if scale.is_none() => Ok(()),
        (None, _) => Err(Refusal::NoGross(id)),
        (Some(gross), Some(tare)) if gross < tare => Err(Refusal::BelowTare(id)),
        (Some(_), _) => Ok(()),
    }
}

/// A seal number of the works' form that was never used.
fn unused_seal(state: &State, seal: SealNumber) -> Result<(), Refusal> {
    if let Some(form) = &state.rules.seal_form
        && !form.accepts(seal.as_str())
    {
        let form = form.to_string();
        return Err(CageRefusal::SealForm { seal, form }.into());
    }
    match state.cage.seals.get(&seal) {
        None => Ok(()),
        Some(container) => Err(Refusal::SealUsed {
            seal,
            container: *container,
        }),
    }
}

/// Someone else than the author, who may seal.
fn second(state: &State, header: &Header, second: PersonId) -> Result<(), Refusal> {
    if second == header.by {
        return Err(Refusal::SamePerson(second));
    }
    may(state, second, Duty::Seal)
}

/// Who tagged sheets, or overruled the verdict on sheets, whose spoils lie in these containers.
pub(in super::super) fn taggers(state: &State, containers: &[ContainerId]) -> BTreeSet<PersonId> {
    let containers = containers
        .iter()
        .filter_map(|id| state.cage.containers.get(id));
    let sheets = containers.flat_map(|container| {
        container
            .items
            .iter()
            .filter_map(|item| sheet_of(state, item))
    });
    let exams = sheets.filter_map(|(lot, sheet)| state.lots.get(&lot)?.sheet(sheet)?.exam.as_ref());
    exams.flat_map(|exam| exam.ruled_by()).collect()
}

/// The sheet a spoil came from; a replacement note came from none.
fn sheet_of(state: &State, item: &Item) -> Option<(LotId, SheetNo)> {
    match item {
        Item::Sheet(lot, sheet) => Some((*lot, *sheet)),
        Item::Note(serial) => state.lots.values().find_map(|lot| {
            let (sheet, _) = lot.locate_text(serial.as_str()).ok()??;
            Some((lot.id, sheet))
        }),
        Item::Replacement(_) => None,
    }
}
