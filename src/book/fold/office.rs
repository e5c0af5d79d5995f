//! The Office: the book itself, people, classes, rules, products, series, lots.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::account::Tally;
use crate::people::{Person, PublicKey, Role};
use crate::sheet::{Layout, MAX_SHEETS, PressOrder, Series, SeriesSpec};

use super::super::entry::{
    BookOpened, ClassesSet, LotOpened, PersonRekeyed, PersonRetired, ProductDefined,
};
use super::super::line::Header;
use super::super::lot::{AtPress, Lot, Serials, SheetState};
use super::super::pool::{Pool, Settled};
use super::super::refusal::Refusal;
use super::super::state::{Change, Opened, Product, State};
use super::press::{free_numbering, taken};
use super::required;
use crate::inspect::Rules;

const NAME_MAX: usize = 60;

pub fn book_opened(state: &State, header: &Header, data: &BookOpened) -> Result<Change, Refusal> {
    if state.opened.is_some() {
        return Err(Refusal::OpenedTwice);
    }
    required("Works", &data.works, NAME_MAX)?;
    let supervisor = data.supervisor.clone();
    if !supervisor.has(Role::Supervisor) {
        return Err(Refusal::LastOf {
            person: supervisor.person,
            role: Role::Supervisor,
        });
    }
    if supervisor.person != header.by {
        return Err(Refusal::UnknownPerson(header.by));
    }
    let opened = Opened {
        works: data.works.clone(),
        book: data.book,
        bench: header.bench,
        practice: data.practice,
        at: header.at.clone(),
    };
    Ok(Change::new(move |state| {
        state.opened = Some(opened);
        state.people.insert(supervisor.person, supervisor);
    }))
}

pub fn person_enrolled(state: &State, data: &Person) -> Result<Change, Refusal> {
    let id = data.person;
    if state.people.contains_key(&id) || state.retired.contains_key(&id) {
        return Err(Refusal::PersonTaken(id));
    }
    if data.roles.is_empty() {
        return Err(Refusal::NoRole { person: id });
    }
    let person = data.clone();
    Ok(Change::new(move |state| {
        state.people.insert(id, person);
    }))
}

pub fn person_retired(state: &State, data: &PersonRetired) -> Result<Change, Refusal> {
    let id = data.person;
    let role = Role::Supervisor;
    let supervisors = state
        .people
        .values()
        .filter(|person| person.has(role))
        .count();
    if state.person(id)?.has(role) && supervisors == 1 {
        return Err(Refusal::LastOf { person: id, role });
    }
    Ok(Change::new(move |state| {
        if let Some(person) = state.people.remove(&id) {
            state.retired.insert(id, person);
        }
    }))
}

/// A key belongs to one person: with a shared one, one could sign as two.
fn free_key(state: &State, key: PublicKey) -> Result<(), Refusal> {
    let mut everyone = state.people.values().chain(state.retired.values());
    match everyone.find(|person| person.key == key) {
        None => Ok(()),
        Some(known) => Err(Refusal::KeyTaken(known.person)),
    }
}

pub fn person_rekeyed(state: &State, data: &PersonRekeyed) -> Result<Change, Refusal> {
    let (id, key) = (data.person, data.key);
    state.person(id)?;
    free_key(state, key)?;
    required("Reason", &data.reason, 200)?;
    Ok(Change::new(move |state| {
        if let Some(person) = state.people.get_mut(&id) {
            person.key = key;
        }
    }))
}

pub fn classes_set(data: &ClassesSet) -> Change {
    let catalogue = Rc::new(data.classes.clone());
    Change::new(move |state| state.catalogue = catalogue)
}

pub fn rules_set(data: &Rules) -> Result<Change, Refusal> {
    data.check()?;
    let rules = Rc::new(data.clone());
    Ok(Change::new(move |state| state.rules = rules))
}

pub fn product_defined(state: &State, data: &ProductDefined) -> Result<Change, Refusal> {
    if state.products.contains_key(&data.product) {
        return Err(Refusal::ProductTaken(data.product));
    }
    required("Denomination", &data.title, NAME_MAX)?;
    let product = Product {
        id: data.product,
        title: data.title.clone(),
        layout: Layout::new(data.layout.clone())?,
        finishing: data.finishing,
    };
    Ok(Change::new(move |state| {
        state.products.insert(product.id, Rc::new(product));
    }))
}

pub fn series_added(state: &State, data: &SeriesSpec) -> Result<Change, Refusal> {
    if state.pools.contains_key(&data.id) {
        return Err(Refusal::SeriesTaken(data.id));
    }
    let product = state.product(data.product)?;
    let series = Series::new(data.clone(), &product.layout)?;
    for lot in state.lots.values() {
        let clash = lot
            .numbering()
            .and_then(|numbering| series.overlaps_numbering(numbering));
        taken(clash, || format!("lot {}", lot.id))?;
    }
    for lot in state.archive.lots.values() {
        let clash = lot
            .numbering
            .as_ref()
            .and_then(|numbering| series.overlaps_numbering(numbering));
        taken(clash, || format!("lot {}", lot.carried.lot))?;
    }
    for pool in state.pools.values() {
        taken(series.overlaps(&pool.series), || {
            format!("series {}", pool.series.id())
        })?;
    }
    Ok(Change::new(move |state| {
        state.pools.insert(
            series.id(),
            Pool {
                series,
                settled: Settled::default(),
                drawn: Vec::new(),
            },
        );
    }))
}

pub fn lot_opened(state: &State, header: &Header, data: &LotOpened) -> Result<Change, Refusal> {
    if state.lots.contains_key(&data.lot) || state.archive.lots.contains_key(&data.lot) {
        return Err(Refusal::LotTaken(data.lot));
    }
    if !(1..=MAX_SHEETS).contains(&data.sheets) {
        return Err(Refusal::LotSize {
            given: data.sheets,
            max: MAX_SHEETS,
        });
    }
    let product = Rc::clone(state.product(data.product)?);
    state
        .rules
        .check_for(&product.title, product.layout.notes())?;
    let numbering = match &data.numbering {
        None => None,
        Some(spec) => Some(free_numbering(
            state,
            data.lot,
            &product,
            spec,
            data.sheets,
        )?),
    };
    let order = PressOrder::as_received(data.sheets);
    let lot = Lot {
        id: data.lot,
        came_numbered: numbering.is_some(),
        serials: Serials::new(&product, order, numbering)?,
        press: AtPress::default(),
        product,
        catalogue: Rc::clone(&state.catalogue),
        rules: Rc::clone(&state.rules),
        sheets: vec![SheetState::default(); data.sheets as usize],
        tally: Tally::default(),
        replaced: BTreeMap::new(),
        seq: header.seq,
        closed: None,
    };
    Ok(Change::new(move |state| {
        state.lots.insert(lot.id, lot);
    }))
}
