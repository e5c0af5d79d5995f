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
    /// Replacement notes not drawn yet, in all its series.
    pub left: u64,
    pub series: BTreeMap<SeriesId, Forecast>,
}

impl Stock {
    /// Notes that wait and that no series has a replacement for.
    pub fn short(&self) -> u64 {
        self.waiting.saturating_sub(self.left)
    }
}

/// The stock of every product on a production day.
pub fn stocks(state: &State, today: Day) -> BTreeMap<ProductId, Stock> {
    let products = state.products.keys();
    products.map(|&id| (id, stock(state, id, today))).collect()
}

/// The stock of a product on a production day. Draws of later days, which a clock put right may
/// leave, are not counted. What waits is served by the series in order of their names.
pub fn stock(state: &State, product: ProductId, today: Day) -> Stock {
    let lots = state.lots.values().filter(|lot| lot.product.id == product);
    let waiting = lots.map(|lot| lot.needs().len() as u64).sum();
    let mut stock = Stock {
        waiting,
        left: 0,
        series: BTreeMap::new(),
    };
    let mut unserved = waiting;
    let pools = state.pools.values();
    for pool in pools.filter(|pool| pool.series.product() == product) {
        let served = unserved.min(pool.left());
        unserved -= served;
        stock.left += pool.left();
        let told = of_pool(pool, served, today);
        stock.series.insert(pool.series.id(), told);
    }
    stock
}

fn of_pool(pool: &Pool, waiting: u64, today: Day) -> Forecast {
    let mut by_day: BTreeMap<Day, u64> = BTreeMap::new();
    for drawn in pool.drawn.iter().filter(|drawn| drawn.day <= today) {
        *by_day.entry(drawn.day).or_default() += 1;
    }
    let drawn_today = by_day.remove(&today).unwrap_or_default();
    let drawn_before: Vec<u64> = by_day.into_values().rev().collect();
    forecast(&StockFigures {
        left: pool.left(),
        waiting,
        drawn_today,
        drawn_before: &drawn_before,
    })
}
