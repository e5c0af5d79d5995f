use super::super::lot::{lot, lot_start};
use super::super::product::{product, product_start};
use super::super::sample::{book, take};
use super::*;
use crate::book::{Book, SheetsExamined};
use crate::inspect::{Source, WrittenTag};
use crate::sheet::{Side, sample::sheet};

/// Lot BW-9 of 5 sheets of 40 notes: sheet 2 is spoiled, sheet 4 mixed, sheet 5 as `last` says.
fn examined(last: bool) -> Book {
    let mut typed = product_start();
    typed.set("product-id", "M20".to_owned());
    typed.set("product-title", "20 merin".to_owned());
    let mut book = book();
    take(&mut book, product(&typed).unwrap()).unwrap();
    let mut typed = lot_start(book.state());
    typed.set("lot-id", "BW-9".to_owned());
    typed.set("lot-sheets", "5".to_owned());
    typed.tick("lot-numbered", false);
    let entry = lot(&typed, book.state()).unwrap();
    take(&mut book, entry).unwrap();
    let mut look = |number, tag: Option<(Option<&str>, &str)>| {
        let tags = tag.map(|(at, class)| WrittenTag {
            at: at.map(str::to_owned),
            side: Side::Front,
            class: class.parse().unwrap(),
            source: Source::Eye,
            remark: None,
        });
        let entry = Entry::SheetsExamined(SheetsExamined {
            lot: "BW-9".parse().unwrap(),
            from: sheet(number),
            to: sheet(number),
            tags: tags.into_iter().collect(),
            machine_kept: false,
            corrects: None,
            reason: None,
        });
        take(&mut book, entry).unwrap();
    };
    look(1, None);
    look(2, Some((None, "PT")));
    look(3, None);
    look(4, Some((Some("A1"), "PH")));
    if last {
        look(5, None);
    }
    book
}

fn typed(book: &Book, change: &[(&'static str, &str)]) -> Typed {
    let mut typed = number_lot_start(book.state());
    typed.set("number-prefix", "KA".to_owned());
    typed.set("number-groups", "2 4 3".to_owned());
    typed.set(OF_NUMBERING.runs[0].first, "1".to_owned());
    for (field, text) in change {
        typed.set(field, (*text).to_owned());
    }
    typed
}

/// Worked by hand: sheets 1, 3, 4, 5 stand at places 0 to 3; position rank p at place k has
/// 1 + p · 4 + k.
#[test]
fn the_survivors_take_the_serials() {
    let mut book = examined(true);
    assert_eq!(number_lot_start(book.state()).get("number-lot"), "BW-9");
    let plan = number_lot_plan(&typed(&book, &[]), book.state()).unwrap();
    let corners = plan.corners();
    let ends: Vec<_> = corners
        .iter()
        .map(|corner| (corner.sheet.number(), corner.serial.as_str()))
        .collect();
    assert_eq!(
        ends,
        [
            (1, "KA 0000 001"),
            (1, "KA 0000 157"),
            (5, "KA 0000 004"),
            (5, "KA 0000 160")
        ]
    );
    let bundle = plan.first_bundle().unwrap();
    assert_eq!(bundle.sheets, (sheet(1), sheet(5)));
    let entry = number_lot(&typed(&book, &[]), book.state()).unwrap();
    take(&mut book, entry.clone()).unwrap();
    let why = take(&mut book, entry).unwrap_err();
    assert_eq!(number_lot_field(&why), "number-lot");
    assert_eq!(lots_to_number(book.state()).count(), 0);
    let again = number_lot(&typed(&book, &[("number-lot", "BW-9")]), book.state()).unwrap_err();
    assert!(again.of("number-lot").unwrap().contains("numbered already"));
}

#[test]
fn each_wrong_value_is_named_at_its_field() {
    let book = examined(true);
    for (change, field, says) in [
        (("number-lot", ""), "number-lot", "not chosen"),
        (("number-lot", "BW-8"), "number-lot", "BW-8 is not known"),
        (("number-prefix", "k-"), "number-prefix", "contains \"-\""),
        (("number-width", ""), "number-width", "whole number"),
        (("number-groups", "2"), "number-groups", "add up"),
        (
            (OF_NUMBERING.runs[0].first, ""),
            OF_NUMBERING.runs[0].first,
            "whole number",
        ),
        (
            (OF_NUMBERING.runs[0].stride, "3"),
            OF_NUMBERING.runs[0].stride,
            "stride of 4",
        ),
    ] {
        let errors = number_lot(&typed(&book, &[change]), book.state()).unwrap_err();
        let said = errors
            .of(field)
            .unwrap_or_else(|| panic!("{field}: {errors:?}"));
        assert!(said.contains(says), "{field}: {said}");
    }
    let both = [("number-lot", ""), ("number-prefix", "k-")];
    let errors = number_lot(&typed(&book, &both), book.state()).unwrap_err();
    assert!(errors.of("number-lot").is_some() && errors.of("number-prefix").is_some());
}

#[test]
fn a_lot_not_examined_whole_waits() {
    let book = examined(false);
    let errors = number_lot(&typed(&book, &[]), book.state()).unwrap_err();
    let said = errors.of("number-lot").unwrap();
    assert!(said.contains("still has sheets to examine (1)"), "{said}");
}

#[test]
fn runs_share_the_survivors() {
    let book = examined(true);
    let [one, two, ..] = OF_NUMBERING.runs;
    let runs = [
        ("number-runs", "2"),
        (one.sheets, "3"),
        (two.sheets, "1"),
        (two.first, "9000"),
    ];
    let plan = number_lot_plan(&typed(&book, &runs), book.state()).unwrap();
    let last = plan.numbering.unwrap().number(sheet(4), 0);
    assert_eq!(last, Some(9000));
    let mut many = runs;
    many[2] = (two.sheets, "2");
    let errors = number_lot_plan(&typed(&book, &many), book.state()).unwrap_err();
    let said = errors.of(one.sheets).unwrap();
    assert!(said.contains("5 sheets, but the lot has 4"), "{said}");
}
