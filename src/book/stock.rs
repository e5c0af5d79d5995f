//! How the replacement notes of a product stand on a production day. Builds the figures that
//! `account` forecasts from.

use std::collections::BTreeMap;

use crate::account::{Forecast, StockFigures, forecast};
use crate::people::Day;
use crate::sheet::{ProductId, SeriesId};

use super::pool::Pool;
use super::state::State;

/// The replacement notes of one product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Notes of all its lots that need a replacement and have none.
    pub waiting: u64,
    /// Replacement notes not drawn yet that could serve them. Whole sheets serve whole sheets only.
    pub left: u64,
    /// Notes that wait and that no series has a replacement for.
    pub short: u64,
    pub series: BTreeMap<SeriesId, Forecast>,
}

/// The stock of every product on a production day.
pub fn stocks(state: &State, today: Day) -> BTreeMap<ProductId, Stock> {
    let products = state.products.keys();
    products.map(|&id| (id, stock(state, id, today))).collect()
}

/// The stock of a product on a production day. Draws of later days, which a clock put right may
/// leave, are not counted. What waits is served by the series in order of their names: whole
/// sheets by those of sheets while they last, everything else by those of notes.
pub fn stock(state: &State, product: ProductId, today: Day) -> Stock {
    let (mut whole, mut loose) = (0, 0);
    for lot in state.lots.values().filter(|lot| lot.product.id == product) {
        let sheets = lot.sheet_needs().len() as u64 * u64::from(lot.notes());
        whole += sheets;
        loose += lot.needs().len() as u64 - sheets;
    }
    let mut stock = Stock {
        waiting: whole + loose,
        left: 0,
        short: 0,
        series: BTreeMap::new(),
    };
    let pools = state.pools.values();
    let pools = pools.filter(|pool| pool.series.product() == product);
    let (sheets, notes): (Vec<&Pool>, Vec<&Pool>) =
        pools.partition(|pool| pool.series.notes_of_sheet().is_some());
    let unserved = stock.serve(&sheets, whole, today);
    stock.left = whole - unserved + notes.iter().map(|pool| pool.left()).sum::<u64>();
    stock.short = stock.serve(&notes, unserved + loose, today);
    stock
}

impl Stock {
    /// Forecasts each of these series, and gives back what they leave unserved.
    fn serve(&mut self, pools: &[&Pool], mut waiting: u64, today: Day) -> u64 {
        for pool in pools {
            let served = waiting.min(pool.left());
            waiting -= served;
            let told = of_pool(pool, served, today);
            self.series.insert(pool.series.id(), told);
        }
        waiting
    }
}

fn of_pool(pool: &Pool, waiting: u64, today: Day) -> Forecast {
    let mut by_day = pool.by_day();
    by_day.retain(|day, _| *day <= today);
    let drawn_today = by_day.remove(&today).unwrap_or_default();
    let drawn_before: Vec<u64> = by_day.into_values().rev().collect();
    forecast(&StockFigures {
        left: pool.left(),
        waiting,
        drawn_today,
        drawn_before: &drawn_before,
    })
}
