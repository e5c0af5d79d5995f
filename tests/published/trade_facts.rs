//! Facts of the trade. Common practice, no source; the figures are from memory.

use cullbook::inspect::starter_catalogue;
use cullbook::sheet::{Finishing, FormatError, SerialFormat, SerialFormatSpec};

fn format(prefix: &str, width: u8) -> Result<SerialFormat, FormatError> {
    let spec = serde_json::json!({ "prefix": prefix, "width": width });
    let spec: SerialFormatSpec = serde_json::from_value(spec).expect("a spec");
    SerialFormat::new(spec)
}

/// A serial has at most 15 letters and digits (common practice, no source).
#[test]
fn serials_have_at_most_15_characters() {
    assert_eq!(format("ABC", 12).map(|format| format.length()), Ok(15));
    assert_eq!(format("ABCD", 12), Err(FormatError::TooLong(16)));
}

/// A bundle has 100 notes and a box up to 10,000 (common practice, no source).
#[test]
fn bundles_hold_100_notes_and_boxes_10_000() {
    let sizes = Finishing::default();
    assert_eq!((sizes.stack(), sizes.bundle()), (100, 100));
    let lot = sizes.cut(1_000, 40).expect("a lot");
    let notes = |box_no| -> u32 {
        let bundles = lot.bundles_in(cullbook::sheet::BoxNo::from_index(box_no));
        bundles.map(|bundle| bundle.sheets.len()).sum()
    };
    assert_eq!([notes(0), notes(3), lot.box_count()], [10_000, 10_000, 4]);
}

/// An inspector makes more than 20 checks on every sheet (common practice, no source).
#[test]
fn an_inspector_makes_more_than_20_checks() {
    assert!(starter_catalogue().classes().len() > 20);
}
