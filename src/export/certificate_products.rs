//! What a session destroyed, by product: the denomination, its lots, and every note of them.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::book::{SessionRecord, State};
use crate::custody::Item;
use crate::sheet::{LotId, ProductId, number_of};

/// Destroyed pieces of one product.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedProduct {
    pub product: ProductId,
    /// The denomination, as labels print it.
    pub title: String,
    /// The lots that the pieces are from, replacement notes apart.
    pub lots: BTreeSet<LotId>,
    pub sheets: u64,
    /// Notes on those sheets.
    pub notes_on_sheets: u64,
    /// Notes cut from their sheets, spoiled replacement notes among them.
    pub single_notes: u64,
    pub notes_in_all: u64,
}

/// What the containers of a session held, in the order of the products.
pub(super) fn products(state: &State, session: &SessionRecord) -> Vec<CertifiedProduct> {
    let found = session.record.containers.iter();
    let containers = found.filter_map(|one| state.cage.containers.get(&one.container));
    let mut products = BTreeMap::new();
    for item in containers.flat_map(|container| &container.items) {
        put(&mut products, state, item);
    }
    products.into_values().collect()
}

/// A piece whose lot or series is unknown never comes into a container.
fn put(products: &mut BTreeMap<ProductId, CertifiedProduct>, state: &State, item: &Item) {
    let lot = match item {
        Item::Sheet(lot, _) => state.lots.get(lot),
        Item::Note(serial) => state
            .lots
            .values()
            .find(|lot| lot.has_serial(serial.as_str())),
        Item::Replacement(_) => None,
    };
    let product = match (lot, item) {
        (Some(lot), _) => Some(lot.product.id),
        (None, Item::Replacement(serial)) => product_of_replacement(state, serial.as_str()),
        (None, _) => None,
    };
    let Some(known) = product.and_then(|id| state.products.get(&id)) else {
        return;
    };
    let it = products
        .entry(known.id)
        .or_insert_with(|| CertifiedProduct::of(known.id, &known.title));
    it.lots.extend(lot.map(|lot| lot.id));
    match (item, lot) {
        (Item::Sheet(..), Some(lot)) => {
            it.sheets += 1;
            it.notes_on_sheets += u64::from(lot.notes());
        }
        _ => it.single_notes += 1,
    }
    it.notes_in_all = it.notes_on_sheets + it.single_notes;
}

fn product_of_replacement(state: &State, serial: &str) -> Option<ProductId> {
    let mut series = state.pools.values().map(|pool| &pool.series);
    let holds = series.find(|series| matches!(series.find(serial), Ok(Some(_))))?;
    Some(holds.product())
}

impl CertifiedProduct {
    fn of(product: ProductId, title: &str) -> Self {
        Self {
            product,
            title: title.to_owned(),
            lots: BTreeSet::new(),
            sheets: 0,
            notes_on_sheets: 0,
            single_notes: 0,
            notes_in_all: 0,
        }
    }

    /// "20 merin, lot L1: 31 sheets (1 240 notes) and 935 single notes, 2 175 notes in all", or
    /// only the pieces that there were.
    pub fn readable(&self) -> String {
        let lots: Vec<_> = self.lots.iter().map(LotId::to_string).collect();
        let lots = match lots.len() {
            0 => String::new(),
            1 => format!(", lot {}", lots[0]),
            _ => format!(", lots {}", lots.join(", ")),
        };
        let on_sheets = format!(
            "{} ({})",
            number_of(self.sheets, "sheet", "sheets"),
            number_of(self.notes_on_sheets, "note", "notes")
        );
        let single = number_of(self.single_notes, "single note", "single notes");
        let pieces = match (self.sheets, self.single_notes) {
            (0, _) => single,
            (_, 0) => on_sheets,
            _ => {
                let all = number_of(self.notes_in_all, "note", "notes");
                format!("{on_sheets} and {single}, {all} in all")
            }
        };
        format!("{}{lots}: {pieces}", self.title)
    }
}
