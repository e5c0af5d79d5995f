//! The form that sets a replacement series aside.

use crate::book::Product;
use crate::book::{Entry, Refusal, State};
use crate::sheet::{
    MAX_SHEETS, NumberingError, Series, SeriesError, SeriesSpec, SeriesStock, grouped,
};

use super::numbering::{RunFields, read_run};
use super::serial::{FormatFields, format};
use super::{FieldErrors, Reader, Typed};

pub const SERIES_FORMAT: FormatFields = FormatFields {
    prefix: "series-prefix",
    width: "series-width",
    suffix: "series-suffix",
    check: "series-check",
    place: "series-check-place",
    over: "series-check-over",
    groups: "series-groups",
};

/// The run of a series of sheets.
pub const SERIES_RUN: RunFields = RunFields {
    sheets: "series-sheets",
    first: "series-first",
    stride: "series-stride",
    direction: "series-direction",
    arrangement: "series-arrangement",
};

/// The values of the stock field, and what is shown for each.
pub const STOCKS: [(&str, &str); 2] = [("notes", "loose notes"), ("sheets", "whole sheets")];

const LARGEST: u64 = 999_999_999_999;

/// What the form starts with; the product is chosen when there is one only.
pub fn series_start(state: &State) -> Typed {
    let mut typed = Typed::with([
        ("series-width", "7"),
        ("series-check", "none"),
        ("series-check-place", "end"),
        ("series-check-over", "whole"),
        ("series-first", "1"),
        ("series-stock", "notes"),
        ("series-direction", "up"),
        ("series-arrangement", "down-stack"),
    ]);
    let mut products = state.products.keys();
    if let (Some(only), None) = (products.next(), products.next()) {
        typed.set("series-product", only.to_string());
    }
    typed
}

/// Reads the whole form.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn series(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let id = form.read("series-id");
    let product = read_product(&mut form, state);
    let format = format(&mut form, &SERIES_FORMAT);
    let stock = read_stock(&mut form, product);
    let series = (|| {
        let (product, stock) = (product?, stock?);
        let spec = SeriesSpec {
            id: id?,
            product: product.id,
            format: format?,
            stock,
        };
        match Series::new(spec, &product.layout) {
            Ok(series) => Some(Entry::SeriesAdded(series.spec().clone())),
            Err(why) => form.wrong(series_error_field(&why), why),
        }
    })();
    form.finish(series)
}

/// Loose notes by their first and last number, or sheets by their run. Asks for no product, which
/// is told at its own field.
fn read_stock(form: &mut Reader, product: Option<&Product>) -> Option<SeriesStock> {
    if form.text("series-stock") == "sheets" {
        let sheets = form.number(SERIES_RUN.sheets, "Sheets", 1..=MAX_SHEETS);
        let notes = product.map(|product| product.layout.notes());
        return read_run(form, &SERIES_RUN, sheets, notes).map(SeriesStock::Sheets);
    }
    let first = form.number("series-first", "First number", 0..=LARGEST);
    let last = form.number("series-last", "Last number", 0..=LARGEST);
    first
        .zip(last)
        .map(|(first, last)| SeriesStock::Notes { first, last })
}

/// What would be set aside, in words; nothing while the fields are not right.
pub fn series_preview(typed: &Typed, state: &State) -> Option<String> {
    let mut typed = typed.clone();
    if typed.get("series-id").is_empty() {
        // What is set aside does not depend on its name.
        typed.set("series-id", "R".to_owned());
    }
    let Entry::SeriesAdded(spec) = series(&typed, state).ok()? else {
        return None;
    };
    let layout = &state.product(spec.product).ok()?.layout;
    let series = Series::new(spec, layout).ok()?;
    let (from, to) = series_ends(&series);
    Some(format!("{from} to {to}, {}", series_size(&series)))
}

/// "12 notes", or "3 sheets of 4 notes".
pub fn series_size(series: &Series) -> String {
    match series.notes_of_sheet() {
        None => format!("{} notes", grouped(series.len())),
        Some(of_sheet) => {
            let sheets = series.len() / u64::from(of_sheet);
            format!("{} sheets of {of_sheet} notes", grouped(sheets))
        }
    }
}

/// The field that a refusal of the book is about.
pub fn series_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::SeriesTaken(_) => "series-id",
        Refusal::UnknownProduct(_) => "series-product",
        Refusal::SerialsTaken { .. } => "series-first",
        Refusal::Series(why) => series_error_field(why),
        _ => "",
    }
}

fn read_product<'a>(form: &mut Reader, state: &'a State) -> Option<&'a Product> {
    if form.text("series-product").is_empty() {
        let message = "\"Product\" is not chosen. Choose one, or define it first under Products.";
        return form.wrong("series-product", message);
    }
    let id = form.read("series-product")?;
    match state.product(id) {
        Ok(product) => Some(product),
        Err(why) => form.wrong("series-product", why),
    }
}

fn series_error_field(why: &SeriesError) -> &'static str {
    match why {
        SeriesError::Stock(_) => "series-stock",
        SeriesError::Backwards { .. } | SeriesError::Overflow { .. } => "series-last",
        SeriesError::Sheets { why, .. } => match why {
            NumberingError::Stride { .. } => SERIES_RUN.stride,
            NumberingError::Overflow { .. } | NumberingError::BelowZero { .. } => SERIES_RUN.first,
            _ => SERIES_RUN.sheets,
        },
    }
}

/// The first and the last note of a series in the order of its draws, as they are shown.
pub fn series_ends(series: &Series) -> (String, String) {
    let shown = |place| {
        let number = series.number(place);
        let shown = number.and_then(|number| series.format().display(number).ok());
        // A series is never empty, and its numbers were checked.
        shown.unwrap_or_default()
    };
    (shown(0), shown(series.len() - 1))
}

#[cfg(test)]
mod tests {
    use super::super::product::{product, product_start};
    use super::super::sample::{book, take};
    use super::*;
    use crate::book::Book;
    use crate::sheet::SeriesId;

    fn with_product() -> Book {
        let mut typed = product_start();
        typed.set("product-id", "M20".to_owned());
        typed.set("product-title", "20 merin".to_owned());
        let mut book = book();
        take(&mut book, product(&typed).unwrap()).unwrap();
        book
    }

    fn typed(book: &Book, change: &[(&'static str, &str)]) -> Typed {
        let mut typed = series_start(book.state());
        for (field, text) in [
            ("series-id", "R20-A"),
            ("series-prefix", "ZZ"),
            ("series-last", "50 000"),
        ] {
            typed.set(field, text.to_owned());
        }
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        typed
    }

    #[test]
    fn a_series_is_set_aside_once() {
        let mut book = with_product();
        let entry = series(&typed(&book, &[]), book.state()).unwrap();
        take(&mut book, entry.clone()).unwrap();
        let id: SeriesId = "R20-A".parse().unwrap();
        let pool = book.state().pool(id).unwrap();
        assert_eq!(pool.left(), 50_000);
        assert_eq!(
            series_ends(&pool.series),
            ("ZZ0000001".to_owned(), "ZZ0050000".to_owned())
        );
        assert_eq!(
            series_field(&take(&mut book, entry).unwrap_err()),
            "series-id"
        );
        let other = series(&typed(&book, &[("series-id", "R20-B")]), book.state()).unwrap();
        assert_eq!(
            series_field(&take(&mut book, other).unwrap_err()),
            "series-first"
        );
    }

    #[test]
    fn the_preview_counts_both_ends() {
        let book = with_product();
        let preview = series_preview(&typed(&book, &[("series-groups", "2 4 3")]), book.state());
        assert_eq!(preview.unwrap(), "ZZ 0000 001 to ZZ 0050 000, 50 000 notes");
        let wrong = typed(&book, &[("series-last", "0")]);
        assert_eq!(series_preview(&wrong, book.state()), None);
    }

    #[test]
    fn sheets_are_set_aside_by_their_run() {
        let mut book = with_product();
        fn sheets(change: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
            let mut all = vec![
                ("series-stock", "sheets"),
                ("series-last", ""),
                ("series-sheets", "100"),
            ];
            all.extend(change);
            all
        }
        let right = typed(&book, &sheets(&[]));
        let state = book.state();
        let notes = state.products.values().next().unwrap().layout.notes();
        let last = u64::from(notes) * 100;
        assert_eq!(
            series_preview(&right, state).unwrap(),
            format!("ZZ0000001 to ZZ{last:07}, 100 sheets of {notes} notes")
        );
        for (change, field, says) in [
            (("series-sheets", "0"), "series-sheets", "Sheets"),
            (("series-stride", "9"), "series-stride", "smaller than"),
            (("series-first", "9999999"), "series-first", "would reach"),
            (("series-direction", "down"), "series-first", "below 0"),
        ] {
            let errors = series(&typed(&book, &sheets(&[change])), state).unwrap_err();
            let message = errors.of(field).unwrap_or_else(|| panic!("{errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
        let entry = series(&right, state).unwrap();
        take(&mut book, entry).unwrap();
        let id: SeriesId = "R20-A".parse().unwrap();
        assert_eq!(book.state().pool(id).unwrap().left(), last);
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        let book = with_product();
        for (change, field, says) in [
            (("series-id", ""), "series-id", "is empty"),
            (("series-product", ""), "series-product", "not chosen"),
            (
                ("series-product", "M50"),
                "series-product",
                "M50 is not known",
            ),
            (("series-prefix", "Z_"), "series-prefix", "contains \"_\""),
            (("series-first", ""), "series-first", "not a whole number"),
            (("series-first", "50001"), "series-last", "ends before it"),
            (
                ("series-last", "10000000"),
                "series-last",
                "would reach number",
            ),
        ] {
            let errors = series(&typed(&book, &[change]), book.state()).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }
}
