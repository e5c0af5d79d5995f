//! Whole replacement sheets for whole spoiled sheets.

use cullbook::book::*;
use cullbook::inspect::DrawError;

use super::works::*;

/// L4 of 5 sheets of 6 notes: sheets 2, 4 and 5 are spoiled, sheet 3 is mixed. R3 has `sheets`
/// sheets, R1 loose notes.
fn works(sheets: u32) -> Works {
    let mut works = Works::with_lot();
    works.must("sue", Entry::RulesSet(whole_sheet_rules()));
    let series = sheet_series("R3", "M20", sheets, 1_000);
    works.must("sue", Entry::SeriesAdded(series));
    works.must("sue", lot("L4", 5, Some(numbered("KD", 5, 0))));
    works.must("ida", examined("L4", 1, 1, &[]));
    works.must("ida", examined("L4", 2, 2, &["- PT"]));
    works.must("ida", examined("L4", 3, 3, &["A1 PH"]));
    works.must("ida", examined("L4", 4, 5, &["- PT"]));
    works
}

fn pairs(entries: &[Entry]) -> Vec<(String, String)> {
    let pairs = entries.iter().flat_map(|entry| match entry {
        Entry::ReplacementsDrawn(data) => data.pairs.clone(),
        other => panic!("not a draw: {other:?}"),
    });
    pairs
        .map(|(old, new)| (old.to_string(), new.to_string()))
        .collect()
}

#[track_caller]
fn draw(works: &mut Works, series: &str, most: usize) -> Vec<(String, String)> {
    let entries = works.draw_some("L4", series, most).unwrap();
    let drawn = pairs(&entries);
    works.write_all("sue", entries).unwrap();
    drawn
}

#[test]
fn sheets_replace_sheets_rank_by_rank() {
    let mut works = works(3);
    assert_eq!(works.lot("L4").sheet_needs(), [2, 4, 5].map(sheet));
    let drawn = draw(&mut works, "R3", 12);
    // Sheets 2 and 4 of L4 are KD 1 and 3 and every fifth; sheets of R3 every third from 1000.
    let expected = |of: u64, by: u64| {
        (0..6).map(move |rank| {
            let (old, new) = (of + rank * 5, by + rank * 3);
            (format!("KD{old:06}"), format!("ZR{new:06}"))
        })
    };
    let both: Vec<_> = expected(1, 1_000).chain(expected(3, 1_001)).collect();
    assert_eq!(drawn, both);
    assert_eq!(works.lot("L4").sheet_needs(), [sheet(5)]);
    // Only the mixed sheet takes a loose note.
    let loose = draw(&mut works, "R1", usize::MAX);
    assert_eq!(loose, [("KD000002".to_owned(), "ZR000000".to_owned())]);
    assert_eq!(draw(&mut works, "R3", usize::MAX).len(), 6);
    assert_eq!(works.lot("L4").needs().len(), 0);
}

#[test]
fn sheets_and_notes_are_not_drawn_for_each_other() {
    let mut works = works(3);
    let sheets = works.draw_some("L4", "R3", 6).unwrap();
    let Entry::ReplacementsDrawn(whole) = &sheets[0] else {
        panic!("not a draw");
    };
    let refused = |works: &mut Works, list: &[usize]| {
        let pairs = list.iter().map(|&at| whole.pairs[at]).enumerate();
        let new = |at: usize| whole.pairs[at].1;
        let pairs = pairs.map(|(at, (old, _))| (old, new(at))).collect();
        works.refused("sue", drawn("L4", "R3", pairs))
    };
    let only = Refusal::WholeSheetsOnly(id("R3"));
    assert_eq!(refused(&mut works, &[0, 1, 2]), only, "half a sheet");
    assert_eq!(refused(&mut works, &[1, 0, 2, 3, 4, 5]), only, "crossed");
    let mixed = vec![(id("KD000002"), id("ZR001000"))];
    let why = works.refused("sue", drawn("L4", "R3", mixed));
    assert_eq!(why, only, "a mixed sheet's note");
    let loose = vec![(id("KD000001"), id("ZR000000"))];
    let why = works.refused("sue", drawn("L4", "R1", loose));
    let wants = Refusal::WantsSheet {
        serial: "KD000001".to_owned(),
        series: id("R3"),
    };
    assert_eq!(why, wants);
}

#[test]
fn loose_notes_serve_once_the_sheets_have_run_out() {
    let mut works = works(2);
    let short = works.draw_some("L4", "R3", usize::MAX).unwrap_err();
    let expected = DrawError::Short {
        series: id("R3"),
        needed: 18,
        left: 12,
    };
    assert_eq!(short, Refusal::Draw(expected));
    draw(&mut works, "R3", 12);
    assert_eq!(draw(&mut works, "R1", usize::MAX).len(), 7);
    assert_eq!(works.lot("L4").needs().len(), 0);
}

#[test]
fn a_part_lost_takes_notes_and_the_whole_lost_takes_a_sheet() {
    let mut works = works(4);
    draw(&mut works, "R3", 18);
    draw(&mut works, "R1", usize::MAX);
    let sheet_of = works.drawn("R3");
    works.must("sue", spoiled("R3", sheet_of[..2].to_vec()));
    assert_eq!(works.lot("L4").sheet_needs(), []);
    assert_eq!(works.lot("L4").loose_needs().len(), 2);
    works.must("sue", returned("R3", sheet_of[2..6].to_vec()));
    assert_eq!(works.lot("L4").sheet_needs(), [sheet(2)]);
    assert_eq!(works.lot("L4").loose_needs().len(), 0);
    let again = draw(&mut works, "R3", 6);
    assert_eq!(again[0], ("KD000001".to_owned(), "ZR001003".to_owned()));
}

#[test]
fn sheets_overlap_nothing() {
    let mut works = works(2);
    let why = works.refused("sue", Entry::SeriesAdded(series("R9", "M20", 1_011, 1_020)));
    assert!(why.to_string().contains("ZR001011"), "{why}");
    works.must("sue", Entry::SeriesAdded(series("R9", "M20", 1_012, 1_020)));
}
