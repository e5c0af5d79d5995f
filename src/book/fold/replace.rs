//! Replacement notes: drawn in turn, inserted, spoiled themselves, or returned unused.

use std::collections::BTreeSet;

use crate::custody::Item;
use crate::sheet::{Replacement, Serial, SeriesId};

use super::super::cage::Came;
use super::super::entry::{
    ReplacementsDrawn, ReplacementsInserted, ReplacementsReturned, ReplacementsSpoiled,
};
use super::super::line::Header;
use super::super::lot::Lot;
use super::super::pool::{Drawn, Fate, Pool};
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::{listed, required};

pub fn drawn(state: &State, header: &Header, data: &ReplacementsDrawn) -> Result<Change, Refusal> {
    let lot = state.lot(data.lot)?;
    let pool = state.pool(data.series)?;
    listed(data.pairs.len())?;
    check_product(lot, pool)?;
    let notes = check_pairs(lot, pool, data)?;
    match pool.series.notes_of_sheet() {
        Some(of_sheet) => check_whole_sheets(lot, pool, &notes, of_sheet)?,
        None => check_loose(state, lot, &notes)?,
    }
    let (lot, series) = (lot.id, data.series);
    let (seq, day) = (header.seq, state.day_of(&header.at));
    Ok(Change::new(move |state| {
        let (Some(lot_state), Some(pool)) =
            (state.lots.get_mut(&lot), state.pools.get_mut(&series))
        else {
            return;
        };
        state.days.entry(day).or_default().replacements_drawn += notes.len() as u64;
        for note in notes {
            lot_state.replaced.insert(note, (series, pool.used()));
            pool.drawn.push(Drawn {
                lot,
                note,
                fate: Fate::OnHand,
                seq,
                day,
            });
        }
    }))
}

/// Checks that the notes are whole sheets to be replaced whole, each by rank. A series of sheets
/// is drawn in whole sheets only, so it goes on at the first note of its next sheet.
fn check_whole_sheets(lot: &Lot, pool: &Pool, notes: &[u64], of_sheet: u16) -> Result<(), Refusal> {
    let whole = |notes: &[u64]| {
        let sheet = notes.first().and_then(|note| lot.locate(*note));
        sheet.is_some_and(|(sheet, _)| lot.wants_sheet(sheet) && lot.numbers(sheet) == notes)
    };
    match notes.chunks(usize::from(of_sheet)).all(whole) {
        true => Ok(()),
        false => Err(Refusal::WholeSheetsOnly(pool.series.id())),
    }
}

/// Checks that no loose note is drawn for a sheet that a whole one could replace.
fn check_loose(state: &State, lot: &Lot, notes: &[u64]) -> Result<(), Refusal> {
    let Some(sheets) = state.sheets_left(lot.product.id) else {
        return Ok(());
    };
    let whole = |note: &&u64| {
        let found = lot.locate(**note);
        found.is_some_and(|(sheet, _)| lot.wants_sheet(sheet))
    };
    match notes.iter().find(whole) {
        None => Ok(()),
        Some(note) => Err(Refusal::WantsSheet {
            serial: lot
                .serial_of(*note)
                .map_or_else(String::new, |serial| serial.to_string()),
            series: sheets.series.id(),
        }),
    }
}

fn check_product(lot: &Lot, pool: &Pool) -> Result<(), Refusal> {
    if pool.series.product() == lot.product.id {
        return Ok(());
    }
    Err(Refusal::WrongProduct {
        series: pool.series.id(),
        of: pool.series.product(),
        lot: lot.id,
        lot_product: lot.product.id,
    })
}

/// Checks that each pair names a note in need, once, and the next unused replacement. Gives back
/// the numbers of the notes to replace.
fn check_pairs(lot: &Lot, pool: &Pool, data: &ReplacementsDrawn) -> Result<Vec<u64>, Refusal> {
    let format = lot.format().ok_or(Refusal::NotNumbered(lot.id))?;
    let mut notes = Vec::with_capacity(data.pairs.len());
    let mut seen = BTreeSet::new();
    for (index, (old, new)) in data.pairs.iter().enumerate() {
        let serial = || old.to_string();
        let not_of_lot = || Refusal::NotOfLot {
            serial: serial(),
            lot: lot.id,
        };
        let number = format.parse(old.as_str()).map_err(|_| not_of_lot())?;
        let (sheet, position) = lot.locate(number).ok_or_else(not_of_lot)?;
        let exam = lot.sheet(sheet).and_then(|known| known.exam.as_deref());
        let lost = exam.is_some_and(|exam| lot.is_lost(&exam.ruling, position));
        if !lost || lot.replaced.contains_key(&number) || !seen.insert(number) {
            return Err(Refusal::NoNeed { serial: serial() });
        }
        let next = pool.series.serial(pool.used() + index as u64);
        if next != Some(*new) {
            let next = next.map_or_else(
                || "none, it has run out".to_owned(),
                |serial| serial.to_string(),
            );
            return Err(Refusal::OutOfTurn {
                given: new.to_string(),
                series: data.series,
                next,
            });
        }
        notes.push(number);
    }
    Ok(notes)
}

pub fn inserted(
    state: &State,
    header: &Header,
    data: &ReplacementsInserted,
) -> Result<Change, Refusal> {
    let places = on_hand(state, data.series, &data.notes)?;
    let (series, day) = (data.series, state.day_of(&header.at));
    Ok(Change::new(move |state| {
        state.days.entry(day).or_default().replacements_inserted += places.len() as u64;
        if let Some(pool) = state.pools.get_mut(&series) {
            for place in places {
                if let Some(drawn) = pool.drawn_at_mut(place) {
                    drawn.fate = Fate::Inserted;
                }
            }
        }
    }))
}

/// A spoiled replacement note is itself a spoil, and the note it stood for needs another.
pub fn spoiled(
    state: &State,
    header: &Header,
    data: &ReplacementsSpoiled,
) -> Result<Change, Refusal> {
    let places = on_hand(state, data.series, &data.notes)?;
    required("Reason", &data.reason, 200)?;
    let (series, day, notes) = (data.series, state.day_of(&header.at), data.notes.clone());
    let came = Came::new(header.seq, &header.at);
    Ok(Change::new(move |state| {
        state.days.entry(day).or_default().replacements_spoiled += places.len() as u64;
        for (place, serial) in places.into_iter().zip(notes) {
            let Some(drawn) = state
                .pools
                .get_mut(&series)
                .and_then(|pool| pool.drawn_at_mut(place))
            else {
                continue;
            };
            drawn.fate = Fate::Spoiled;
            if let Some(lot) = state.lots.get_mut(&drawn.lot) {
                lot.replaced.remove(&drawn.note);
            }
            let lot = drawn.lot;
            state.cage.add(lot, Item::Replacement(serial), came.clone());
        }
    }))
}

/// A returned replacement note was not used; the note it stood for needs another.
pub fn returned(
    state: &State,
    header: &Header,
    data: &ReplacementsReturned,
) -> Result<Change, Refusal> {
    let places = on_hand(state, data.series, &data.notes)?;
    required("Reason", &data.reason, 200)?;
    let (series, day) = (data.series, state.day_of(&header.at));
    Ok(Change::new(move |state| {
        state.days.entry(day).or_default().replacements_returned += places.len() as u64;
        let Some(pool) = state.pools.get_mut(&series) else {
            return;
        };
        for place in places {
            let Some(drawn) = pool.drawn_at_mut(place) else {
                continue;
            };
            drawn.fate = Fate::Returned;
            if let Some(lot) = state.lots.get_mut(&drawn.lot) {
                lot.replaced.remove(&drawn.note);
            }
        }
    }))
}

/// The places of drawn notes that are on hand, each named once.
fn on_hand(
    state: &State,
    series: SeriesId,
    notes: &[Serial<Replacement>],
) -> Result<Vec<u64>, Refusal> {
    let pool = state.pool(series)?;
    listed(notes.len())?;
    let mut seen = BTreeSet::new();
    let mut places = Vec::with_capacity(notes.len());
    for serial in notes {
        let place = pool
            .find(serial)
            .ok_or_else(|| Refusal::NotDrawn(serial.to_string()))?;
        let fate = match pool.drawn_at(place).map(|drawn| drawn.fate) {
            Some(Fate::OnHand) if seen.insert(place) => None,
            Some(Fate::OnHand) => Some("named twice"),
            Some(Fate::Inserted) => Some("inserted"),
            Some(Fate::Spoiled) => Some("spoiled"),
            Some(Fate::Returned) => Some("returned"),
            None => Some("settled in the archive"),
        };
        if let Some(fate) = fate {
            return Err(Refusal::NotOnHand {
                serial: serial.to_string(),
                fate,
            });
        }
        places.push(place);
    }
    Ok(places)
}
