use super::super::sample::{book, take};
use super::*;
use crate::desk::forms::product::{product, product_start};

fn typed(other: &[(&'static str, &str)]) -> Typed {
    let mut typed = Typed::with([
        ("scale-id", "W-2"),
        ("scale-resolution", "0.5"),
        ("scale-repeatability", "0,4"),
        ("scale-error", ""),
        ("scale-calibrated", "2026-01-15"),
        ("scale-interval", "365"),
    ]);
    for (field, text) in other {
        typed.set(field, (*text).to_owned());
    }
    typed
}

#[test]
fn a_scale_is_read_in_grams() {
    let mut book = book();
    let entry = scale(&typed(&[("scale-error", "1")]), book.state()).unwrap();
    take(&mut book, entry).unwrap();
    let known = book.state().scales.values().next().unwrap();
    assert_eq!(known.resolution.milligrams(), 500);
    assert_eq!(known.repeatability.milligrams(), 400);
    assert_eq!(known.error.map(Mass::milligrams), Some(1_000));
}

#[test]
fn each_wrong_figure_of_a_scale_is_at_its_field() {
    let mut book = book();
    for (field, text, part) in [
        ("scale-id", "", "is empty"),
        ("scale-resolution", "fine", "is not a mass"),
        ("scale-repeatability", "", "is not a mass"),
        ("scale-error", "1e3", "is not a mass"),
        ("scale-calibrated", "yesterday", "is not a day"),
        ("scale-interval", "0", "Give 1 to 3650"),
    ] {
        let errors = scale(&typed(&[(field, text)]), book.state()).unwrap_err();
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field}: {errors:?}"
        );
    }
    for (field, text) in [
        ("scale-resolution", "0"),
        ("scale-resolution", "10000.1"),
        ("scale-repeatability", "10000.1"),
        ("scale-error", "10000.1"),
        ("scale-calibrated", "2026-11-26"),
    ] {
        let entry = scale(&typed(&[(field, text)]), book.state()).unwrap();
        let why = take(&mut book, entry).unwrap_err();
        assert_eq!(scale_field(&why), field, "{why}");
    }
}

fn paper_typed(other: &[(&'static str, &str)]) -> Typed {
    let mut typed = Typed::with([
        ("paper-product", "M20"),
        ("paper-bias", "1.5"),
        ("paper-spread", "1,2"),
        ("paper-ink", "3"),
        ("paper-ink-bias", "1.5"),
    ]);
    for (field, text) in other {
        typed.set(field, (*text).to_owned());
    }
    typed
}

#[test]
fn paper_is_read_in_grams_a_square_metre() {
    let mut book = book();
    let unknown = paper(&paper_typed(&[]), book.state()).unwrap_err();
    assert!(
        unknown
            .of("paper-product")
            .is_some_and(|why| why.contains("M20 is not known"))
    );
    let mut start = product_start();
    start.set("product-id", "M20".to_owned());
    start.set("product-title", "20 merin".to_owned());
    take(&mut book, product(&start).unwrap()).unwrap();
    let entry = paper(&paper_typed(&[]), book.state()).unwrap();
    take(&mut book, entry).unwrap();
    let known = book.state().papers.values().next().unwrap();
    assert_eq!(
        (known.bias, known.spread, known.ink, known.ink_bias),
        (1_500, 1_200, 3_000, 1_500)
    );
    for (field, text, part) in [
        ("paper-product", "", "Choose the product"),
        ("paper-bias", "", "is not a number"),
        ("paper-spread", "300.001", "up to 300"),
        ("paper-ink", "-1", "is not a number"),
        ("paper-ink-bias", "1.2345", "at most 3 decimals"),
    ] {
        let errors = paper(&paper_typed(&[(field, text)]), book.state()).unwrap_err();
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field}: {errors:?}"
        );
    }
    let entry = paper(&paper_typed(&[("paper-ink-bias", "3.1")]), book.state()).unwrap();
    let why = take(&mut book, entry).unwrap_err();
    assert_eq!(paper_field(&why), "paper-ink-bias");
}
