//! One whole day through the desk: examine, draw, insert, fill, seal, destroy, balance, close.

use cullbook::book::{
    ContainerFilled, ContainerOpened, ContainerSealed, DayClosed, Entry, Fate, LotClosed,
    ReplacementsDrawn, ReplacementsInserted, lot_account,
};
use cullbook::custody::{Destruction, Found, Item, Mass, Method, ParticleClass};
use cullbook::inspect::draw;

use crate::machine::Bench;

/// Two mixed sheets with three bad notes in all, one torn sheet, the rest clean.
pub fn examine(bench: &mut Bench) {
    bench.keys(&["o", "s", "ArrowRight", "i", "w", "Enter"]);
    bench.keys(&["Home", "p", "h", "Enter"]);
    bench.keys(&["p", "t", "Enter"]);
    bench.keys(&["-", "2", "5", "0", "Enter"]);
}

pub fn draw_all(bench: &mut Bench) {
    bench.sign_in("maud");
    let state = bench.desk.state();
    let (lot, pool) = (state.lots.values().next(), state.pools.values().next());
    let (lot, pool) = (lot.expect("a lot"), pool.expect("a pool"));
    let drawn = draw(lot.needs(), &pool.series, pool.used()).expect("enough notes");
    let printed = |number| lot.serial_of(number).expect("of the lot");
    let pairs: Vec<_> = drawn
        .into_iter()
        .map(|(number, new)| (printed(number), new))
        .collect();
    assert_eq!(pairs.len(), 43);
    let (lot, series) = (lot.id, pool.series.id());
    let notes = pairs.iter().map(|(_, new)| *new).collect();
    bench
        .record(vec![Entry::ReplacementsDrawn(ReplacementsDrawn {
            lot,
            series,
            pairs,
        })])
        .expect("drawn");
    bench
        .record(vec![Entry::ReplacementsInserted(ReplacementsInserted {
            series,
            notes,
        })])
        .expect("inserted");
}

pub fn fill_and_seal(bench: &mut Bench) {
    bench.sign_in("ben");
    let spoils: Vec<Item> = bench.desk.state().cage.spoils.keys().copied().collect();
    let (sheets, notes): (Vec<Item>, Vec<Item>) = spoils
        .into_iter()
        .partition(|item| matches!(item, Item::Sheet(..)));
    for (number, items) in [("C-1", sheets), ("C-2", notes)] {
        let container = number.parse().expect("an id");
        let (mut filled, seal) = (
            ContainerFilled {
                container,
                sheets: Vec::new(),
                notes: Vec::new(),
                replacements: Vec::new(),
            },
            format!("S-{number}").parse().expect("an id"),
        );
        for item in items {
            match item {
                Item::Sheet(lot, sheet) => filled.sheets.push((lot, sheet)),
                Item::Note(serial) => filled.notes.push(serial),
                Item::Replacement(serial) => filled.replacements.push(serial),
            }
        }
        let second = "ada".parse().expect("an id");
        let sealed = ContainerSealed {
            container,
            seal,
            second,
            gross: None,
            tare: None,
            scale: None,
        };
        let entries = vec![
            Entry::ContainerOpened(ContainerOpened {
                container,
                place: None,
            }),
            Entry::ContainerFilled(filled),
        ];
        bench.record(entries).expect("filled");
        bench
            .record_signed(Entry::ContainerSealed(sealed))
            .expect("sealed");
    }
}

fn found(number: &str, sheets: u32, notes: u32) -> Found {
    Found {
        container: number.parse().expect("an id"),
        seal: format!("S-{number}").parse().expect("an id"),
        sheets,
        notes,
        gross: Mass::from_milligrams(900_000),
        tare: Mass::from_milligrams(850_000),
        scale: None,
        sample: None,
        off_because: None,
    }
}

fn destroy(bench: &mut Bench) {
    let destruction = Destruction {
        session: "D-2026-11-25-1".parse().expect("an id"),
        place: "Spoil cage, hall 2".to_owned(),
        machine: "Granulator 1".to_owned(),
        method: Method::Granulating,
        particle_class: Some(ParticleClass::P5),
        containers: vec![found("C-1", 1, 0), found("C-2", 0, 3)],
        operator: "ada".parse().expect("an id"),
        witnesses: vec![
            "wren".parse().expect("an id"),
            "osk".parse().expect("an id"),
        ],
        started: "2026-11-25T10:00:00+01:00".parse().expect("a stamp"),
        ended: "2026-11-25T10:20:00+01:00".parse().expect("a stamp"),
        largest_particle_mm2: Some(24),
        sample: None,
        statement: "We saw everything named here destroyed.".to_owned(),
        remarks: String::new(),
        left_out: Vec::new(),
        presence: Vec::new(),
    };
    bench
        .record_signed(Entry::SpoilsDestroyed(destruction))
        .expect("destroyed");
}

#[test]
fn a_whole_day_balances_to_zero_and_closes() {
    let mut bench = Bench::new();
    examine(&mut bench);
    draw_all(&mut bench);
    fill_and_seal(&mut bench);
    let lot = "T-1".parse().expect("an id");
    bench.sign_in("maud");
    let early = bench.record(vec![Entry::LotClosed(LotClosed { lot })]);
    assert_eq!(
        early.expect_err("too early").to_string(),
        "Lot T-1 cannot be closed: 4 spoils are not destroyed."
    );
    bench.sign_in("ben");
    destroy(&mut bench);
    bench.sign_in("maud");
    let day = "2026-11-25".parse().expect("a day");
    bench
        .record(vec![
            Entry::LotClosed(LotClosed { lot }),
            Entry::DayClosed(DayClosed { day }),
        ])
        .expect("closed");

    let lines = bench.stored.len();
    bench.keys(&["o", "s", "Enter"]);
    assert_eq!(
        bench.stored.len(),
        lines,
        "a closed lot can be looked at, not changed"
    );
    assert_eq!(
        bench.desk.bench.hint.as_deref(),
        Some("Lot T-1 is closed. Its sheets can be looked at.")
    );

    let book = bench.stored_book();
    let state = book.state();
    let account = lot_account(state, &state.lots[&lot]);
    assert!(account.holds(), "{account:?}");
    assert_eq!(account.sheet_figures.good, 247);
    assert_eq!(account.note_figures.on_spoiled_sheets, 40);
    assert_eq!(account.replacement_figures.inserted, 43);
    assert_eq!(account.spoil_figures.destroyed, 4);
    assert!(
        state
            .pools
            .values()
            .all(|pool| pool.drawn.iter().all(|drawn| drawn.fate == Fate::Inserted))
    );
    let totals = &state.days[&day];
    assert_eq!(
        (
            totals.all.examined(),
            totals.sheets_destroyed,
            totals.notes_destroyed
        ),
        (250, 1, 3)
    );
    assert_eq!(
        book.head(),
        bench.desk.book.head(),
        "what is stored is what is shown"
    );
}
