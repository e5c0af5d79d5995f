//! Random works, settled and cut: what comes later is the same with and without the cut, and with
//! and without the archive.

use std::cell::RefCell;

use cullbook::book::{Book, Entry, Place, book_account, carry, lot_account, stocks};
use cullbook::custody::{Item, Seal};
use cullbook::export::day_record;
use cullbook::people::Day;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_json::Value;

use super::book::{TAGS, Try, attempt, tries};
use super::works::*;

/// A lot that is over before the cut.
#[derive(Clone, Debug)]
struct Past {
    came_numbered: bool,
    /// For each sheet the tags it has.
    sheets: Vec<Vec<usize>>,
    /// Replacement notes spoiled, and returned, before others are inserted.
    spoiled: usize,
    returned: usize,
    /// Whether a sheet is lost at the press, if one can be.
    loses: bool,
}

fn past() -> impl Strategy<Value = Past> {
    let tags = prop::collection::vec(0..TAGS.len(), 0..4);
    let sheets = prop::collection::vec(tags, 1..8);
    (any::<bool>(), sheets, 0..3_usize, 0..3_usize, any::<bool>()).prop_map(
        |(came_numbered, sheets, spoiled, returned, loses)| Past {
            came_numbered,
            sheets,
            spoiled,
            returned,
            loses,
        },
    )
}

const SERIES: [&str; 3] = ["R3", "R1", "R9"];

/// Numbers that no other lot of a history takes.
fn fresh(works: &Works, sheets: u32) -> cullbook::sheet::NumberingSpec {
    strided("KF", sheets, works.book.len() * 200, u64::from(sheets))
}

fn examine(works: &mut Works, name: &str, past: &Past) {
    let sheets = past.sheets.len() as u32;
    let numbering = past.came_numbered.then(|| fresh(works, sheets));
    works.must("sue", lot(name, sheets, numbering));
    for (number, tags) in (1..).zip(&past.sheets) {
        let mut tags = tags.clone();
        tags.sort();
        tags.dedup();
        let tags: Vec<&str> = tags.iter().map(|tag| TAGS[*tag]).collect();
        works.must("ida", examined(name, number, number, &tags));
    }
    if past.loses {
        // Refused for a lot that came numbered, and for a spoiled sheet.
        drop(works.write("sue", lost(name, 1)));
    }
}

/// Draws for everything a lot needs: whole sheets while there are any, then loose notes.
fn draw_all(works: &mut Works, name: &str) {
    while !works.lot(name).needs().is_empty() {
        let before = works.book.len();
        for series in SERIES {
            let left = works.state().pools[&id(series)].left() as usize;
            if let Ok(entries) = works.draw_some(name, series, left.min(600))
                && !entries.is_empty()
            {
                works.write_all("sue", entries).unwrap();
                break;
            }
        }
        assert!(works.book.len() > before, "nothing can be drawn for {name}");
    }
}

/// Looks at what is left of a lot, numbers it, and replaces what is lost.
fn replace(works: &mut Works, name: &str, spoiled_notes: usize, returned_notes: usize) {
    for range in works.lot(name).open_ranges() {
        let (from, to) = (range.first().number(), range.last().number());
        works.must("ida", examined(name, from, to, &[]));
    }
    let left = works.lot(name).survivors().len();
    if !works.lot(name).is_numbered() && left > 0 {
        let numbering = fresh(works, left);
        works.must("sue", lot_numbered(name, numbering));
    }
    draw_all(works, name);
    for series in SERIES {
        let on_hand = works.drawn(series);
        let (bad, rest) = on_hand.split_at(spoiled_notes.min(on_hand.len()));
        let back = &rest[..returned_notes.min(rest.len())];
        if !bad.is_empty() {
            works.must("sue", spoiled(series, bad.to_vec()));
        }
        if !back.is_empty() {
            works.must("sue", returned(series, back.to_vec()));
        }
    }
    draw_all(works, name);
    for series in SERIES {
        let on_hand = works.drawn(series);
        if !on_hand.is_empty() {
            works.must("sue", inserted(series, on_hand));
        }
    }
}

/// Destroys every spoil there is in one session.
fn destroy(works: &mut Works, mark: &str) {
    let loose = works.state().cage.spoils.iter();
    let loose = loose.filter(|(_, place)| **place == Place::Loose);
    let loose: Vec<Item> = loose.map(|(item, _)| *item).collect();
    if !loose.is_empty() {
        let name = format!("C{mark}");
        works.must("cal", container(&name));
        works.must("cal", filled(&name, loose));
    }
    let containers = works.state().cage.containers.values();
    let open = containers.filter(|one| one.seal == Seal::Open && !one.items.is_empty());
    let open: Vec<String> = open.map(|one| one.id.to_string()).collect();
    for name in open {
        works.must("cal", sealed(&name, &format!("{mark}-{name}"), "cas"));
    }
    let containers = works.state().cage.containers.values();
    let sealed = containers.filter(|one| matches!(one.seal, Seal::Sealed(_)));
    let sealed: Vec<String> = sealed.map(|one| one.id.to_string()).collect();
    if !sealed.is_empty() {
        let names: Vec<&str> = sealed.iter().map(String::as_str).collect();
        let record = works.destruction(&format!("D{mark}"), &names);
        works.must("cal", Entry::SpoilsDestroyed(record));
    }
    send_residue(works);
}

/// Residue that is still here leaves: a book that follows it is not settled before.
fn send_residue(works: &mut Works) {
    let state = works.state();
    let done = state.sessions.iter().map(|one| &one.record);
    let left: Vec<(String, String)> = done
        .filter(|one| state.residue_of(one.session).is_none())
        .map(|one| (one.session.to_string(), one.ended.local_day().to_string()))
        .collect();
    for (session, day) in left {
        let sent = residue(&[&session], &format!("R-{session}"), &day);
        works.must("cal", Entry::ResidueSent(sent));
    }
}

/// Closes every lot and every day.
fn close(works: &mut Works) {
    let open = works.state().lots.values();
    let open: Vec<String> = open
        .filter(|lot| lot.closed.is_none())
        .map(|lot| lot.id.to_string())
        .collect();
    for name in open {
        works.must("sue", lot_closed(&name));
    }
    for day in days_with_work(works) {
        works.must("sue", day_closed(&day.to_string()));
    }
}

fn days_with_work(works: &Works) -> Vec<Day> {
    let state = works.state();
    let days = state.days.iter();
    days.filter(|(day, totals)| totals.has_work() && !state.closed_days.contains_key(day))
        .map(|(day, _)| *day)
        .collect()
}

/// A book of which everything is settled, at the 25th; the clock is at the 27th.
fn settled(lots: &[Past]) -> Works {
    let mut works = Works::staffed();
    works.must("sue", Entry::RulesSet(whole_sheet_rules()));
    works.must("sue", Entry::SeriesAdded(sheet_series("R3", "M20", 5, 100)));
    let plenty = series("R9", "M20", 1_000, 9_999);
    works.must("sue", Entry::SeriesAdded(plenty));
    for (number, past) in lots.iter().enumerate() {
        let name = format!("P{number}");
        examine(&mut works, &name, past);
        replace(&mut works, &name, past.spoiled, past.returned);
    }
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("sue", paper("M20"));
    works.must("sue", width_target("M20"));
    works.must("ida", Entry::MeasureTaken(widths("M20", &[12, -7, 0])));
    destroy(&mut works, "P");
    close(&mut works);
    works.set_clock("2026-11-27", 12 * 3600);
    works
}

/// The tables of a day without what names other lines: the two books differ in one line.
fn tables(book: &Book, day: Day) -> Value {
    fn strip(value: &mut Value) {
        match value {
            Value::Object(members) => {
                members.retain(|name, _| name != "head" && name != "hash");
                members.values_mut().for_each(strip);
            }
            Value::Array(values) => values.iter_mut().for_each(strip),
            _ => {}
        }
    }
    let mut value = serde_json::to_value(day_record(book, day)).unwrap();
    strip(&mut value);
    value
}

/// The same book with a note of a copy in place of the checkpoint, and with the checkpoint.
fn both(works: Works) -> (Works, Works) {
    let (mut plain, mut cut) = (works.clone(), works);
    let copy = copy_taken(&plain.book);
    plain.must("sue", copy);
    let checkpoint = cut.checkpoint("cal");
    cut.must("sue", checkpoint);
    (plain, cut)
}

fn alike(plain: &Works, cut: &Works) {
    let (one, other) = (plain.state(), cut.state());
    assert_eq!(book_account(one), book_account(other));
    for lot in other.lots.values() {
        let same = &one.lots[&lot.id];
        assert_eq!(lot_account(one, same), lot_account(other, lot));
    }
    let today: Day = id("2026-11-27");
    assert_eq!(stocks(one, today), stocks(other, today));
}

/// Gives back how many later entries were taken.
fn live_on(lots: &[Past], later: &[Try]) -> usize {
    let (mut plain, mut cut) = both(settled(lots));
    let first = cut.state().archive.lines();
    for works in [&mut plain, &mut cut] {
        works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
        works.must("sue", lot("L2", 12, None));
    }
    let mut taken = 0;
    // What may be left under way (a sample, a session, a container in doubt) keeps its lot open,
    // and nothing could be cut.
    let left_open = |one: &&Try| {
        matches!(
            one,
            Try::Sample { .. }
                | Try::Look { .. }
                | Try::Begin { .. }
                | Try::Step { .. }
                | Try::Team { .. }
                | Try::Abandon
                | Try::Finish
                | Try::Doubt { .. }
                | Try::Settle { .. }
        )
    };
    for one in later.iter().filter(|one| !left_open(one)) {
        let done = attempt(&mut plain, one);
        let same = attempt(&mut cut, one);
        assert_eq!(done.is_ok(), same.is_ok(), "{one:?}: {done:?}, {same:?}");
        taken += usize::from(done.is_ok());
        alike(&plain, &cut);
    }
    used_names_stay_used(&mut plain, &mut cut);
    for works in [&mut plain, &mut cut] {
        for name in ["L1", "L2"] {
            replace(works, name, 1, 1);
        }
        destroy(works, "L");
    }
    alike(&plain, &cut);
    for day in days_with_work(&cut) {
        assert_eq!(tables(&plain.book, day), tables(&cut.book, day), "{day}");
    }
    close(&mut plain);
    close(&mut cut);
    // All that the future needs is the same, to the letter.
    let carried = carry(plain.state()).unwrap();
    assert_eq!(carried, carry(cut.state()).unwrap());
    assert_eq!(carried.hash(), carry(cut.state()).unwrap().hash());
    let rest = cut.book.texts()[first as usize..].iter();
    let rest = Book::read(rest.map(|text| &**text)).unwrap();
    assert_eq!((rest.first_seq(), rest.head()), (first, cut.book.head()));
    assert_eq!(format!("{:?}", rest.state()), format!("{:?}", cut.state()));
    taken
}

/// Lots, numbers, containers, sessions and closed days of the archive.
fn used_names_stay_used(plain: &mut Works, cut: &mut Works) {
    let mut tried = vec![
        ("sue", lot("P0", 3, None)),
        ("ida", examined("P0", 1, 1, &[])),
        ("sue", day_closed("2026-11-25")),
    ];
    let past = plain.lot("P0");
    let number = (1..=past.len()).find_map(|number| past.numbers(sheet(number)).first().copied());
    if let Some(number) = number {
        tried.push(("sue", lot("L9", 1, Some(strided("KF", 1, number, 1)))));
    }
    if plain.state().knows_container(id("CP")) {
        tried.push(("cal", container("CP")));
    }
    for (by, entry) in tried {
        let (why, same) = (plain.write(by, entry.clone()), cut.write(by, entry));
        assert!(why.is_err());
        assert_eq!(why, same);
    }
}

#[test]
fn what_comes_after_a_cut_is_the_same_without_it() {
    let mut runner = TestRunner::new(ProptestConfig::with_cases(24));
    let taken = RefCell::new(0);
    let lots = prop::collection::vec(past(), 1..4);
    let run = runner.run(&(lots, tries()), |(lots, later)| {
        *taken.borrow_mut() += live_on(&lots, &later);
        Ok(())
    });
    run.unwrap_or_else(|why| panic!("{why}"));
    // Futures in which nothing happens would prove little.
    assert!(taken.into_inner() > 200);
}
