//! What is out of the ordinary about a day, so that its record is not misread.

use crate::account::DayTotals;
use crate::book::State;
use crate::people::Day;
use crate::sheet::ProductId;

pub(super) fn remarks(state: &State, day: Day, totals: &DayTotals) -> Vec<String> {
    if totals.entries == 0 {
        return vec!["Nothing is recorded for this day.".to_owned()];
    }
    let no_sheet = (totals.all.examined() == 0)
        .then(|| "No sheet that counts to this day was examined.".to_owned());
    let moves = totals.cut_over_moves.iter().map(|moved| {
        let (entry, from, to) = (moved.entry, moved.from, moved.to);
        format!(
            "Entry {entry} moved the end of the production day from {from:02}:00 to {to:02}:00; entries after it are counted by the new hour."
        )
    });
    let late = (state.closed_days.get(&day).filter(|_| totals.late > 0)).map(|closing| {
        format!(
            "Entries that came after the day was closed in entry {}: {}.",
            closing.seq, totals.late
        )
    });
    let all = no_sheet.into_iter().chain(products(state, totals));
    all.chain(moves)
        .chain(split_sessions(state, day))
        .chain(begun_sessions(state, day))
        .chain(late)
        .collect()
}

/// Notes of two products are unlike: their sum says little.
fn products(state: &State, totals: &DayTotals) -> Option<String> {
    let examined = totals.by_product.iter();
    let examined: Vec<_> = examined.filter(|(_, tally)| tally.examined() > 0).collect();
    if examined.len() < 2 {
        return None;
    }
    let title = |id: &ProductId| state.products.get(id).map_or("", |known| &known.title);
    let named = examined
        .iter()
        .map(|(id, tally)| format!("{id} {}: {} sheets", title(id), tally.examined()));
    Some(format!(
        "Sheets of {} products were examined ({}), so figures of the whole day add unlike notes. Read them by product.",
        examined.len(),
        named.collect::<Vec<_>>().join("; ")
    ))
}

fn split_sessions(state: &State, day: Day) -> impl Iterator<Item = String> {
    let of_day = state
        .sessions
        .iter()
        .filter(move |session| session.day == day);
    let split = of_day.filter(|session| session.began_on != session.day);
    split.map(|session| {
        format!(
            "Session {} began on production day {} and was recorded on {}: all of it is counted to the day it was recorded.",
            session.record.session, session.began_on, session.day
        )
    })
}

/// Sessions that began on the day and count elsewhere, or nowhere yet.
fn begun_sessions(state: &State, day: Day) -> impl Iterator<Item = String> {
    let done = state.sessions.iter();
    let done = done.filter(move |session| session.began_on == day && session.day != day);
    let done = done.map(|session| {
        format!(
            "Session {} began on this day and was recorded on production day {}: nothing of it is counted here.",
            session.record.session, session.day
        )
    });
    let open = state.session.as_ref();
    let open = open.filter(move |log| state.day_of(&log.at) == day);
    let open = open.map(|log| {
        format!(
            "Session {} began on this day and is not recorded yet, as the book stands: nothing of it is counted here.",
            log.session
        )
    });
    done.chain(open)
}
