//! The form that numbers a lot examined before numbering: its survivors take the serials.

use std::rc::Rc;

use crate::book::{Entry, Lot, LotNumbered, Refusal, State};
use crate::sheet::{LotId, Numbering, PressOrder};

use super::lot::LotPlan;
use super::numbering::OF_NUMBERING;
use super::{FieldErrors, Reader, Typed};

/// The lots that wait for their numbering, in order of their names.
pub fn lots_to_number(state: &State) -> impl Iterator<Item = &Lot> {
    let lots = state.lots.values();
    lots.filter(|lot| !lot.is_numbered() && lot.closed.is_none())
}

/// What the form starts with; the lot is chosen when there is one only.
pub fn number_lot_start(state: &State) -> Typed {
    let mut typed = Typed::default();
    OF_NUMBERING.start(&mut typed);
    let mut lots = lots_to_number(state);
    if let (Some(only), None) = (lots.next(), lots.next()) {
        typed.set("number-lot", only.id.to_string());
    }
    typed
}

/// Reads the whole form.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn number_lot(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let read = read_plan(&mut form, state);
    let entry = read.map(|(lot, _, numbering)| {
        Entry::LotNumbered(LotNumbered {
            lot,
            numbering: numbering.spec().clone(),
        })
    });
    form.finish(entry)
}

/// The serials as they would be printed: what the preview shows.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn number_lot_plan(typed: &Typed, state: &State) -> Result<LotPlan, FieldErrors> {
    let mut form = Reader::new(typed);
    let plan = read_plan(&mut form, state).map(|(_, plan, _)| plan);
    form.finish(plan)
}

/// The field that a refusal of the book is about.
pub fn number_lot_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::SerialsTaken { .. } => OF_NUMBERING.runs[0].first,
        Refusal::Numbering(why) => OF_NUMBERING.field(why),
        Refusal::UnknownLot(_)
        | Refusal::LotIsClosed(_)
        | Refusal::NumberedBefore(_)
        | Refusal::NumberedTooSoon { .. }
        | Refusal::NothingToNumber(_) => "number-lot",
        _ => "",
    }
}

fn read_plan(form: &mut Reader, state: &State) -> Option<(LotId, LotPlan, Numbering)> {
    let chosen = read_lot(form, state);
    let notes = chosen.as_ref().map(|(lot, _)| lot.notes());
    let sheets = chosen.as_ref().map(|(_, order)| order.len());
    let spec = OF_NUMBERING.read(form, notes, sheets);
    let ((lot, order), spec) = (chosen?, spec?);
    let numbering = match Numbering::new(spec, &lot.product.layout, order.len()) {
        Ok(numbering) => numbering,
        Err(why) => return form.wrong(OF_NUMBERING.field(&why), why),
    };
    match LotPlan::new(Rc::clone(&lot.product), order, Some(numbering.clone())) {
        Ok(plan) => Some((lot.id, plan, numbering)),
        Err(why) => form.wrong("number-lot", why),
    }
}

/// A lot that can be numbered now, and its sheets to number.
fn read_lot<'a>(form: &mut Reader, state: &'a State) -> Option<(&'a Lot, PressOrder)> {
    if form.text("number-lot").is_empty() {
        return form.wrong("number-lot", "\"Lot\" is not chosen. Choose one.");
    }
    let id: LotId = form.read("number-lot")?;
    let lot = match state.lot(id) {
        Ok(lot) => lot,
        Err(why) => return form.wrong("number-lot", why),
    };
    match lot.to_number() {
        Ok(order) => Some((lot, order)),
        Err(why) => form.wrong("number-lot", why),
    }
}

#[cfg(test)]
mod tests;
