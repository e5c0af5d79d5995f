//! The cage: containers filled, sealed by two, and destroyed before witnesses.

use std::collections::BTreeSet;

use crate::custody::{Container, ContainerId, Destruction, Item, Known, Seal, Sealing, check};
use crate::people::{Duty, PersonId};
use crate::sheet::{LotId, SheetNo};

use super::super::entry::{ContainerFilled, ContainerOpened, ContainerSealed, Entry};
use super::super::hash::Hash;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, Place, SessionRecord, State};
use super::super::statement::statement;
use super::super::weighing::weighed;
use super::{listed, may};

pub fn opened(state: &State, data: &ContainerOpened) -> Result<Change, Refusal> {
    let id = data.container;
    if state.cage.containers.contains_key(&id) {
        return Err(Refusal::ContainerTaken(id));
    }
    Ok(Change::new(move |state| {
        state.cage.containers.insert(id, Container::new(id));
    }))
}

fn open_container(state: &State, id: ContainerId) -> Result<&Container, Refusal> {
    let container = state.container(id)?;
    match container.seal {
        Seal::Open => Ok(container),
        Seal::Sealed(_) | Seal::Destroyed { .. } => Err(Refusal::ContainerSealed(id)),
    }
}

pub fn filled(state: &State, data: &ContainerFilled) -> Result<Change, Refusal> {
    let id = open_container(state, data.container)?.id;
    let sheets = data
        .sheets
        .iter()
        .map(|&(lot, sheet)| Item::Sheet(lot, sheet));
    let notes = data.notes.iter().map(|&serial| Item::Note(serial));
    let replacements = data
        .replacements
        .iter()
        .map(|&serial| Item::Replacement(serial));
    let items: Vec<Item> = sheets.chain(notes).chain(replacements).collect();
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
            Some(Place::In(container)) => {
                return Err(Refusal::AlreadyIn {
                    item: *item,
                    container: *container,
                });
            }
            Some(Place::Destroyed(session)) => {
                return Err(Refusal::AlreadyDestroyed {
                    item: *item,
                    session: *session,
                });
            }
            None => return Err(Refusal::NotASpoil(*item)),
        }
    }
    Ok(Change::new(move |state| {
        let Some(container) = state.cage.containers.get_mut(&id) else {
            return;
        };
        for item in items {
            container.items.insert(item);
            state.cage.spoils.insert(item, Place::In(id));
        }
    }))
}

pub fn sealed(state: &State, header: &Header, data: &ContainerSealed) -> Result<Change, Refusal> {
    let container = open_container(state, data.container)?;
    if container.items.is_empty() {
        return Err(Refusal::ContainerEmpty(container.id));
    }
    if let Some(container) = state.cage.seals.get(&data.seal) {
        return Err(Refusal::SealUsed {
            seal: data.seal,
            container: *container,
        });
    }
    if data.second == header.by {
        return Err(Refusal::SamePerson(data.second));
    }
    may(state, data.second, Duty::Seal)?;
    sealing_mass(state, data)?;
    let sealing = Sealing {
        number: data.seal,
        by: header.by,
        second: data.second,
        at: header.at.clone(),
        gross: data.gross,
        tare: data.tare,
        scale: data.scale,
    };
    let (id, day) = (container.id, state.day_of(&header.at));
    Ok(Change::new(move |state| {
        state.cage.seals.insert(sealing.number, id);
        state.days.entry(day).or_default().containers_sealed += 1;
        if let Some(container) = state.cage.containers.get_mut(&id) {
            container.seal = Seal::Sealed(sealing);
        }
    }))
}

/// A tare and a scale belong to a gross mass, and the full container is not lighter.
fn sealing_mass(state: &State, data: &ContainerSealed) -> Result<(), Refusal> {
    if let Some(scale) = data.scale.filter(|id| !state.scales.contains_key(id)) {
        return Err(Refusal::UnknownScale(scale));
    }
    let id = data.container;
    match (data.gross, data.tare) {
        (None, None) if data.scale.is_none() => Ok(()),
        (None, _) => Err(Refusal::NoGross(id)),
        (Some(gross), Some(tare)) if gross < tare => Err(Refusal::BelowTare(id)),
        (Some(_), _) => Ok(()),
    }
}

pub fn destroyed(
    state: &State,
    header: &Header,
    hash: Hash,
    data: &Destruction,
) -> Result<Change, Refusal> {
    if state
        .sessions
        .iter()
        .any(|session| session.record.session == data.session)
    {
        return Err(Refusal::SessionTaken(data.session));
    }
    let containers: Vec<ContainerId> = data
        .containers
        .iter()
        .map(|found| found.container)
        .collect();
    let known = Known {
        containers: &state.cage.containers,
        people: &state.people,
        scales: &state.scales,
        taggers: taggers(state, &containers),
        witnesses_needed: state.rules.witnesses,
        outside_witness: state.rules.outside_witness,
    };
    check(data, &known)?;
    let entry = Entry::SpoilsDestroyed(data.clone());
    let day = state.day_of(&header.at);
    let session = SessionRecord {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        day,
        began_on: state.day_of(&data.started),
        hash,
        prev: header.prev,
        statement: statement(state, header.prev, header.by, &entry),
        record: data.clone(),
        weighed: weighed(state, &header.at, data),
    };
    Ok(Change::new(move |state| {
        let totals = state.days.entry(day).or_default();
        totals.sessions += 1;
        for found in &session.record.containers {
            totals.sheets_destroyed += u64::from(found.sheets);
            totals.notes_destroyed += u64::from(found.notes);
        }
        for id in containers {
            empty_for_ever(state, id, &session);
        }
        state.sessions.push(session);
    }))
}

fn empty_for_ever(state: &mut State, id: ContainerId, session: &SessionRecord) {
    let Some(container) = state.cage.containers.get_mut(&id) else {
        return;
    };
    let session = session.record.session;
    if let Some(sealing) = container.sealing().cloned() {
        container.seal = Seal::Destroyed { sealing, session };
    }
    for item in &container.items {
        state.cage.spoils.insert(*item, Place::Destroyed(session));
    }
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
