//! `totals` and `day`: the figures of the day's tables, as JSON.

use cullbook::account::Carried;
use cullbook::book::{Hash, State, Verifier, carried};
use cullbook::export::{BalanceRow, DayFigures, balance_rows, day_figures};
use cullbook::people::Day;
use serde::Serialize;

/// What `totals` writes.
#[derive(Serialize)]
struct Totals {
    head: Hash,
    entries: u64,
    days: Vec<DayFigures>,
    carried: Carried,
    balance: Vec<BalanceRow>,
}

/// Every day, what is carried over and every balance.
pub fn totals(book: &Verifier) -> serde_json::Result<String> {
    let state = book.state();
    // The lists behind the figures of an archived day are in the archive: it is asked there.
    let here = state.days.keys().filter(|day| !state.is_archived(**day));
    let totals = Totals {
        head: book.head(),
        entries: book.len(),
        days: here.filter_map(|day| day_figures(state, *day)).collect(),
        carried: carried(state),
        balance: balance_rows(state),
    };
    Ok(serde_json::to_string_pretty(&totals)? + "\n")
}

/// One day; nothing when nothing was recorded on it.
pub fn day(state: &State, day: Day) -> serde_json::Result<Option<String>> {
    let known = state.days.contains_key(&day);
    let figures = known.then(|| day_figures(state, day)).flatten();
    let text = figures.map(|figures| serde_json::to_string_pretty(&figures));
    Ok(text.transpose()?.map(|text| text + "\n"))
}
