//! The form that defines a product: how its sheet lies, what its notes are called, how it is cut.

use crate::book::{Entry, ProductDefined, Refusal};
use crate::sheet::{
    Finishing, FinishingError, Grammage, Layout, LayoutError, LayoutSpec, Length, NameScheme,
    RankOrder, Turn,
};

use super::{FieldErrors, Reader, Typed};

/// The values of the naming field, and what is shown for each.
pub const NAMINGS: [(&str, &str); 5] = [
    ("row-letter", "row letter, column number"),
    ("column-letter", "column letter, row number"),
    ("running", "running number"),
    ("quadrant", "letter, quarter of the sheet"),
    ("list", "own list"),
];
/// The values of the numbering order field, and what is shown for each.
pub const ORDERS: [(&str, &str); 3] = [
    ("rows", "row by row"),
    ("columns", "column by column"),
    ("quadrants", "quarter by quarter"),
];
/// The values of the turn field, and what is shown for each.
pub const TURNS: [(&str, &str); 2] = [("turn", "work-and-turn"), ("tumble", "work-and-tumble")];

/// What the form starts with: 8 rows of 5 notes that fill their sheet.
pub fn product_start() -> Typed {
    Typed::with([
        ("product-rows", "8"),
        ("product-columns", "5"),
        ("product-note-width", "136"),
        ("product-note-height", "68"),
        ("product-sheet-width", "704"),
        ("product-sheet-height", "572"),
        ("product-margin-x", "12"),
        ("product-margin-y", "14"),
        ("product-gutter-x", "0"),
        ("product-gutter-y", "0"),
        ("product-grammage", "86"),
        ("product-names", "row-letter"),
        ("product-order", "rows"),
        ("product-turn", "turn"),
        ("product-stack", "100"),
        ("product-bundle", "100"),
        ("product-box", "100"),
    ])
}

/// Reads the whole form.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn product(typed: &Typed) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let product = form.read("product-id");
    let title = form.required("product-title", "Denomination", 60);
    let layout = read_layout(&mut form);
    let finishing = read_finishing(&mut form);
    let entry = (|| {
        Some(Entry::ProductDefined(ProductDefined {
            product: product?,
            title: title?,
            layout: layout?.into(),
            finishing: finishing?,
        }))
    })();
    form.finish(entry)
}

/// Reads only what the picture of the sheet needs.
///
/// # Errors
/// Every wrong field of the sheet; a layout that cannot work is told at the field to change.
pub fn layout(typed: &Typed) -> Result<Layout, FieldErrors> {
    let mut form = Reader::new(typed);
    let layout = read_layout(&mut form);
    form.finish(layout)
}

/// The field that a refusal of the book is about.
pub fn product_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::ProductTaken(_) => "product-id",
        Refusal::Empty { .. } | Refusal::TooLong { .. } => "product-title",
        Refusal::Layout(why) => layout_field(why),
        _ => "",
    }
}

fn read_layout(form: &mut Reader) -> Option<Layout> {
    let rows = form.number("product-rows", "Rows", 1..=20);
    let columns = form.number("product-columns", "Columns", 1..=20);
    let note_width = length(form, "product-note-width", "Note width");
    let note_height = length(form, "product-note-height", "Note height");
    let sheet_width = length(form, "product-sheet-width", "Sheet width");
    let sheet_height = length(form, "product-sheet-height", "Sheet height");
    let margin_x = length(form, "product-margin-x", "Left margin");
    let margin_y = length(form, "product-margin-y", "Top margin");
    let gutter_x = length(form, "product-gutter-x", "Column gutter");
    let gutter_y = length(form, "product-gutter-y", "Row gutter");
    let grammage = form.read_with("product-grammage", grammage);
    let names = form.read_with("product-names", naming);
    let order = form.read_with("product-order", order);
    let turn = form.read_with("product-turn", turn);
    let spec = LayoutSpec {
        rows: rows?,
        columns: columns?,
        note_width: note_width?,
        note_height: note_height?,
        margin_x: margin_x?,
        margin_y: margin_y?,
        gutter_x: gutter_x?,
        gutter_y: gutter_y?,
        sheet_width: sheet_width?,
        sheet_height: sheet_height?,
        grammage: grammage?,
        names: match names? {
            NameScheme::List(_) => NameScheme::List(listed(form.text("product-list"))),
            scheme => scheme,
        },
        order: order?,
        turn: turn?,
    };
    match Layout::new(spec) {
        Ok(layout) => Some(layout),
        Err(why) => form.wrong(layout_field(&why), why),
    }
}

fn layout_field(why: &LayoutError) -> &'static str {
    match why {
        LayoutError::Count { what: "rows", .. } => "product-rows",
        LayoutError::Count { .. } => "product-columns",
        LayoutError::NoSize { what: "width" } => "product-note-width",
        LayoutError::NoSize { .. } => "product-note-height",
        LayoutError::DoesNotFit {
            extent: "width", ..
        } => "product-sheet-width",
        LayoutError::DoesNotFit { .. } => "product-sheet-height",
        LayoutError::OddQuadrants { .. } | LayoutError::QuadrantLetters { .. } => "product-names",
        LayoutError::NameCount { .. }
        | LayoutError::BadName { .. }
        | LayoutError::NameTwice { .. } => "product-list",
    }
}

fn read_finishing(form: &mut Reader) -> Option<Finishing> {
    let stack = form.number("product-stack", "Sheets a stack", 1..=10_000);
    let bundle = form.number("product-bundle", "Notes a bundle", 1..=10_000);
    let boxed = form.number("product-box", "Bundles a box", 1..=10_000);
    match Finishing::new(stack?, bundle?, boxed?) {
        Ok(finishing) => Some(finishing),
        Err(why @ FinishingError::Zero { .. }) => form.wrong("", why),
        Err(why) => form.wrong("product-stack", why),
    }
}

fn length(form: &mut Reader, field: &'static str, label: &str) -> Option<Length> {
    form.read_with(field, |text| {
        let micrometres = thousandths(text).ok_or_else(|| {
            format!("{label} is not a length in millimetres. Write it like 136 or 68.5, with at most 3 decimals.")
        })?;
        Length::try_from(micrometres)
            .map_err(|_| format!("{label} is longer than 10 m. Give 0 to 10 000 mm."))
    })
}

fn grammage(text: &str) -> Result<Grammage, String> {
    let grams = thousandths(text).ok_or(
        "Grammage is not a number of g/m². Write it like 86 or 86.5, with at most 3 decimals.",
    )?;
    Grammage::try_from(grams).map_err(|why| why.to_string())
}

/// A number with at most three decimals, point or comma, in thousandths. Exact: no floating point.
fn thousandths(text: &str) -> Option<u32> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || part.len() > 3 || !figures(whole) || !figures(part) {
        return None;
    }
    format!("{whole}{part:0<3}").parse().ok()
}

fn naming(text: &str) -> Result<NameScheme, &'static str> {
    Ok(match text {
        "row-letter" => NameScheme::RowLetterColumnNumber,
        "column-letter" => NameScheme::ColumnLetterRowNumber,
        "running" => NameScheme::Running,
        "quadrant" => NameScheme::Quadrant,
        "list" => NameScheme::List(Vec::new()),
        _ => return Err("\"Names\" is not chosen. Choose how note positions are called."),
    })
}

fn order(text: &str) -> Result<RankOrder, &'static str> {
    Ok(match text {
        "rows" => RankOrder::Rows,
        "columns" => RankOrder::Columns,
        "quadrants" => RankOrder::Quadrants,
        _ => return Err("\"Numbering order\" is not chosen. Choose the order of the positions."),
    })
}

fn turn(text: &str) -> Result<Turn, &'static str> {
    Ok(match text {
        "turn" => Turn::WorkAndTurn,
        "tumble" => Turn::WorkAndTumble,
        _ => return Err("\"Turn\" is not chosen. Choose how the sheet is turned over."),
    })
}

/// The works' own names, parted by spaces, commas or lines.
fn listed(text: &str) -> Vec<String> {
    let parted = text.split(|c: char| c.is_whitespace() || c == ',' || c == ';');
    parted
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::{book, take};
    use super::*;

    fn typed(change: &[(&'static str, &str)]) -> Typed {
        let mut typed = product_start();
        typed.set("product-id", "M20".to_owned());
        typed.set("product-title", "20 merin".to_owned());
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        typed
    }

    #[test]
    fn what_the_form_starts_with_works_once_it_has_a_name() {
        let entry = product(&typed(&[])).unwrap();
        let mut book = book();
        take(&mut book, entry.clone()).unwrap();
        let product = book.state().products.values().next().unwrap();
        assert_eq!(
            (product.title.as_str(), product.layout.notes()),
            ("20 merin", 40)
        );
        let again = take(&mut book, entry).unwrap_err();
        assert_eq!(product_field(&again), "product-id");
    }

    #[test]
    fn decimals_are_exact_and_may_have_a_comma() {
        let layout = layout(&typed(&[
            ("product-gutter-x", "0,5"),
            ("product-sheet-width", "706.001"),
        ]))
        .unwrap();
        assert_eq!(layout.spec().gutter_x.micrometres(), 500);
        assert_eq!(layout.spec().sheet_width.micrometres(), 706_001);
        let read = ["0.1", "12", "1.2345", "-1", "1e3", ".5", "", "5000000"].map(thousandths);
        assert_eq!(
            read,
            [Some(100), Some(12_000), None, None, None, None, None, None]
        );
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        for (change, field, says) in [
            (("product-id", ""), "product-id", "is empty"),
            (("product-id", "20 merin"), "product-id", "contains \" \""),
            (("product-title", " "), "product-title", "Fill it in"),
            (("product-rows", "21"), "product-rows", "Give 1 to 20."),
            (("product-columns", "0"), "product-columns", "Give 1 to 20."),
            (("product-note-width", "0"), "product-note-width", "is 0 mm"),
            (
                ("product-note-height", "six"),
                "product-note-height",
                "Note height is not a length",
            ),
            (
                ("product-note-width", "140"),
                "product-sheet-width",
                "need 712 mm",
            ),
            (
                ("product-margin-y", "15"),
                "product-sheet-height",
                "573.001 mm",
            ),
            (
                ("product-sheet-width", "10001"),
                "product-sheet-width",
                "longer than 10 m",
            ),
            (
                ("product-grammage", "29.9"),
                "product-grammage",
                "30 to 300",
            ),
            (
                ("product-grammage", "thick"),
                "product-grammage",
                "not a number of g/m²",
            ),
            (("product-names", ""), "product-names", "Choose"),
            (
                ("product-names", "quadrant"),
                "product-names",
                "cannot be quartered",
            ),
            (
                ("product-names", "list"),
                "product-list",
                "names 0 positions",
            ),
            (
                ("product-order", "quadrants"),
                "product-names",
                "cannot be quartered",
            ),
            (("product-order", ""), "product-order", "Choose"),
            (("product-turn", ""), "product-turn", "Choose"),
            (
                ("product-stack", "150"),
                "product-stack",
                "multiple of the bundle",
            ),
            (
                ("product-bundle", "0"),
                "product-bundle",
                "Give 1 to 10000.",
            ),
            (("product-box", "x"), "product-box", "not a whole number"),
        ] {
            // A sheet one micrometre too low shows that nothing is rounded.
            let errors = match change.0 {
                "product-margin-y" => product(&typed(&[
                    ("product-margin-y", "29.001"),
                    ("product-sheet-height", "573"),
                ])),
                _ => product(&typed(&[change])),
            }
            .unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }

    #[test]
    fn everything_wrong_is_told_at_once() {
        let errors = product(&typed(&[
            ("product-id", ""),
            ("product-rows", "0"),
            ("product-box", "0"),
        ]))
        .unwrap_err();
        let fields: Vec<_> = errors.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["product-id", "product-rows", "product-box"]);
    }

    #[test]
    fn own_names_are_parted_by_spaces_commas_or_lines() {
        let change = [
            ("product-rows", "1"),
            ("product-columns", "3"),
            ("product-names", "list"),
            ("product-list", "L1, M1\n R1"),
        ];
        let named = layout(&typed(&change)).unwrap();
        let names: Vec<_> = named
            .positions()
            .map(|place| named.name(place).to_owned())
            .collect();
        assert_eq!(names, ["L1", "M1", "R1"]);
        let twice = layout(&typed(&[
            change[0],
            change[1],
            change[2],
            ("product-list", "L1 l1 R1"),
        ]));
        assert!(
            twice
                .unwrap_err()
                .of("product-list")
                .unwrap()
                .contains("given to places 1 and 2")
        );
    }
}
