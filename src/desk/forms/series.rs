//! The form that sets a replacement series aside.

use crate::book::{Entry, Refusal, State};
use crate::sheet::{ProductId, Series, SeriesError, SeriesSpec, grouped};

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

const LARGEST: u64 = 999_999_999_999;

/// What the form starts with; the product is chosen when there is one only.
pub fn series_start(state: &State) -> Typed {
    let mut typed = Typed::with([
        ("series-width", "7"),
        ("series-check", "none"),
        ("series-check-place", "end"),
        ("series-check-over", "whole"),
        ("series-first", "1"),
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
    let first = form.number("series-first", "First number", 0..=LARGEST);
    let last = form.number("series-last", "Last number", 0..=LARGEST);
    let series = (|| {
        let spec = SeriesSpec {
            id: id?,
            product: product?,
            format: format?,
            first: first?,
            last: last?,
        };
        match Series::new(spec) {
            Ok(series) => Some(Entry::SeriesAdded(series.spec().clone())),
            Err(why) => form.wrong(series_error_field(&why), why),
        }
    })();
    form.finish(series)
}

/// What would be set aside, in words; nothing while the fields are not right.
pub fn series_preview(typed: &Typed) -> Option<String> {
    let mut form = Reader::new(typed);
    let format = format(&mut form, &SERIES_FORMAT);
    let first = form.number("series-first", "First number", 0..=LARGEST)?;
    let last = form.number("series-last", "Last number", 0..=LARGEST)?;
    let format = format?;
    let (from, to) = (format.display(first).ok()?, format.display(last).ok()?);
    let notes = last.checked_sub(first)? + 1;
    Some(format!("{from} to {to}, {} notes", grouped(notes)))
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

fn read_product(form: &mut Reader, state: &State) -> Option<ProductId> {
    if form.text("series-product").is_empty() {
        let message = "\"Product\" is not chosen. Choose one, or define it first under Products.";
        return form.wrong("series-product", message);
    }
    let id = form.read("series-product")?;
    match state.product(id) {
        Ok(product) => Some(product.id),
        Err(why) => form.wrong("series-product", why),
    }
}

fn series_error_field(why: &SeriesError) -> &'static str {
    match why {
        SeriesError::Backwards { .. } | SeriesError::Overflow { .. } => "series-last",
    }
}

/// A series of a pool list, in words: from, to.
pub fn series_ends(series: &Series) -> (String, String) {
    let shown = |number| {
        let format = series.format();
        // `Series::new` checked the last number; the first is below it.
        format.display(number).unwrap_or_default()
    };
    (shown(series.spec().first), shown(series.spec().last))
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
        let preview = series_preview(&typed(&book, &[("series-groups", "2 4 3")]));
        assert_eq!(preview.unwrap(), "ZZ 0000 001 to ZZ 0050 000, 50 000 notes");
        assert_eq!(series_preview(&typed(&book, &[("series-last", "0")])), None);
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
