use super::*;
use crate::sheet::sample::{format, layout, sheet};

fn numbering(runs: Vec<Run>, sheets: u32) -> Result<Numbering, NumberingError> {
    Numbering::new(
        NumberingSpec {
            format: format("KA", 7, ""),
            runs,
        },
        &layout(8, 5),
        sheets,
    )
}

fn says(runs: Vec<Run>, sheets: u32) -> String {
    numbering(runs, sheets).unwrap_err().to_string()
}

fn run(sheets: u32, first: u64) -> Run {
    Run::down_stack(sheets, first)
}

#[test]
fn down_the_stack_a_pack_is_consecutive() {
    let lot = numbering(vec![run(10_000, 1)], 10_000).unwrap();
    assert_eq!(lot.number(sheet(1), 0), Some(1));
    assert_eq!(lot.number(sheet(2), 0), Some(2));
    assert_eq!(lot.number(sheet(1), 1), Some(10_001));
    assert_eq!(lot.number(sheet(10_000), 39), Some(400_000));
    assert_eq!(lot.intervals(), [(1, 400_000)]);
    assert_eq!(lot.serial(sheet(10_000), 39).unwrap().as_str(), "KA0400000");
}

#[test]
fn across_the_sheet_a_sheet_is_consecutive() {
    let lot = numbering(vec![Run::across_sheet(100, 500, 40)], 100).unwrap();
    assert_eq!(lot.number(sheet(1), 39), Some(539));
    assert_eq!(lot.number(sheet(2), 0), Some(540));
    assert_eq!(lot.intervals(), [(500, 4499)]);
}

#[test]
fn downwards_mirrors_upwards() {
    let down = Run {
        direction: Direction::Down,
        ..run(100, 5_000)
    };
    let lot = numbering(vec![down], 100).unwrap();
    assert_eq!(lot.number(sheet(1), 0), Some(5_000));
    assert_eq!(lot.number(sheet(2), 0), Some(4_999));
    assert_eq!(lot.number(sheet(1), 1), Some(4_900));
    assert_eq!(lot.intervals(), [(1_001, 5_000)]);
    assert_eq!(lot.locate(1_001), Some((sheet(100), 39)));
    assert_eq!(lot.locate(5_001), None);
}

#[test]
fn a_wide_stride_leaves_gaps() {
    let wide = Run {
        stride: 1_000,
        ..run(100, 0)
    };
    let lot = numbering(vec![wide], 100).unwrap();
    assert_eq!(lot.intervals()[..2], [(0, 99), (1_000, 1_099)]);
    assert_eq!(lot.locate(1_099), Some((sheet(100), 1)));
    assert_eq!(lot.locate(1_100), None);
    assert_eq!(lot.locate(40_000), None);
}

#[test]
fn runs_may_share_a_span_but_not_a_number() {
    let left = Run {
        stride: 1_000,
        ..run(100, 0)
    };
    let right = Run {
        stride: 1_000,
        ..run(150, 100)
    };
    let lot = numbering(vec![left, right], 250).unwrap();
    assert_eq!(lot.locate(39_100), Some((sheet(101), 39)));
    assert_eq!(lot.locate(39_099), Some((sheet(100), 39)));
    let clash = Run {
        first: 2_099,
        ..right
    };
    assert_eq!(
        says(vec![left, clash], 250),
        "Runs 1 and 2 would both print serial KA0002099. Change the first number or the stride of one."
    );
}

#[test]
fn nothing_off_the_lot_has_a_number() {
    let lot = numbering(vec![run(10, 1), run(5, 1_000)], 15).unwrap();
    assert_eq!(lot.number(sheet(15), 39), Some(1_199));
    assert_eq!(lot.number(sheet(16), 0), None);
    assert_eq!(lot.number(sheet(1), 40), None);
    assert_eq!(lot.serial(sheet(16), 0), None);
}

#[test]
fn refusals_carry_the_clashing_numbers() {
    assert_eq!(
        says(
            vec![Run {
                stride: 9_000,
                ..run(10_000, 1)
            }],
            10_000
        ),
        "Stride 9 000 of run 1 is smaller than the run's 10 000 sheets: neighbouring positions would share serials. Give a stride of 10 000 or more."
    );
    assert_eq!(
        says(vec![Run::across_sheet(100, 1, 39)], 100),
        "Stride 39 of run 1 is smaller than the 40 notes of a sheet: neighbouring sheets would share serials. Give a stride of 40 or more."
    );
    assert_eq!(
        says(vec![run(10_000, 9_600_001)], 10_000),
        "Run 1 would reach number 10 000 000, but 7 digits end at 9 999 999. Give a lower first number or a wider serial format."
    );
    assert!(numbering(vec![run(10_000, 9_600_000)], 10_000).is_ok());
    assert_eq!(
        says(
            vec![Run {
                direction: Direction::Down,
                ..run(100, 3_998)
            }],
            100
        ),
        "Run 1 counts down from 3 998 and needs 3 999 numbers below it: it would fall below 0. Give a first number of 3 999 or more."
    );
    assert!(
        numbering(
            vec![Run {
                direction: Direction::Down,
                ..run(100, 3_999)
            }],
            100
        )
        .is_ok()
    );
    assert_eq!(
        says(vec![run(100, 1), run(100, 4_000)], 200),
        "Runs 1 and 2 would both print serial KA0004000. Change the first number or the stride of one."
    );
    assert!(
        says(vec![run(100, 1), run(100, 3_000)], 200).contains("serials KA0003000 to KA0004000")
    );
    assert_eq!(
        says(vec![run(100, 1), run(50, 5_000)], 200),
        "The runs number 150 sheets, but the lot has 200. Make them agree."
    );
    assert_eq!(
        says(vec![], 200),
        "There is no numbering run. Give at least one."
    );
    assert!(says(vec![run(200, 1), run(0, 1)], 200).starts_with("Run 2 has no sheets."));
    assert!(says(vec![run(20_000_000, 1)], 20_000_000).contains("more than the 10 000 000"));
}

#[test]
fn absurd_numbers_are_refused_and_do_not_overflow() {
    let far = Run {
        stride: u64::MAX,
        ..run(10, u64::MAX)
    };
    assert!(says(vec![far], 10).contains("would reach number 737869762948382064"));
    let far = Run {
        direction: Direction::Down,
        ..far
    };
    assert!(says(vec![far], 10).contains("would fall below 0"));
}

#[test]
fn texts_are_located_or_refused() {
    let lot = numbering(vec![run(100, 1)], 100).unwrap();
    assert_eq!(lot.locate_text("ka 0000101"), Ok(Some((sheet(1), 1))));
    assert_eq!(lot.locate_text("KA0004001"), Ok(None));
    assert!(matches!(
        lot.locate_text("KB0000001"),
        Err(SerialError::Prefix { .. })
    ));
}

#[test]
fn many_runs_are_placed_in_order() {
    // Groups of 100 sheets, as on sheets of 50 notes (see tests/published).
    let runs = (0..200).map(|i| run(100, i * 4_000)).collect();
    let lot = numbering(runs, 20_000).unwrap();
    assert_eq!(lot.intervals(), [(0, 799_999)]);
    for number in [0, 3_999, 4_000, 123_456, 799_999] {
        let (sheet, rank) = lot.locate(number).unwrap();
        assert_eq!(lot.number(sheet, rank), Some(number));
        assert_eq!(u64::from(sheet.index() / 100), number / 4_000);
    }
}
