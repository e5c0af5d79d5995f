//! `totals` and `day`: the figures of the day's tables, as JSON.

use cullbook::account::Carried;
use cullbook::book::{Hash, Verifier, carried};
use cullbook::export::{Acts, BalanceRow, Closed, DayRecord, ExaminedRow, TagRow, day_record_of};
use cullbook::people::Day;
use serde::Serialize;

/// What `totals` writes.
#[derive(Serialize)]
struct Totals<'a> {
    head: Hash,
    entries: u64,
    days: Vec<DayTotals<'a>>,
    carried: Carried,
    balance: &'a [BalanceRow],
}

/// One of its days; what `day` writes.
#[derive(Serialize)]
struct DayTotals<'a> {
    day: Day,
    closed: &'a Option<Closed>,
    acts: Acts,
    carried_in: Carried,
    carried: Carried,
    examined: &'a [ExaminedRow],
    tags: &'a [TagRow],
}

impl<'a> From<&'a DayRecord> for DayTotals<'a> {
    fn from(record: &'a DayRecord) -> Self {
        Self {
            day: record.day,
            closed: &record.closed,
            acts: record.acts,
            carried_in: record.carried_in,
            carried: record.carried,
            examined: &record.examined,
            tags: &record.tags,
        }
    }
}

/// Every day, what is carried over and every balance.
pub fn totals(book: &Verifier) -> serde_json::Result<String> {
    let days = book.state().days.keys();
    let records: Vec<DayRecord> = days.filter_map(|day| day_record_of(book, *day)).collect();
    // Places and balances are of the whole book, the same in every record of it.
    let last = records.last();
    // The lists behind the figures of an archived day are in the archive: it is asked there.
    let here = records.iter();
    let here = here.filter(|record| !book.state().is_archived(record.day));
    let totals = Totals {
        head: book.head(),
        entries: book.len(),
        days: here.map(DayTotals::from).collect(),
        carried: carried(book.state()),
        balance: last.map_or(&[], |record| &record.balance),
    };
    Ok(serde_json::to_string_pretty(&totals)? + "\n")
}

/// One day; nothing when nothing was recorded on it.
pub fn day(book: &Verifier, day: Day) -> serde_json::Result<Option<String>> {
    let known = book.state().days.contains_key(&day);
    let record = known.then(|| day_record_of(book, day)).flatten();
    let text = record.map(|record| serde_json::to_string_pretty(&DayTotals::from(&record)));
    Ok(text.transpose()?.map(|text| text + "\n"))
}
