//! The state that what is carried over stands for.

use std::collections::BTreeMap;
use std::rc::Rc;

use serde_json::Value;

use crate::custody::{Act, Container, ContainerId};
use crate::inspect::{Quantity, Tolerance};
use crate::people::{Person, PersonId};
use crate::quality::sampling::Standing;
use crate::sheet::{Layout, LotId, Numbering, NumberingSpec, ProductId, Series, SeriesId};

use super::super::archive::{Archive, ArchivedLot};
use super::super::cage::Cage;
use super::super::entry::{MeasureTarget, ProductDefined};
use super::super::pool::Pool;
use super::super::refusal::Refusal;
use super::super::state::{Opened, Product, State};
use super::{Archived, Carried, CarriedContainer, CarriedLot, CarriedPlace, CarriedSeries};

type Products = BTreeMap<ProductId, Rc<Product>>;

/// No count of a works and no serial comes near it, and thousands of such numbers can be summed.
const COUNT_MAX: u64 = 1 << 48;

impl Carried {
    /// The state behind a checkpoint.
    ///
    /// # Errors
    /// What cannot be: a layout, a series or a numbering that does not hold, or one of a product
    /// that is not carried over; an account that does not balance; an absurd number.
    pub(in super::super) fn state(&self, cut: Archived) -> Result<State, Refusal> {
        self.check_numbers()?;
        let products = self.products.iter().map(product);
        let products = products.collect::<Result<Products, Refusal>>()?;
        let pools = self.series.iter().map(|series| pool(series, &products));
        let lots = self.lots.iter().map(|lot| archived(lot, &products));
        let archive = Archive {
            cut: Some(cut),
            lots: lots.collect::<Result<_, Refusal>>()?,
            containers: self.used_containers.iter().copied().collect(),
            sessions: self.sessions.iter().copied().collect(),
            begins_sessions: self.begins_sessions,
            witnesses: self.witnesses.clone(),
            acceptances: self.acceptances.iter().copied().collect(),
            standings: self.standings.clone(),
            receipts: self.receipts.clone(),
        };
        if !archive.standings.values().all(Standing::can_be) {
            let why = "no lots can have led to such a standing of a product";
            return Err(Refusal::CarriedAmiss(why));
        }
        for product in self.papers.keys() {
            known(&products, *product)?;
        }
        let tolerances = self.tolerances.iter().map(|one| tolerance(one, &products));
        let tolerances = tolerances.collect::<Result<_, Refusal>>()?;
        let open = self.containers.iter().map(open_container);
        let cage = Cage {
            containers: open.collect(),
            seals: self.seals.clone(),
            ..Cage::default()
        };
        Ok(State {
            opened: Some(Opened {
                works: self.works.clone(),
                book: self.book,
                bench: self.bench,
                practice: self.practice,
                at: self.opened.clone(),
            }),
            people: by_code(&self.people),
            retired: by_code(&self.retired),
            catalogue: Rc::new(self.classes.clone()),
            rules: Rc::new(self.rules.clone()),
            pools: pools.collect::<Result<_, Refusal>>()?,
            products,
            lots: BTreeMap::new(),
            acceptances: BTreeMap::new(),
            cage,
            sessions: Vec::new(),
            scales: self
                .scales
                .iter()
                .map(|one| (one.scale, one.clone()))
                .collect(),
            papers: self.papers.clone(),
            tolerances,
            samples: BTreeMap::new(),
            residue: Vec::new(),
            session: None,
            abandoned: Vec::new(),
            failed_keys: self.failed_keys.clone(),
            days: self.days.clone(),
            closed_days: self.closed_days.clone(),
            handovers: Vec::new(),
            healings: Vec::new(),
            last_day: self.last_day,
            last_copy: None,
            last_book_copy: None,
            archive,
        })
    }

    /// Figures are added up later on, so a line from elsewhere must not bring any that overflow.
    fn check_numbers(&self) -> Result<(), Refusal> {
        let value = serde_json::to_value(self);
        match value.is_ok_and(|value| are_counts(&value)) {
            true => Ok(()),
            false => Err(Refusal::CarriedAmiss("a number in it is absurdly large")),
        }
    }
}

fn are_counts(value: &Value) -> bool {
    match value {
        Value::Array(values) => values.iter().all(are_counts),
        Value::Object(members) => members.values().all(are_counts),
        Value::Number(number) => number.as_u64().is_none_or(|number| number < COUNT_MAX),
        Value::Null | Value::Bool(_) | Value::String(_) => true,
    }
}

fn open_container(data: &CarriedContainer) -> (ContainerId, Container) {
    let place = data.place.as_ref().map(|known| {
        let CarriedPlace { place, seq, by, at } = known.clone();
        (place, Act { seq, by, at })
    });
    let id = data.container;
    let container = Container {
        place,
        ..Container::new(id)
    };
    (id, container)
}

fn by_code(people: &[Person]) -> BTreeMap<PersonId, Person> {
    let people = people.iter().cloned();
    people.map(|person| (person.person, person)).collect()
}

fn product(data: &ProductDefined) -> Result<(ProductId, Rc<Product>), Refusal> {
    let product = Product {
        id: data.product,
        title: data.title.clone(),
        layout: Layout::new(data.layout.clone())?,
        finishing: data.finishing,
    };
    Ok((product.id, Rc::new(product)))
}

fn known(products: &Products, id: ProductId) -> Result<&Product, Refusal> {
    let product = products.get(&id).ok_or(Refusal::UnknownProduct(id))?;
    Ok(product)
}

fn tolerance(
    data: &MeasureTarget,
    products: &Products,
) -> Result<((ProductId, Quantity), Tolerance), Refusal> {
    let layout = &known(products, data.product)?.layout;
    data.tolerance.check(data.quantity, layout.spec())?;
    Ok(((data.product, data.quantity), data.tolerance))
}

fn pool(data: &CarriedSeries, products: &Products) -> Result<(SeriesId, Pool), Refusal> {
    let layout = &known(products, data.series.product)?.layout;
    let series = Series::new(data.series.clone(), layout)?;
    if data.settled.count() > series.len() {
        let why = "more notes of a series are settled than it has";
        return Err(Refusal::CarriedAmiss(why));
    }
    let pool = Pool {
        settled: data.settled.clone(),
        series,
        drawn: Vec::new(),
    };
    Ok((pool.series.id(), pool))
}

fn archived(data: &CarriedLot, products: &Products) -> Result<(LotId, ArchivedLot), Refusal> {
    let layout = &known(products, data.product)?.layout;
    let numbering = data.numbering.as_ref();
    let numbering = numbering.map(|spec| Numbering::new(spec.clone(), layout, sheets(spec)));
    let lot = ArchivedLot {
        carried: data.clone(),
        numbering: numbering.transpose()?,
    };
    match lot.account().holds() {
        true => Ok((data.lot, lot)),
        false => Err(Refusal::CarriedAmiss(
            "the account of a closed lot does not balance",
        )),
    }
}

/// The sheets that a numbering is for. Too many to count are too many for a lot.
fn sheets(spec: &NumberingSpec) -> u32 {
    let sheets: u64 = spec.runs.iter().map(|run| u64::from(run.sheets)).sum();
    u32::try_from(sheets).unwrap_or(u32::MAX)
}
