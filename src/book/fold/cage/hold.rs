//! A container in doubt: its seal looked at, put on hold, counted again by two, sealed anew.

use std::collections::BTreeSet;

use crate::custody::{
    Container, ContainerId, Contents, HeldFor, Hold, Item, Recount, Seal, Sealing, TareAndScale,
};

use super::super::super::cage::{Came, Place};
use super::super::super::cage_refusal::CageRefusal;
use super::super::super::entry::{
    ContainerHeld, ContainerRecounted, ContainerResealed, LIST_PART, SealChecked,
};
use super::super::super::line::Header;
use super::super::super::refusal::Refusal;
use super::super::super::state::{Change, State};
use super::super::bench::REASON_MAX;
use super::super::required;
use super::{act, gone_or_held, masses, sealing, second, unused_seal};

fn sealed_container(state: &State, id: ContainerId) -> Result<(&Container, &Sealing), Refusal> {
    let container = state.container(id)?;
    match &container.seal {
        Seal::Sealed(sealing) => Ok((container, sealing)),
        Seal::Open => Err(CageRefusal::NotSealed(id).into()),
        _ => Err(gone_or_held(container)),
    }
}

fn held_container(state: &State, id: ContainerId) -> Result<(&Container, &Hold), Refusal> {
    let container = state.container(id)?;
    match &container.seal {
        Seal::Held(_, hold) => Ok((container, hold)),
        Seal::Open | Seal::Sealed(_) => Err(CageRefusal::NotHeld(id).into()),
        _ => Err(gone_or_held(container)),
    }
}

/// A seal that is not as it should be puts the container on hold at once.
pub fn checked(state: &State, header: &Header, data: &SealChecked) -> Result<Change, Refusal> {
    let (container, sealing) = sealed_container(state, data.container)?;
    let id = container.id;
    let wrong = match (data.found, data.broken) {
        (None, false) => Some(HeldFor::NoSeal),
        (Some(found), _) if found != sealing.number => Some(HeldFor::OtherSeal(found)),
        (found, true) => Some(HeldFor::BrokenSeal(found)),
        (Some(_), false) => None,
    };
    if let Some(why) = wrong {
        return Ok(hold(id, why, header));
    }
    let act = act(header);
    Ok(Change::new(move |state| {
        if let Some(container) = state.cage.containers.get_mut(&id) {
            container.checked = Some(act);
        }
    }))
}

pub fn held(state: &State, header: &Header, data: &ContainerHeld) -> Result<Change, Refusal> {
    let (container, _) = sealed_container(state, data.container)?;
    required("Reason", &data.reason, REASON_MAX)?;
    let why = HeldFor::Said(data.reason.trim().to_owned());
    Ok(hold(container.id, why, header))
}

fn hold(id: ContainerId, why: HeldFor, header: &Header) -> Change {
    let hold = Hold {
        why,
        act: act(header),
        recounts: Vec::new(),
    };
    Change::new(move |state| {
        let Some(container) = state.cage.containers.get_mut(&id) else {
            return;
        };
        if let Seal::Sealed(sealing) = std::mem::replace(&mut container.seal, Seal::Open) {
            container.seal = Seal::Held(sealing, hold);
        }
    })
}

/// Counted again by two. What is missing leaves the container and stays a difference; what was
/// found besides goes into it. It may be counted more than once before it is sealed anew.
pub fn recounted(
    state: &State,
    header: &Header,
    data: &ContainerRecounted,
) -> Result<Change, Refusal> {
    let (container, _) = held_container(state, data.container)?;
    second(state, header, data.second)?;
    required("Explanation", &data.explanation, REASON_MAX)?;
    let (missing, found) = (data.missing.items(), data.found.items());
    each_once_and_few(missing.iter().chain(&found))?;
    named_rightly(state, container, &missing, &found)?;
    let (declared, counted) = (container.contents(), counted(data));
    agrees(declared, counted, &missing, &found)?;
    let recount = Recount {
        act: act(header),
        second: data.second,
        declared,
        counted,
        missing,
        found,
        explanation: data.explanation.trim().to_owned(),
    };
    let (id, came) = (container.id, Came::new(header.seq, &header.at));
    Ok(Change::new(move |state| {
        for item in &recount.missing {
            state.cage.put(*item, Place::Missing(id), &came);
        }
        for item in &recount.found {
            state.cage.put(*item, Place::In(id), &came);
        }
        if let Some(container) = state.cage.containers.get_mut(&id)
            && let Seal::Held(_, hold) = &mut container.seal
        {
            hold.recounts.push(recount);
        }
    }))
}

fn counted(data: &ContainerRecounted) -> Contents {
    Contents {
        sheets: data.sheets,
        notes: data.notes,
    }
}

pub(super) fn each_once_and_few<'a>(items: impl Iterator<Item = &'a Item>) -> Result<(), Refusal> {
    let mut seen = BTreeSet::new();
    for item in items {
        if !seen.insert(item) {
            return Err(CageRefusal::NamedTwice(*item).into());
        }
    }
    match seen.len() {
        0..=LIST_PART => Ok(()),
        _ => Err(Refusal::LongList { max: LIST_PART }),
    }
}

/// What is missing is declared for this container; what was found is nowhere else.
fn named_rightly(
    state: &State,
    container: &Container,
    missing: &[Item],
    found: &[Item],
) -> Result<(), Refusal> {
    if let Some(item) = missing.iter().find(|item| !container.items.contains(item)) {
        let (item, container) = (*item, container.id);
        return Err(CageRefusal::NotInIt { item, container }.into());
    }
    for item in found {
        match state.cage.spoils.get(item) {
            Some(Place::Missing(_) | Place::Loose) => {}
            Some(_) => return Err(CageRefusal::NotMissing(*item).into()),
            None => return Err(Refusal::NotASpoil(*item)),
        }
    }
    Ok(())
}

/// Counted is what is declared, less what is missing, with what was found.
fn agrees(
    declared: Contents,
    counted: Contents,
    missing: &[Item],
    found: &[Item],
) -> Result<(), Refusal> {
    let (missing, found) = (Contents::of(missing), Contents::of(found));
    type Part = fn(&Contents) -> u32;
    let expected = |part: Part| {
        i64::from(part(&declared)) - i64::from(part(&missing)) + i64::from(part(&found))
    };
    let kinds: [(&str, Part); 2] = [("sheets", |of| of.sheets), ("notes", |of| of.notes)];
    for (kind, part) in kinds {
        if i64::from(part(&counted)) != expected(part) {
            return Err(CageRefusal::RecountDiffers {
                kind,
                counted: part(&counted),
                expected: expected(part),
                declared: part(&declared),
            }
            .into());
        }
    }
    Ok(())
}

pub fn resealed(
    state: &State,
    header: &Header,
    data: &ContainerResealed,
) -> Result<Change, Refusal> {
    let (container, hold) = held_container(state, data.container)?;
    let id = container.id;
    if hold.explained().is_none() {
        return Err(CageRefusal::NotRecounted(id).into());
    }
    if container.items.is_empty() {
        return Err(Refusal::ContainerEmpty(id));
    }
    unused_seal(state, data.seal)?;
    second(state, header, data.second)?;
    let weighed = TareAndScale {
        tare: data.tare,
        scale: data.scale,
    };
    masses(state, id, data.gross, weighed)?;
    let anew = sealing(header, data.seal, data.second, (data.gross, weighed));
    Ok(Change::new(move |state| {
        state.cage.seals.insert(anew.number, id);
        let Some(container) = state.cage.containers.get_mut(&id) else {
            return;
        };
        let before = std::mem::replace(&mut container.seal, Seal::Sealed(anew));
        if let Seal::Held(sealing, hold) = before {
            container.past.push((sealing, hold));
        }
        container.checked = None;
    }))
}
