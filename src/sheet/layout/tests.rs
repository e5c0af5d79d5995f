use super::*;
use crate::sheet::sample::{layout, layout_spec, mm};

fn names(layout: &Layout) -> Vec<&str> {
    layout.positions().map(|p| layout.name(p)).collect()
}

fn named(
    rows: u8,
    columns: u8,
    names: NameScheme,
    order: RankOrder,
) -> Result<Layout, LayoutError> {
    Layout::new(LayoutSpec {
        names,
        order,
        ..layout_spec(rows, columns)
    })
}

fn listed(list: &[&str]) -> Result<Layout, LayoutError> {
    let list = list.iter().map(|&name| name.to_owned()).collect();
    named(1, 3, NameScheme::List(list), RankOrder::Rows)
}

#[test]
fn letters_follow_rows_or_columns() {
    let by_row = named(2, 3, NameScheme::RowLetterColumnNumber, RankOrder::Rows).unwrap();
    assert_eq!(names(&by_row), ["A1", "A2", "A3", "B1", "B2", "B3"]);
    let by_column = named(2, 3, NameScheme::ColumnLetterRowNumber, RankOrder::Rows).unwrap();
    assert_eq!(names(&by_column), ["A1", "B1", "C1", "A2", "B2", "C2"]);
    let last = layout(20, 20);
    assert_eq!(last.name(last.position(19, 19).unwrap()), "T20");
}

#[test]
fn running_numbers_follow_the_numbering_order() {
    let columns = named(2, 3, NameScheme::Running, RankOrder::Columns).unwrap();
    assert_eq!(names(&columns), ["1", "3", "5", "2", "4", "6"]);
    let quadrants = named(4, 4, NameScheme::Running, RankOrder::Quadrants).unwrap();
    assert_eq!(
        names(&quadrants),
        [
            "1", "3", "5", "7", "2", "4", "6", "8", "9", "11", "13", "15", "10", "12", "14", "16"
        ]
    );
}

#[test]
fn names_are_found_however_typed() {
    let layout = layout(8, 5);
    let b3 = layout.position(1, 2).unwrap();
    for typed in ["B3", "b3", "  b3 "] {
        assert_eq!(layout.find(typed), Some(b3));
    }
    assert_eq!(layout.find("B6"), None);
    assert_eq!(layout.find(""), None);
}

#[test]
fn list_names_are_checked() {
    assert_eq!(
        names(&listed(&["L1", "M", "R-9"]).unwrap()),
        ["L1", "M", "R-9"]
    );
    let says = |list: &[&str]| listed(list).unwrap_err().to_string();
    assert_eq!(
        says(&["L1", "M1"]),
        "The list names 2 positions, but the sheet has 3. Give one name a note."
    );
    assert_eq!(
        says(&["L1", "M1", "l1"]),
        "Position name \"l1\" is given to places 1 and 3 of the list (capitals do not count). Make each name different."
    );
    assert!(says(&["L1", "", "R1"]).contains("name 2 in the list, \"\", is empty"));
    assert!(says(&["L1", "M1", "RT"]).contains("\"RT\", is two letters only"));
    assert!(says(&["L1", "M1", "right-end"]).contains("longer than 8 characters"));
    assert!(says(&["L1", "M1", "R 1"]).contains("other signs than letters"));
}

#[test]
fn quarters_need_even_sides_and_letters() {
    let odd = named(5, 4, NameScheme::Quadrant, RankOrder::Rows).unwrap_err();
    assert_eq!(
        odd,
        LayoutError::OddQuadrants {
            rows: 5,
            columns: 4
        }
    );
    let odd = named(4, 5, NameScheme::Running, RankOrder::Quadrants).unwrap_err();
    assert_eq!(
        odd,
        LayoutError::OddQuadrants {
            rows: 4,
            columns: 5
        }
    );
    let many = named(12, 10, NameScheme::Quadrant, RankOrder::Rows).unwrap_err();
    assert_eq!(
        many.to_string(),
        "A quarter of the sheet has 30 notes, more than the 26 letters. Choose another naming."
    );
}

#[test]
fn what_does_not_fit_is_refused_with_its_numbers() {
    let wide = LayoutSpec {
        sheet_width: mm(669.9),
        ..layout_spec(8, 5)
    };
    assert_eq!(
        Layout::new(wide).unwrap_err().to_string(),
        "The 5 columns of notes need 670 mm of sheet width with margin and gutters, but the sheet has 669.9 mm. Make the sheet larger, or the notes, margin or gutters smaller."
    );
}

#[test]
fn counts_and_sizes_have_limits() {
    let says = |spec| Layout::new(spec).unwrap_err().to_string();
    assert_eq!(
        says(layout_spec(0, 5)),
        "The layout has 0 rows. Give 1 to 20."
    );
    assert_eq!(
        says(LayoutSpec {
            columns: 21,
            ..layout_spec(8, 5)
        }),
        "The layout has 21 columns. Give 1 to 20."
    );
    assert_eq!(
        says(LayoutSpec {
            note_height: mm(0.0),
            ..layout_spec(8, 5)
        }),
        "The note height is 0 mm. Give the size of a cut note."
    );
}

#[test]
fn the_back_is_mirrored() {
    let turned = layout(8, 5);
    let a1 = turned.find("A1").unwrap();
    assert_eq!(turned.seen(Side::Front, a1), (0, 0));
    assert_eq!(turned.seen(Side::Back, a1), (0, 4));
    let tumbled = LayoutSpec {
        turn: Turn::WorkAndTumble,
        ..layout_spec(8, 5)
    };
    let tumbled = Layout::new(tumbled).unwrap();
    assert_eq!(tumbled.seen(Side::Back, a1), (7, 0));
    assert_eq!(tumbled.seen_at(Side::Back, 0, 0), tumbled.find("H1"));
    assert_eq!(tumbled.seen_at(Side::Back, 8, 0), None);
}

#[test]
fn origins_mirror_unequal_margins() {
    let turned = layout(8, 5);
    let b2 = turned.find("B2").unwrap();
    assert_eq!(turned.origin(Side::Front, b2), (mm(144.0), mm(77.0)));
    // The sheet is 692 mm wide; the note's right edge on the front is at 274 mm.
    assert_eq!(turned.origin(Side::Back, b2), (mm(692.0 - 274.0), mm(77.0)));
    let tumbled = LayoutSpec {
        turn: Turn::WorkAndTumble,
        ..layout_spec(8, 5)
    };
    let tumbled = Layout::new(tumbled).unwrap();
    // 576 mm high; the note's lower edge on the front is at 142 mm.
    assert_eq!(
        tumbled.origin(Side::Back, b2),
        (mm(144.0), mm(576.0 - 142.0))
    );
}

#[test]
fn areas_are_in_square_millimetres() {
    let layout = layout(8, 5);
    assert_eq!(layout.note_area_mm2(), 130.0 * 65.0);
    assert_eq!(layout.sheet_area_mm2(), 692.0 * 576.0);
    assert_eq!(layout.sheet_size(), (mm(692.0), mm(576.0)));
}

#[test]
fn a_layout_is_written_as_its_spec_and_checked_when_read() {
    let layout = layout(8, 5);
    let json = serde_json::to_string(&layout).unwrap();
    assert!(json.contains("\"note_width\":130000"), "{json}");
    assert_eq!(serde_json::from_str::<Layout>(&json).unwrap(), layout);
    let too_many = json.replace("\"rows\":8", "\"rows\":9");
    let error = serde_json::from_str::<Layout>(&too_many)
        .unwrap_err()
        .to_string();
    assert!(error.contains("The 9 rows of notes need"), "{error}");
    let unknown = json.replacen('{', "{\"colour\":1,", 1);
    assert!(serde_json::from_str::<Layout>(&unknown).is_err());
}
