use super::super::product::{product, product_start};
use super::super::sample::{book, take};
use super::*;
use crate::book::Book;

fn with_product() -> Book {
    let mut typed = product_start();
    typed.set("product-id", "M20".to_owned());
    typed.set("product-title", "20 merin".to_owned());
    let mut book = book();
    take(&mut book, product(&typed).unwrap()).unwrap();
    book
}

fn typed(book: &Book, change: &[(&'static str, &str)]) -> Typed {
    let mut typed = lot_start(book.state());
    typed.set("lot-id", "BW-0412".to_owned());
    typed.set("lot-sheets", "10 000".to_owned());
    typed.set("lot-prefix", "KA".to_owned());
    typed.set("lot-groups", "2 4 3".to_owned());
    typed.set(OF_NEW_LOT.runs[0].first, "1".to_owned());
    for (field, text) in change {
        typed.set(field, (*text).to_owned());
    }
    typed
}

#[test]
fn a_lot_is_opened_and_taken_only_once() {
    let mut book = with_product();
    let entry = lot(&typed(&book, &[]), book.state()).unwrap();
    take(&mut book, entry.clone()).unwrap();
    assert_eq!(book.state().lots.len(), 1);
    assert_eq!(lot_field(&take(&mut book, entry).unwrap_err()), "lot-id");
    let same_serials = lot(&typed(&book, &[("lot-id", "BW-0413")]), book.state()).unwrap();
    let why = take(&mut book, same_serials).unwrap_err();
    assert_eq!(lot_field(&why), OF_NEW_LOT.runs[0].first);
}

#[test]
fn the_only_product_is_chosen_beforehand() {
    assert_eq!(lot_start(with_product().state()).get("lot-product"), "M20");
    assert_eq!(lot_start(book().state()).get("lot-product"), "");
}

/// Worked by hand: down the stack, position rank p of sheet k has 1 + p · 10 000 + k.
#[test]
fn the_plan_shows_the_serials_at_the_ends_and_of_a_bundle() {
    let book = with_product();
    let plan = lot_plan(&typed(&book, &[]), book.state()).unwrap();
    let shown: Vec<_> = plan
        .corners()
        .into_iter()
        .map(|corner| (corner.sheet.number(), corner.position, corner.serial))
        .collect();
    let row = |sheet, position: &str, serial: &str| (sheet, position.to_owned(), serial.to_owned());
    assert_eq!(
        shown,
        [
            row(1, "A1", "KA 0000 001"),
            row(1, "H5", "KA 0390 001"),
            row(10_000, "A1", "KA 0010 000"),
            row(10_000, "H5", "KA 0400 000"),
        ]
    );
    let bundle = plan.first_bundle().unwrap();
    assert_eq!(
        (
            bundle.position.as_str(),
            bundle.sheets.0.number(),
            bundle.sheets.1.number()
        ),
        ("A1", 1, 100)
    );
    assert_eq!(
        bundle.serials,
        ("KA 0000 001".to_owned(), "KA 0000 100".to_owned())
    );
    assert_eq!((plan.cut.bundle_count(), plan.cut.box_count()), (4000, 40));
}

#[test]
fn a_lot_before_numbering_needs_no_serials() {
    let book = with_product();
    let mut plain = typed(&book, &[("lot-width", ""), ("lot-check", "")]);
    plain.tick("lot-numbered", false);
    let plan = lot_plan(&plain, book.state()).unwrap();
    assert!(plan.numbering.is_none() && plan.corners().is_empty() && plan.first_bundle().is_none());
}

#[test]
fn several_runs_follow_each_other() {
    let book = with_product();
    let two = [
        ("lot-runs", "2"),
        (OF_NEW_LOT.runs[0].sheets, "4000"),
        (OF_NEW_LOT.runs[1].sheets, "6000"),
        (OF_NEW_LOT.runs[1].first, "500000"),
        (OF_NEW_LOT.runs[1].arrangement, "across"),
        (OF_NEW_LOT.runs[1].direction, "down"),
    ];
    let plan = lot_plan(&typed(&book, &two), book.state()).unwrap();
    let numbering = plan.numbering.unwrap();
    let number = |sheet, rank| numbering.number(SheetNo::new(sheet).unwrap(), rank);
    assert_eq!(
        (number(4000, 0), number(4001, 0), number(4001, 1)),
        (Some(4000), Some(500_000), Some(499_999))
    );
    let mut short = two;
    short[2] = (OF_NEW_LOT.runs[1].sheets, "5000");
    let errors = lot_plan(&typed(&book, &short), book.state()).unwrap_err();
    assert!(
        errors
            .of(OF_NEW_LOT.runs[0].sheets)
            .unwrap()
            .contains("number 9 000 sheets, but the lot has 10 000")
    );
    let mut clash = two;
    clash[3] = (OF_NEW_LOT.runs[1].first, "300000");
    let errors = lot_plan(&typed(&book, &clash), book.state()).unwrap_err();
    assert!(errors.of(OF_NEW_LOT.runs[1].first).is_some(), "{errors:?}");
}

#[test]
fn each_wrong_value_is_named_at_its_field() {
    let book = with_product();
    for (change, field, says) in [
        (("lot-id", ""), "lot-id", "is empty"),
        (("lot-product", ""), "lot-product", "not chosen"),
        (("lot-product", "M50"), "lot-product", "M50 is not known"),
        (("lot-sheets", "0"), "lot-sheets", "Give 1 to"),
        (("lot-sheets", "many"), "lot-sheets", "not a whole number"),
        (("lot-prefix", "k-"), "lot-prefix", "contains \"-\""),
        (("lot-groups", "2 4"), "lot-groups", "add up"),
        (
            (OF_NEW_LOT.runs[0].first, ""),
            OF_NEW_LOT.runs[0].first,
            "not a whole number",
        ),
        (
            (OF_NEW_LOT.runs[0].first, "9700000"),
            OF_NEW_LOT.runs[0].first,
            "would reach number",
        ),
        (
            (OF_NEW_LOT.runs[0].stride, "9999"),
            OF_NEW_LOT.runs[0].stride,
            "smaller than",
        ),
        (
            (OF_NEW_LOT.runs[0].stride, "0"),
            OF_NEW_LOT.runs[0].stride,
            "Give 1 to",
        ),
        (
            (OF_NEW_LOT.runs[0].direction, "down"),
            OF_NEW_LOT.runs[0].first,
            "fall below 0",
        ),
    ] {
        let errors = lot(&typed(&book, &[change]), book.state()).unwrap_err();
        let message = errors
            .of(field)
            .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
        assert!(message.contains(says), "{change:?}: {message}");
    }
}

#[test]
fn everything_wrong_is_told_at_once() {
    let book = with_product();
    let change = [
        ("lot-id", "-"),
        ("lot-sheets", ""),
        ("lot-width", "99"),
        (OF_NEW_LOT.runs[0].first, "x"),
    ];
    let errors = lot(&typed(&book, &change), book.state()).unwrap_err();
    let fields: Vec<_> = errors.iter().map(|(field, _)| field).collect();
    assert_eq!(
        fields,
        [
            "lot-id",
            "lot-sheets",
            "lot-width",
            OF_NEW_LOT.runs[0].first
        ]
    );
}
