//! Acceptance samples: drawn by a seed that anyone can draw with again, looked at by somebody
//! else than whoever passed the sheet.

use crate::inspect::Tag;
use crate::quality::sampling::Decision;

use super::super::acceptance::{Acceptance, Look};
use super::super::entry::{AcceptanceDrawn, AcceptanceLooked};
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::bench::{REASON_MAX, open_lot, resolve_tags};
use super::required;

/// Longest seed, in characters.
const SEED_MAX: usize = 64;

pub fn drawn(state: &State, header: &Header, data: &AcceptanceDrawn) -> Result<Change, Refusal> {
    let lot = open_lot(state, data.lot)?;
    let id = data.acceptance;
    if state.knows_acceptance(id) {
        return Err(Refusal::AcceptanceTaken(id));
    }
    let before = state.acceptances_of(lot.id);
    if let Some(open) = before.iter().find(|one| one.decision().is_none()) {
        return Err(Refusal::AcceptanceOpen(open.id));
    }
    required("Seed", &data.seed, SEED_MAX)?;
    may_inspect(state, data)?;
    let planned = lot.acceptance_plan(data.level, data.aql, data.inspection)?;
    let sheets = lot.drawn_by(&data.seed, planned.sample());
    if data.passed != planned.passed || data.sheets != sheets {
        return Err(Refusal::OtherDraw(id));
    }
    let rejected = |one: &&Acceptance| one.decision() == Some(Decision::Reject);
    let acceptance = Acceptance {
        id,
        lot: lot.id,
        product: lot.product.id,
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        level: data.level,
        aql: data.aql,
        severity: data.inspection,
        plan: planned.plan,
        passed: planned.passed,
        seed: data.seed.clone(),
        resumed: data.resumed.clone(),
        again: before.iter().any(rejected),
        sheets: sheets.into_iter().map(|sheet| (sheet, None)).collect(),
    };
    Ok(Change::new(move |state| {
        state.acceptances.insert(id, acceptance);
    }))
}

/// The switching rules say how strictly; going on after a suspension takes a reason.
fn may_inspect(state: &State, data: &AcceptanceDrawn) -> Result<(), Refusal> {
    let product = state.lot(data.lot)?.product.id;
    let standing = state.standing(product);
    if let Some(reason) = &data.resumed {
        required("Reason for resuming", reason, REASON_MAX)?;
    }
    let suspended = standing.is_suspended();
    match (suspended, &data.resumed) {
        (true, None) => return Err(Refusal::AcceptanceSuspended(product)),
        (false, Some(_)) => return Err(Refusal::NothingToResume(product)),
        _ => {}
    }
    let needed = standing.severity();
    let allowed = match suspended {
        true => data.inspection == needed,
        false => standing.allows(data.inspection),
    };
    match allowed {
        true => Ok(()),
        false => Err(Refusal::TooLenient {
            chosen: data.inspection,
            needed,
        }),
    }
}

pub fn looked(state: &State, header: &Header, data: &AcceptanceLooked) -> Result<Change, Refusal> {
    let acceptance = state.acceptance(data.acceptance)?;
    let lot = open_lot(state, acceptance.lot)?;
    let sheet = data.sheet;
    let drawn = acceptance.sheets.get(&sheet);
    let before = drawn.ok_or(Refusal::NotInSample {
        sheet,
        acceptance: acceptance.id,
    })?;
    let corrects = correction(data, before.as_ref())?;
    let exam = lot.sheet(sheet).and_then(|known| known.exam.as_deref());
    if exam.is_some_and(|exam| exam.ruled_by().any(|by| by == header.by)) {
        let by = header.by;
        return Err(Refusal::OwnSheet { sheet, by });
    }
    let tags: Vec<Tag> = resolve_tags(lot, sheet, &data.tags)?;
    let look = Look {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        ruling: lot.rule(&tags),
        tags,
        corrects,
    };
    let id = acceptance.id;
    Ok(Change::new(move |state| {
        if let Some(acceptance) = state.acceptances.get_mut(&id) {
            acceptance.sheets.insert(sheet, Some(look));
        }
    }))
}

fn correction(
    data: &AcceptanceLooked,
    before: Option<&Look>,
) -> Result<Option<(u64, String)>, Refusal> {
    let sheet = data.sheet;
    match (before, data.corrects) {
        (None, None) => Ok(None),
        (Some(look), None) => Err(Refusal::LookedBefore {
            sheet,
            seq: look.seq,
        }),
        (Some(look), Some(corrects)) if look.seq == corrects => {
            let reason = data.reason.clone().unwrap_or_default();
            required("Reason for the correction", &reason, REASON_MAX)?;
            Ok(Some((corrects, reason)))
        }
        (_, Some(corrects)) => Err(Refusal::NothingToCorrect { sheet, corrects }),
    }
}
