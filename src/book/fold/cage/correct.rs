//! Corrections of container facts: pieces in the wrong container, a sealing written amiss.

use crate::account::{Amended, Amendment, Sealed};
use crate::custody::{Seal, Sealing, SealingCorrection, TareAndScale};
use crate::people::Day;

use super::super::super::cage::{Came, Place};
use super::super::super::cage_refusal::CageRefusal;
use super::super::super::entry::{FillingCorrected, SealingCorrected};
use super::super::super::line::Header;
use super::super::super::refusal::Refusal;
use super::super::super::state::{Change, State};
use super::super::bench::REASON_MAX;
use super::super::{listed, required};
use super::hold::each_once_and_few;
use super::{act, gone_or_held, masses, open_container, second, unused_seal};

/// Pieces leave an open container: loose again, or over into another open one. Every piece was put
/// in by the entry that is named.
pub fn filling(state: &State, header: &Header, data: &FillingCorrected) -> Result<Change, Refusal> {
    let container = open_container(state, data.container)?;
    let to = match data.to {
        None => Place::Loose,
        Some(to) if to == container.id => return Err(CageRefusal::SameContainer(to).into()),
        Some(to) => Place::In(open_container(state, to)?.id),
    };
    required("Reason", &data.reason, REASON_MAX)?;
    let items = data.pieces.items();
    listed(items.len())?;
    each_once_and_few(items.iter())?;
    for &item in &items {
        let (container, corrects) = (container.id, data.corrects);
        if state.cage.spoils.get(&item) != Some(&Place::In(container)) {
            return Err(CageRefusal::NotInIt { item, container }.into());
        }
        if state.cage.came(&item).map(|came| came.seq) != Some(corrects) {
            return Err(CageRefusal::OtherFilling {
                item,
                container,
                corrects,
            }
            .into());
        }
    }
    let (day, came) = (state.day_of(&header.at), Came::new(header.seq, &header.at));
    let made = Amendment {
        entry: header.seq,
        what: Amended::Filling {
            container: container.id,
            to: data.to,
            pieces: items.len() as u64,
        },
        amends: data.corrects,
        reason: data.reason.trim().to_owned(),
        by: header.by,
        second: None,
        at: header.at.clone(),
    };
    Ok(Change::new(move |state| {
        note(state, day, made);
        for item in items {
            state.cage.put(item, to, &came);
        }
    }))
}

/// Counts and lists a correction of the cage.
fn note(state: &mut State, day: Day, made: Amendment) {
    let totals = state.days.entry(day).or_default();
    totals.custody_corrections += 1;
    totals.amendments.push(made);
}

/// Seal number, masses or scale of a sealing that still holds. A number written amiss is free
/// again: it was never on the container.
pub fn sealing(state: &State, header: &Header, data: &SealingCorrected) -> Result<Change, Refusal> {
    let container = state.container(data.container)?;
    let id = container.id;
    let before = match &container.seal {
        Seal::Sealed(sealing) => sealing,
        Seal::Open => return Err(CageRefusal::NotSealed(id).into()),
        _ => return Err(gone_or_held(container)),
    };
    if data.corrects != before.last_word() {
        return Err(CageRefusal::OtherSealing {
            container: id,
            corrects: data.corrects,
            last: before.last_word(),
        }
        .into());
    }
    let weighed = corrected_weighed(before, data);
    if (data.seal, data.gross, weighed) == (before.number, before.gross, before.weighed) {
        return Err(CageRefusal::NothingCorrected.into());
    }
    if data.seal != before.number {
        unused_seal(state, data.seal)?;
    }
    masses(state, id, data.gross, weighed)?;
    required("Reason", &data.reason, REASON_MAX)?;
    second(state, header, data.second)?;
    let correction = SealingCorrection {
        number_was: before.number,
        gross_was: before.gross,
        weighed_was: before.weighed,
        act: act(header),
        second: data.second,
        reason: data.reason.trim().to_owned(),
    };
    let (day, seal, gross) = (state.day_of(&header.at), data.seal, data.gross);
    let made = Amendment {
        entry: header.seq,
        what: Amended::Sealing {
            container: id,
            before: Sealed {
                seal: before.number,
                gross: before.gross,
                weighed: data.weighed.map(|_| before.weighed),
            },
            after: Sealed {
                seal,
                gross,
                weighed: data.weighed,
            },
        },
        amends: data.corrects,
        reason: correction.reason.clone(),
        by: header.by,
        second: Some(data.second),
        at: header.at.clone(),
    };
    Ok(Change::new(move |state| {
        note(state, day, made);
        state.cage.seals.remove(&correction.number_was);
        state.cage.seals.insert(seal, id);
        if let Some(container) = state.cage.containers.get_mut(&id)
            && let Seal::Sealed(sealing) = &mut container.seal
        {
            (sealing.number, sealing.gross, sealing.weighed) = (seal, gross, weighed);
            sealing.corrections.push(correction);
        }
    }))
}

/// A correction that names neither leaves tare and scale as they are; they say nothing without the
/// gross mass.
fn corrected_weighed(before: &Sealing, data: &SealingCorrected) -> TareAndScale {
    match (data.weighed, data.gross) {
        (Some(weighed), _) => weighed,
        (None, Some(_)) => before.weighed,
        (None, None) => TareAndScale::default(),
    }
}
