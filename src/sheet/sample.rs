//! Layouts and formats for unit tests, here and in the rooms to the right.

use super::*;

pub(crate) fn mm(mm: f64) -> Length {
    Length::from_mm(mm).unwrap()
}

/// Notes of 130 × 65 mm, 2 mm apart, on a sheet with unequal margins that just fits.
pub(crate) fn layout_spec(rows: u8, columns: u8) -> LayoutSpec {
    LayoutSpec {
        rows,
        columns,
        note_width: mm(130.0),
        note_height: mm(65.0),
        margin_x: mm(12.0),
        margin_y: mm(10.0),
        gutter_x: mm(2.0),
        gutter_y: mm(2.0),
        sheet_width: mm(12.0 + 132.0 * f64::from(columns) + 20.0),
        sheet_height: mm(10.0 + 67.0 * f64::from(rows) + 30.0),
        grammage: Grammage::from_g_per_m2(85.0).unwrap(),
        names: NameScheme::RowLetterColumnNumber,
        order: RankOrder::Rows,
        turn: Turn::WorkAndTurn,
    }
}

pub(crate) fn layout(rows: u8, columns: u8) -> Layout {
    Layout::new(layout_spec(rows, columns)).unwrap()
}

/// No check character; display in one piece.
pub(crate) fn format_spec(prefix: &str, width: u8, suffix: &str) -> SerialFormatSpec {
    SerialFormatSpec {
        prefix: prefix.to_owned(),
        width,
        suffix: suffix.to_owned(),
        check: CheckSystem::None,
        check_place: CheckPlace::End,
        check_over: CheckOver::Whole,
        grouping: Vec::new(),
    }
}

pub(crate) fn format(prefix: &str, width: u8, suffix: &str) -> SerialFormat {
    SerialFormat::new(format_spec(prefix, width, suffix)).unwrap()
}

pub(crate) fn sheet(number: u32) -> SheetNo {
    SheetNo::new(number).unwrap()
}
