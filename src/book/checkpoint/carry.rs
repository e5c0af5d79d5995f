//! What a settled state carries over.

use std::collections::{BTreeMap, BTreeSet};

use crate::account::DayTotals;
use crate::custody::{Container, Seal};
use crate::inspect::{Quantity, Tolerance};
use crate::people::{Day, PersonId};
use crate::quality::sampling::Standing;
use crate::sheet::{LotId, ProductId};

use super::super::archive::ArchivedLot;
use super::super::entry::{MeasureTarget, ProductDefined};
use super::super::figures::lot_account;
use super::super::line::LINE_MAX;
use super::super::lot::Lot;
use super::super::pool::{Fate, Pool, Settled};
use super::super::state::{Product, State};
use super::super::weighing::ResidueRecord;
use super::{
    Carried, CarriedContainer, CarriedLot, CarriedPlace, CarriedReceipt, CarriedSeries, Unsettled,
    unsettled,
};

/// Production days of which the totals are carried over, and days with draws of each series: what
/// comparisons and forecasts look back on.
const DAYS_CARRIED: usize = 31;

/// Sessions of which the witnesses are carried over, so that the same pair is noticed: as many as
/// the rules can ask for.
const SESSIONS_CARRIED: usize = u8::MAX as usize;

/// Longest text of what is carried over, in bytes: it leaves room for the rest of the line.
const CARRIED_MAX: usize = LINE_MAX - (16 << 10);

/// What the state carries over to the lines behind a checkpoint.
///
/// # Errors
/// The first thing that is not settled.
pub fn carry(state: &State) -> Result<Carried, Unsettled> {
    if let Some(first) = unsettled(state).into_iter().next() {
        return Err(first);
    }
    // Named one by one: whoever adds to the state decides here what of it is carried over.
    let State {
        opened,
        people,
        retired,
        catalogue,
        rules,
        products,
        pools,
        lots,
        acceptances,
        cage,
        sessions,
        scales,
        papers,
        tolerances,
        residue,
        // Nothing is under way.
        session: _,
        abandoned,
        failed_keys,
        days,
        closed_days,
        last_day,
        // Lists are in the archive.
        samples: _,
        handovers: _,
        healings: _,
        // The checkpoint is the last copy itself.
        last_copy: _,
        last_book_copy: _,
        archive,
    } = state;
    let opened = opened.as_ref().expect("it is settled, so it is open");
    let done = sessions.iter().map(|session| &session.record.session);
    let used = done.chain(abandoned.iter().map(|one| &one.log.session));
    let used = every(used, &archive.sessions);
    let (open, gone): (Vec<&Container>, Vec<_>) = cage
        .containers
        .values()
        .partition(|container| container.seal == Seal::Open);
    let gone = gone.into_iter().map(|container| &container.id);
    let carried = Carried {
        works: opened.works.clone(),
        book: opened.book,
        bench: opened.bench,
        practice: opened.practice,
        opened: opened.at.clone(),
        people: people.values().cloned().collect(),
        retired: retired.values().cloned().collect(),
        classes: (**catalogue).clone(),
        rules: (**rules).clone(),
        products: products.values().map(|product| defined(product)).collect(),
        series: pools.values().map(settled).collect(),
        lots: every_lot(state, lots, &archive.lots),
        containers: open.into_iter().map(open_container).collect(),
        used_containers: every(gone, &archive.containers),
        seals: cage.seals.clone(),
        sessions: used,
        begins_sessions: state.begins_sessions(),
        witnesses: last_witnesses(state),
        scales: scales.values().cloned().collect(),
        papers: papers.clone(),
        tolerances: tolerances.iter().map(target).collect(),
        receipts: archive
            .receipts
            .iter()
            .cloned()
            .chain(residue.iter().map(receipt))
            .collect(),
        failed_keys: failed_keys.clone(),
        acceptances: every(acceptances.keys(), &archive.acceptances),
        standings: standings(state),
        days: compared(days),
        last_day: *last_day,
        closed_days: closed_days.clone(),
    };
    let bytes = carried.text().len();
    match bytes > CARRIED_MAX {
        true => Err(Unsettled::TooMuch {
            bytes: bytes as u64,
        }),
        false => Ok(carried),
    }
}

/// Names used here and in the archive.
fn every<'a, T: Copy + Ord + 'a>(
    here: impl Iterator<Item = &'a T>,
    archived: &'a BTreeSet<T>,
) -> Vec<T> {
    let names: BTreeSet<T> = here.chain(archived).copied().collect();
    names.into_iter().collect()
}

fn open_container(container: &Container) -> CarriedContainer {
    let place = container.place.as_ref();
    CarriedContainer {
        container: container.id,
        place: place.map(|(place, act)| CarriedPlace {
            place: place.clone(),
            seq: act.seq,
            by: act.by,
            at: act.at.clone(),
        }),
    }
}

fn target((of, tolerance): (&(ProductId, Quantity), &Tolerance)) -> MeasureTarget {
    let (product, quantity) = *of;
    MeasureTarget {
        product,
        quantity,
        tolerance: *tolerance,
    }
}

fn receipt(sent: &ResidueRecord) -> CarriedReceipt {
    CarriedReceipt {
        destination: sent.data.destination.clone(),
        receipt: sent.data.receipt.clone(),
        entry: sent.seq,
    }
}

fn last_witnesses(state: &State) -> Vec<Vec<PersonId>> {
    let mut last: Vec<Vec<PersonId>> = state
        .witnesses()
        .rev()
        .take(SESSIONS_CARRIED)
        .map(<[PersonId]>::to_vec)
        .collect();
    last.reverse();
    last
}

/// The standing of each product that has left its beginning.
fn standings(state: &State) -> BTreeMap<ProductId, Standing> {
    let products = state.products.keys();
    let standings = products.map(|product| (*product, state.standing(*product)));
    standings
        .filter(|(_, standing)| *standing != Standing::default())
        .collect()
}

fn defined(product: &Product) -> ProductDefined {
    ProductDefined {
        product: product.id,
        title: product.title.clone(),
        layout: product.layout.spec().clone(),
        finishing: product.finishing,
    }
}

fn settled(pool: &Pool) -> CarriedSeries {
    CarriedSeries {
        series: pool.series.spec().clone(),
        settled: Settled {
            inserted: pool.count(Fate::Inserted),
            spoiled: pool.count(Fate::Spoiled),
            returned: pool.count(Fate::Returned),
            by_day: last(&pool.by_day()),
        },
    }
}

/// The last days on which sheets were examined, and every day behind the first of them.
fn compared(days: &BTreeMap<Day, DayTotals>) -> BTreeMap<Day, DayTotals> {
    let examined = days.iter().filter(|(_, totals)| totals.all.examined() > 0);
    let first = examined.rev().nth(DAYS_CARRIED - 1).map(|(day, _)| *day);
    let kept = days.iter().filter(|(day, _)| Some(**day) >= first);
    kept.map(|(day, totals)| (*day, totals.clone())).collect()
}

/// The last days of a map.
fn last<T: Clone>(days: &BTreeMap<Day, T>) -> BTreeMap<Day, T> {
    let last = days.iter().rev().take(DAYS_CARRIED);
    last.map(|(day, value)| (*day, value.clone())).collect()
}

fn every_lot(
    state: &State,
    lots: &BTreeMap<LotId, Lot>,
    archived: &BTreeMap<LotId, ArchivedLot>,
) -> Vec<CarriedLot> {
    let before = archived.values().map(|lot| lot.carried.clone());
    let new = lots.values().map(|lot| closed(state, lot));
    let mut every: Vec<CarriedLot> = before.chain(new).collect();
    every.sort_by_key(|lot| lot.lot);
    every
}

fn closed(state: &State, lot: &Lot) -> CarriedLot {
    let account = lot_account(state, lot);
    CarriedLot {
        lot: lot.id,
        product: lot.product.id,
        opened: lot.seq,
        closed: lot.closed.expect("every lot is closed"),
        numbering: lot.numbering().map(|numbering| numbering.spec().clone()),
        sheets: account.sheet_figures,
        notes: account.note_figures,
        replacements: account.replacement_figures,
        spoils: account.spoil_figures,
    }
}
