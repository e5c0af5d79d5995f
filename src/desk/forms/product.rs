//! The form that defines a product: how its sheet lies, what its notes are called, how it is cut.

use crate::book::{Entry, ProductDefined, Refusal};
use crate::sheet::{
    Filling, Finishing, FinishingError, Grammage, Layout, LayoutError, LayoutSpec, Length,
    NameScheme, RankOrder, Turn,
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

/// The values of the filling field, and what is shown for each.
pub const FILLINGS: [(&str, &str); 2] = [
    ("position", "position by position"),
    ("stack", "stack by stack"),
];

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
        ("product-filling", "position"),
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
    let filling = form.read_with("product-filling", filling);
    match Finishing::new(stack?, bundle?, boxed?) {
        Ok(finishing) => Some(finishing.filled(filling?)),
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
pub(super) fn thousandths(text: &str) -> Option<u32> {
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

fn filling(text: &str) -> Result<Filling, &'static str> {
    Ok(match text {
        "position" => Filling::Position,
        "stack" => Filling::Stack,
        _ => return Err("\"Boxes are filled\" is not chosen. Choose how the boxes are filled."),
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
mod tests;
