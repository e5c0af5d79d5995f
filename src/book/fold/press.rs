//! The numbering of a lot, and what differed at the numbering press.

use crate::custody::Item;
use crate::inspect::Verdict;
use crate::sheet::{LotId, MAX_SHEETS, Numbering, NumberingSpec, PressOrder, SheetNo};

use super::super::cage::{Came, Place};
use super::super::entry::{Difference, LotNumbered, PressDiffered};
use super::super::line::Header;
use super::super::lot::{Differed, Gone, Lot, PressRecord, Serials, SheetState};
use super::super::refusal::Refusal;
use super::super::state::{Change, Product, State};
use super::bench::{REASON_MAX, items, open_lot, sheet_of};
use super::required;

pub fn lot_numbered(state: &State, data: &LotNumbered) -> Result<Change, Refusal> {
    let lot = open_lot(state, data.lot)?;
    let order = lot.to_number()?;
    let numbering = free_numbering(state, lot.id, &lot.product, &data.numbering, order.len())?;
    let serials = Serials::new(&lot.product, order, Some(numbering))?;
    let id = lot.id;
    Ok(Change::new(move |state| {
        put_in_force(state, id, serials);
    }))
}

/// A numbering for lot `own`, whose serials no other lot and no series has.
pub(super) fn free_numbering(
    state: &State,
    own: LotId,
    product: &Product,
    spec: &NumberingSpec,
    sheets: u32,
) -> Result<Numbering, Refusal> {
    let numbering = Numbering::new(spec.clone(), &product.layout, sheets)?;
    for lot in state.lots.values().filter(|lot| lot.id != own) {
        let clash = lot.numbering().and_then(|other| numbering.overlaps(other));
        taken(clash, || format!("lot {}", lot.id))?;
    }
    for lot in state.archive.lots.values() {
        let other = lot.numbering.as_ref();
        let clash = other.and_then(|other| numbering.overlaps(other));
        taken(clash, || format!("lot {}", lot.carried.lot))?;
    }
    for pool in state.pools.values() {
        let clash = pool.series.overlaps_numbering(&numbering);
        taken(clash, || format!("series {}", pool.series.id()))?;
    }
    Ok(numbering)
}

pub(super) fn taken(
    clash: Option<(String, String)>,
    by: impl FnOnce() -> String,
) -> Result<(), Refusal> {
    match clash {
        Some((from, to)) => Err(Refusal::SerialsTaken { from, to, by: by() }),
        None => Ok(()),
    }
}

/// From now on these are the lot's serials. The marked notes of its mixed sheets are spoils under
/// them; nothing was built on older ones.
fn put_in_force(state: &mut State, id: LotId, serials: Serials) {
    let Some(lot) = state.lots.get_mut(&id) else {
        return;
    };
    for (item, _) in marked_notes(lot) {
        state.cage.take_back(id, &item);
    }
    lot.serials = serials;
    for (item, came) in marked_notes(lot) {
        state.cage.add(id, item, came);
    }
}

/// The notes that the rulings of mixed sheets mark, each with the entry of its ruling.
fn marked_notes(lot: &Lot) -> Vec<(Item, Came)> {
    let mixed = lot
        .not_good()
        .filter(|(_, exam)| exam.ruling.verdict == Verdict::Mixed);
    mixed
        .flat_map(|(sheet, exam)| {
            let came = Came::new(exam.seq, &exam.at);
            let items = items(lot, sheet, exam).into_iter();
            items.map(move |item| (item, came.clone()))
        })
        .collect()
}

pub fn differed(state: &State, header: &Header, data: &PressDiffered) -> Result<Change, Refusal> {
    let lot = open_lot(state, data.lot)?;
    if lot.came_numbered {
        return Err(Refusal::CameNumbered(lot.id));
    }
    required("Reason", &data.reason, REASON_MAX)?;
    if data.second == header.by {
        return Err(Refusal::SamePerson(data.second));
    }
    state.person(data.second)?;
    nothing_built(state, lot)?;
    let (what, order) = match data.what {
        Difference::Lost { sheet } => lost(lot, sheet)?,
        Difference::Added { after, sheets } => added(lot, after, sheets)?,
    };
    let serials = renumbered(state, lot, order)?;
    let record = PressRecord {
        seq: header.seq,
        by: header.by,
        second: data.second,
        at: header.at.clone(),
        what,
        reason: data.reason.clone(),
    };
    let id = lot.id;
    Ok(Change::new(move |state| {
        put_in_force(state, id, serials);
        if let Some(lot) = state.lots.get_mut(&id) {
            note(lot, record);
        }
    }))
}

fn note(lot: &mut Lot, record: PressRecord) {
    match record.what {
        Differed::Lost(sheet) => {
            lot.press.lost.insert(sheet, record.seq);
        }
        Differed::Added { last, .. } => {
            let sheets = last.number();
            lot.press.added += sheets - lot.len();
            lot.sheets.resize(sheets as usize, SheetState::default());
        }
    }
    lot.press.records.push(record);
}

/// Serials may still shift while no replacement was drawn for one and none lies in a container.
fn nothing_built(state: &State, lot: &Lot) -> Result<(), Refusal> {
    if !lot.is_numbered() {
        return Ok(());
    }
    let drawn = state.pools.values().flat_map(|pool| &pool.drawn);
    if drawn.into_iter().any(|drawn| drawn.lot == lot.id) {
        let why = "replacement notes were drawn for it";
        return Err(Refusal::SerialsInUse { lot: lot.id, why });
    }
    let numbered = lot
        .not_good()
        .filter(|(sheet, _)| lot.gone(*sheet).is_none());
    let spoils = numbered.flat_map(|(sheet, exam)| items(lot, sheet, exam));
    let mut places = spoils.filter_map(|item| state.cage.spoils.get(&item));
    let why = match places.find(|place| **place != Place::Loose) {
        None => return Ok(()),
        Some(Place::Missing(_) | Place::Lost(_)) => {
            "some of its numbered spoils are missing or declared lost"
        }
        Some(_) => "some of its numbered spoils are in a container",
    };
    Err(Refusal::SerialsInUse { lot: lot.id, why })
}

fn lost(lot: &Lot, sheet: SheetNo) -> Result<(Differed, PressOrder), Refusal> {
    sheet_of(lot, sheet)?;
    let why = match (lot.gone(sheet), lot.verdict(sheet)) {
        (Some(Gone::LostAtPress { .. }), _) => "it was lost there before",
        (Some(Gone::BeforeNumbering), _) => "it left before numbering and is in the cage",
        (None, None) => "it is not examined yet",
        (None, Some(Verdict::Spoiled)) => "it is spoiled and in the cage",
        (None, Some(Verdict::Good | Verdict::Mixed)) => {
            let order = lot.press_order().without(|other| other == sheet);
            return Ok((Differed::Lost(sheet), order));
        }
    };
    Err(Refusal::NotLost { sheet, why })
}

fn added(
    lot: &Lot,
    after: Option<SheetNo>,
    sheets: u32,
) -> Result<(Differed, PressOrder), Refusal> {
    if let Some(sheet) = after {
        sheet_of(lot, sheet)?;
        if let Some(gone) = lot.gone(sheet) {
            return Err(Refusal::NotInPressOrder { sheet, gone });
        }
    }
    let room = MAX_SHEETS - lot.len();
    if !(1..=room).contains(&sheets) {
        let (given, max) = (sheets, room);
        return Err(Refusal::LotSize { given, max });
    }
    let new: Vec<SheetNo> = (lot.len()..lot.len() + sheets)
        .map(SheetNo::from_index)
        .collect();
    let first = SheetNo::from_index(lot.len());
    let last = SheetNo::from_index(lot.len() + sheets - 1);
    let order = lot.press_order().with_added(after, &new);
    let order = order.expect("`after` is in the order and the new sheets are not");
    Ok((Differed::Added { after, first, last }, order))
}

/// The lot's serials over another order: its last run is longer or shorter by the difference.
fn renumbered(state: &State, lot: &Lot, order: PressOrder) -> Result<Serials, Refusal> {
    let numbering = match lot.numbering() {
        None => None,
        Some(numbering) => {
            let spec = last_run_made_to(numbering, order.len());
            let spec = spec.ok_or(Refusal::LastInPressOrder(lot.id))?;
            let free = free_numbering(state, lot.id, &lot.product, &spec, order.len());
            Some(free.map_err(|why| no_room(lot, why))?)
        }
    };
    Ok(Serials::new(&lot.product, order, numbering)?)
}

/// The runs for `sheets` sheets in all. A run without sheets is dropped; nothing is left when all
/// are.
fn last_run_made_to(numbering: &Numbering, sheets: u32) -> Option<NumberingSpec> {
    let mut spec = numbering.spec().clone();
    let last = spec.runs.last_mut()?;
    last.sheets = (last.sheets + sheets) - numbering.sheets();
    if last.sheets == 0 {
        spec.runs.pop();
    }
    (!spec.runs.is_empty()).then_some(spec)
}

fn no_room(lot: &Lot, why: Refusal) -> Refusal {
    match why {
        Refusal::Numbering(_) => Refusal::NoRoomInNumbering(lot.id),
        other => other,
    }
}
