//! What a lot's marks say about the press, followed sheet by sheet from the book.

use cullbook::book::*;
use cullbook::inspect::{Costs, Verdict};
use cullbook::quality::meaning::Pattern;
use cullbook::sheet::Side;

use super::works::*;

const CLASSES: [&str; 4] = ["OM", "IW", "PH", "SP"];
const NAMES: [&str; 6] = ["A1", "A2", "A3", "B1", "B2", "B3"];

/// Numbers that are the same every time (the step of Numerical Recipes' quick generator).
struct Numbers(u32);

impl Numbers {
    fn below(&mut self, limit: u32) -> u32 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        ((u64::from(self.0) * u64::from(limit)) >> 32) as u32
    }
}

/// Two hundred sheets of six notes, a mark on one sheet in three anywhere, front or back.
fn scattered(numbers: &mut Numbers) -> Vec<Vec<String>> {
    let mut sheets = vec![Vec::new(); 200];
    for tags in &mut sheets {
        if numbers.below(3) > 0 {
            continue;
        }
        let side = if numbers.below(2) == 0 { "b:" } else { "" };
        let name = NAMES[numbers.below(6) as usize];
        let class = CLASSES[1 + numbers.below(3) as usize];
        tags.push(format!("{side}{name} {class}"));
    }
    sheets
}

fn examine(works: &mut Works, number: u32, tags: &[String]) {
    let tags: Vec<&str> = tags.iter().map(String::as_str).collect();
    works.must("ida", examined("L9", number, number, &tags));
}

fn works_of(sheets: &[Vec<String>]) -> Works {
    let mut works = Works::staffed();
    works.must("sue", lot("L9", sheets.len() as u32, None));
    let entries = (1..).zip(sheets).map(|(number, tags)| {
        let tags: Vec<&str> = tags.iter().map(String::as_str).collect();
        examined("L9", number, number, &tags)
    });
    let entries = entries.collect();
    works.write_all("ida", entries).unwrap();
    works
}

/// Mottle at B1 on sheets 101 to 106 and nowhere else. By hand: five other notes on 200 sheets
/// give 1 000 chances and no mark, so the rate is (0 + 1) / (1 000 + 2). The chance of six in a
/// row in 200 sheets is p⁶ · (1 + 194 · (1 − p)), less terms of p¹²: 1.9248 · 10⁻¹⁶.
#[test]
fn a_planted_repeater_is_found_with_its_chance() {
    let mut sheets = scattered(&mut Numbers(3));
    (101..=106).for_each(|number| sheets[number - 1].push("B1 OM".to_owned()));
    let works = works_of(&sheets);
    let lot = works.lot("L9");
    let press = Press::of(lot);
    let found = press.findings();
    assert_eq!(found.repeaters.len(), 1, "{:?}", found.repeaters);
    let one = &found.repeaters[0];
    assert_eq!(lot.product.layout.name(one.position), "B1");
    assert_eq!(
        (one.class.class, one.class.side, one.length),
        (id("OM"), Side::Front, 6)
    );
    assert_eq!((one.from, one.to), (sheet(101), sheet(106)));
    let by_hand = 1.9248e-16;
    assert!(
        (one.p.get() / by_hand - 1.0).abs() < 1e-4,
        "{:e}",
        one.p.get()
    );
    // Times every position and class on each side, since it is the only small chance.
    let family = family(lot).size() as f64;
    assert!((one.q.get() / (one.p.get() * family) - 1.0).abs() < 1e-9);
    assert_eq!(press.chance(lot, one.position, one.class, 6), one.p);
    // Six marks all in column 1 and row B: both lines stand out because of one note.
    let zones = found.zones.iter().filter(|zone| zone.class == one.class);
    let patterns: Vec<Pattern> = zones.map(|found| Pattern::of_zone(&found.zone)).collect();
    assert!(
        patterns
            .iter()
            .all(|pattern| *pattern == Pattern::OnePosition),
        "{patterns:?}"
    );
}

/// The same marks in another order, and other marks without order: of 60 such lots no more than
/// one in twenty may show a finding, and three standard deviations for the draw (3 + 3 · 1.7).
#[test]
fn shuffled_marks_are_no_finding() {
    let mut numbers = Numbers(11);
    let alarmed = (0..60).filter(|_| {
        let mut sheets = scattered(&mut numbers);
        for number in (1..=6).map(|step| step * 31) {
            sheets[number - 1].push("B1 OM".to_owned());
        }
        let works = works_of(&sheets);
        !Press::of(works.lot("L9")).findings().repeaters.is_empty()
    });
    assert!(alarmed.count() <= 8);
}

/// Streaks on every note of column 2, on the back only: the mirrored side names the same notes.
#[test]
fn a_column_on_the_back_is_a_zone_of_the_back() {
    let mut sheets = scattered(&mut Numbers(5));
    for number in (1..=198).step_by(9) {
        let name = ["A2", "B2"][number / 9 % 2];
        sheets[number - 1].push(format!("b:{name} OS"));
    }
    let works = works_of(&sheets);
    let found = Press::of(works.lot("L9")).findings();
    let zone = &found.zones[0];
    assert_eq!((zone.class.class, zone.class.side), (id("OS"), Side::Back));
    assert_eq!(
        (zone.zone.line, Pattern::of_zone(&zone.zone)),
        (1, Pattern::OneColumn)
    );
    assert!(found.repeaters.is_empty());
}

fn same(press: &Press, lot: &Lot) {
    let anew = Press::of(lot);
    assert_eq!(press.findings(), anew.findings());
    assert_eq!(press.examined(), anew.examined());
    assert!(press.marks().eq(anew.marks()));
    for side in Side::BOTH {
        assert_eq!(press.side(side), anew.side(side));
    }
}

/// Whatever the order of examining, correcting and overruling, what is followed bit by bit is
/// what a count from the start gives.
#[test]
fn following_gives_what_counting_anew_gives() {
    let mut works = Works::staffed();
    works.must("sue", lot("L9", 40, None));
    let mut press = Press::default();
    let planted = ["B1 OM".to_owned()];
    for number in [1, 2, 3, 7, 8, 9, 4, 5, 6, 10, 11, 20] {
        examine(&mut works, number, &planted);
        press.follow(works.lot("L9"));
        same(&press, works.lot("L9"));
    }
    assert_eq!(press.findings().repeaters[0].length, 12);
    let seq = works.last_word("L9", 6);
    works.must("ida", corrected("L9", 6, seq, &["B2 PH"]));
    press.follow(works.lot("L9"));
    same(&press, works.lot("L9"));
    let seq = works.last_word("L9", 6);
    works.must("sue", overruled("L9", 6, seq, Verdict::Good));
    works.must("ida", examined("L9", 21, 25, &[]));
    press.follow(works.lot("L9"));
    same(&press, works.lot("L9"));
    works.must("sue", lot("L8", 3, None));
    press.follow(works.lot("L8"));
    assert_eq!((press.examined(), press.marks().count()), (0, 0));
    assert!(press.findings().repeaters.is_empty());
}

/// Sheets 2 (two defective notes) and 5 (a whole-sheet class) of the small works, whose limit
/// is four notes; the rest have none.
#[test]
fn sheets_are_counted_by_their_defective_notes() {
    let mut works = Works::examined();
    let counts = DefectCounts::of(works.lot("L1"));
    assert_eq!(counts.sheets, [10, 0, 1, 0, 0, 0, 0]);
    assert_eq!(counts.whole_sheet, 1);
    assert_eq!(
        [counts.split(1), counts.split(2), counts.split(3)],
        [(0, 1), (0, 1), (1, 0)]
    );
    // At 2 the sheet with two defective notes is spoiled: 6 notes, or 6 · 10 + 20 = 80 to scrap
    // it; at 3 it is kept: 2 notes, or 40 + 2 · (10 + 30) = 120.
    let costs = Costs {
        sort: 40,
        note: 10,
        swap: 30,
        scrap: 20,
    };
    assert_eq!((counts.lost(2), counts.cost(2, &costs)), (6, 80));
    assert_eq!((counts.lost(3), counts.cost(3, &costs)), (2, 120));
    let seq = works.last_word("L1", 5);
    works.must("sue", overruled("L1", 5, seq, Verdict::Good));
    assert_eq!(
        DefectCounts::of(works.lot("L1")),
        counts,
        "by the rules' own reading"
    );
}
