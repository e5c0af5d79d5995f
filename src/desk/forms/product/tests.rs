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
fn boxes_fill_by_position_unless_chosen_otherwise() {
    let filling = |typed: Typed| match product(&typed).unwrap() {
        Entry::ProductDefined(defined) => defined.finishing.filling(),
        other => panic!("{other:?}"),
    };
    assert_eq!(filling(typed(&[])), Filling::Position);
    let by_stack = typed(&[("product-filling", "stack")]);
    assert_eq!(filling(by_stack), Filling::Stack);
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
        (("product-filling", "heap"), "product-filling", "Choose"),
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
