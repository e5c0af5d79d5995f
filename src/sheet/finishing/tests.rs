use super::*;
use crate::sheet::sample::sheet;

fn place(box_no: u32, bundle: u32, stack: u32, depth: u32) -> Place {
    let box_no = BoxNo::new(box_no).unwrap();
    Place {
        box_no,
        bundle: BundleNo::new(bundle).unwrap(),
        stack,
        depth,
    }
}

#[test]
fn a_note_has_stack_depth_bundle_and_box() {
    let lot = Finishing::default().cut(10_000, 40).unwrap();
    assert_eq!(lot.place(sheet(1), 0), Some(place(1, 1, 1, 1)));
    assert_eq!(lot.place(sheet(100), 0), Some(place(1, 1, 1, 100)));
    assert_eq!(lot.place(sheet(100), 39), Some(place(1, 40, 1, 100)));
    assert_eq!(lot.place(sheet(101), 0), Some(place(1, 41, 2, 1)));
    assert_eq!(lot.place(sheet(201), 20), Some(place(2, 101, 3, 1)));
    assert_eq!(
        lot.place(sheet(10_000), 39),
        Some(place(40, 4_000, 100, 100))
    );
    assert_eq!((lot.bundle_count(), lot.box_count()), (4_000, 40));
    assert_eq!(lot.place(sheet(10_001), 0), None);
    assert_eq!(lot.place(sheet(1), 40), None);
}

#[test]
fn high_stacks_give_several_bundles_a_pile() {
    let lot = Finishing::new(500, 100, 10).unwrap().cut(1_150, 4).unwrap();
    // Two whole stacks of 4 × 5 bundles, then 150 sheets: 4 × 2, the second of each short.
    assert_eq!(lot.bundle_count(), 48);
    assert_eq!(lot.place(sheet(101), 1), Some(place(1, 7, 1, 101)));
    assert_eq!(lot.place(sheet(1_150), 3), Some(place(5, 48, 3, 150)));
    let last = lot.bundle(BundleNo::new(48).unwrap()).unwrap();
    assert_eq!(
        (last.sheets.first(), last.sheets.len(), last.rank),
        (sheet(1_101), 50, 3)
    );
    assert_eq!(lot.bundle(BundleNo::new(49).unwrap()), None);
}

#[test]
fn boxes_hold_consecutive_bundles() {
    let lot = Finishing::new(100, 100, 30).unwrap().cut(200, 40).unwrap();
    let numbers = |box_no| {
        let bundles = lot.bundles_in(BoxNo::new(box_no).unwrap());
        bundles.map(|b| b.number.number()).collect::<Vec<_>>()
    };
    assert_eq!(numbers(1), (1..=30).collect::<Vec<_>>());
    assert_eq!(numbers(3), (61..=80).collect::<Vec<_>>());
    assert!(numbers(4).is_empty() && numbers(u32::MAX).is_empty());
    assert_eq!(lot.box_count(), 3);
}

/// Common practice, no source: a box of 100 bundles holds 10,000 consecutive notes.
#[test]
fn filled_by_position_a_box_holds_one_position_over_many_stacks() {
    let by_position = Finishing::default().filled(Filling::Position);
    let lot = by_position.cut(10_000, 40).unwrap();
    assert_eq!(lot.place(sheet(1), 0), Some(place(1, 1, 1, 1)));
    assert_eq!(lot.place(sheet(101), 0), Some(place(1, 2, 2, 1)));
    assert_eq!(lot.place(sheet(10_000), 0), Some(place(1, 100, 100, 100)));
    assert_eq!(lot.place(sheet(1), 1), Some(place(2, 101, 1, 1)));
    for box_no in 1..=40 {
        let bundles: Vec<_> = lot.bundles_in(BoxNo::new(box_no).unwrap()).collect();
        let notes: Vec<_> = bundles.iter().flat_map(|b| b.members()).collect();
        let whole: Vec<_> = (1..=10_000)
            .map(|k| (sheet(k), box_no as u16 - 1))
            .collect();
        assert_eq!(notes, whole);
    }
}

#[test]
fn filled_by_position_a_short_last_stack_ends_each_position() {
    let sizes = Finishing::new(500, 100, 10)
        .unwrap()
        .filled(Filling::Position);
    let lot = sizes.cut(1_150, 4).unwrap();
    // Each position has 5 + 5 + 2 bundles, the last of 50 notes.
    assert_eq!(lot.bundle_count(), 48);
    assert_eq!(lot.place(sheet(1_150), 0), Some(place(2, 12, 3, 150)));
    assert_eq!(lot.place(sheet(1), 1), Some(place(2, 13, 1, 1)));
    let short = lot.bundle(BundleNo::new(24).unwrap()).unwrap();
    assert_eq!(
        (short.sheets.first(), short.sheets.len()),
        (sheet(1_101), 50)
    );
    assert_eq!((short.rank, short.stack), (1, 3));
}

#[test]
fn a_line_without_filling_means_stack_by_stack_and_keeps_its_bytes() {
    let old = r#"{"stack":100,"bundle":100,"bundles_per_box":100}"#;
    let read: Finishing = serde_json::from_str(old).unwrap();
    assert_eq!(read.filling(), Filling::Stack);
    assert_eq!(serde_json::to_string(&read).unwrap(), old);
    let new = r#"{"stack":100,"bundle":100,"bundles_per_box":100,"filling":"position"}"#;
    let read: Finishing = serde_json::from_str(new).unwrap();
    assert_eq!(read, Finishing::default().filled(Filling::Position));
    assert_eq!(serde_json::to_string(&read).unwrap(), new);
    assert!(serde_json::from_str::<Finishing>(&new.replace("position", "heap")).is_err());
}

#[test]
fn the_largest_lot_still_counts() {
    let lot = Finishing::new(1, 1, 1)
        .unwrap()
        .cut(MAX_SHEETS, 400)
        .unwrap();
    assert_eq!(lot.bundle_count(), 4_000_000_000);
    let last = lot.bundle(BundleNo::new(4_000_000_000).unwrap()).unwrap();
    assert_eq!((last.sheets.last(), last.rank), (sheet(MAX_SHEETS), 399));
}

#[test]
fn an_empty_lot_has_no_bundles() {
    let lot = Finishing::default().cut(0, 40).unwrap();
    assert_eq!((lot.bundles().count(), lot.box_count()), (0, 0));
    assert_eq!(lot.place(sheet(1), 0), None);
}

#[test]
fn refusals_say_what_to_do() {
    let says = |sizes: (u32, u32, u32)| {
        Finishing::new(sizes.0, sizes.1, sizes.2)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        says((250, 100, 100)),
        "A stack of 250 sheets does not part into bundles of 100 notes. Give a stack height that is a multiple of the bundle."
    );
    assert_eq!(
        says((100, 100, 0)),
        "The number of bundles a box is 0. Give at least 1."
    );
    let error = Finishing::default()
        .cut(10_000_001, 1)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("10 000 001 sheets, more than the 10 000 000"),
        "{error}"
    );
}
