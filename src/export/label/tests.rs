use super::*;
use crate::book::{Entry, ReplacementsDrawn, ReplacementsInserted, SheetsExamined};
use crate::export::sample::{Works, id, lot};
use crate::export::{Code128, QrLevel, qr_drawing};
use crate::sheet::{SeriesSpec, SeriesStock};

/// Examines all sheets that are open as good.
fn the_rest_is_good(works: &mut Works) {
    let open = works.state().lots[&lot()].open_ranges();
    let entries = open.into_iter().map(|range| {
        Entry::SheetsExamined(SheetsExamined {
            lot: lot(),
            from: range.first(),
            to: range.last(),
            tags: Vec::new(),
            machine_kept: false,
            corrects: None,
            reason: None,
        })
    });
    works.write("ida", entries.collect());
}

fn draw(works: &mut Works, pairs: &[(&str, &str)]) {
    let entry = Entry::ReplacementsDrawn(ReplacementsDrawn {
        lot: lot(),
        series: id("R1"),
        pairs: pairs.iter().map(|(old, new)| (id(old), id(new))).collect(),
    });
    works.write("sue", vec![entry]);
}

fn insert(works: &mut Works, serials: &[&str]) {
    let entry = Entry::ReplacementsInserted(ReplacementsInserted {
        series: id("R1"),
        notes: serials.iter().map(|text| id(text)).collect(),
    });
    works.write("sue", vec![entry]);
}

fn only_box(works: &Works) -> BoxState {
    box_label(works.state(), lot(), BoxNo::new(1).unwrap()).unwrap()
}

fn complete(works: &Works) -> BoxLabel {
    match only_box(works) {
        BoxState::Complete(label) => label,
        BoxState::Open(missing) => panic!("{missing:?}"),
    }
}

/// 250 sheets of 4 notes in 12 bundles: one box, and not a full one.
#[test]
fn a_box_says_what_is_missing_until_it_is_complete() {
    let mut works = Works::new();
    let missing = |works: &Works| match only_box(works) {
        BoxState::Open(missing) => missing,
        BoxState::Complete(label) => panic!("{label:?}"),
    };
    works.examine("ida", 7, &["A2"], false);
    let open = missing(&works);
    assert_eq!(
        (open.not_examined, open.not_drawn, open.not_inserted),
        (996, 1, 0)
    );
    the_rest_is_good(&mut works);
    assert_eq!(
        missing(&works).sentence(),
        "1 note is spoiled and without a replacement."
    );
    draw(&mut works, &[("KA001256", "ZZ000001")]);
    let open = missing(&works);
    assert_eq!(
        (open.not_examined, open.not_drawn, open.not_inserted),
        (0, 0, 1)
    );
    insert(&mut works, &["ZZ000001"]);
    assert_eq!(complete(&works).replacements(), 1);
}

#[test]
fn a_last_short_box_has_its_range_count_exceptions_and_codes() {
    let mut works = Works::new();
    works.examine("ida", 7, &["A2"], false);
    works.examine("ida", 8, &["A2"], false);
    works.examine("ida", 250, &["B2"], false);
    the_rest_is_good(&mut works);
    let pairs = [
        ("KA001256", "ZZ000001"),
        ("KA001257", "ZZ000002"),
        ("KA001999", "ZZ000003"),
    ];
    draw(&mut works, &pairs);
    insert(&mut works, &pairs.map(|(_, new)| new));
    let label = complete(&works);
    let ends: Vec<_> = label.ranges.iter().map(LabelRange::ends).collect();
    assert_eq!(ends, [["KA001000", "KA001999"]]);
    assert_eq!(
        (label.notes, label.boxes, label.replacements()),
        (1_000, 1, 3)
    );
    let exceptions: Vec<_> = label.exceptions.iter().map(Exception::ends).collect();
    assert_eq!(
        exceptions,
        [
            ["KA001256", "KA001257", "ZZ000001", "ZZ000002"],
            ["KA001999", "KA001999", "ZZ000003", "ZZ000003"],
        ]
    );
    assert_eq!(label.bar_text(), "KA001000/1");
    assert!(Code128::encode(&label.bar_text()).is_ok());
    let read: serde_json::Value = serde_json::from_str(&label.qr_text()).unwrap();
    assert_eq!(
        read["ranges"],
        serde_json::json!([["KA001000", "KA001999"]])
    );
    assert_eq!(read["replacements"].as_array().unwrap().len(), 2);
    assert_eq!(
        (read["box"].as_u64(), read["notes"].as_u64()),
        (Some(1), Some(1_000))
    );
    assert_eq!(complete(&works), label, "same book, same label");
}

#[test]
fn a_long_list_leaves_the_label_and_the_code_whole() {
    let mut works = Works::new();
    works.examine("ida", 7, &["A2"], false);
    the_rest_is_good(&mut works);
    draw(&mut works, &[("KA001256", "ZZ000001")]);
    insert(&mut works, &["ZZ000001"]);
    let mut label = complete(&works);
    assert!(label.lists().is_empty() && label.on_label().len() == 1);
    let one = label.exceptions[0].clone();
    label.exceptions = vec![one; ON_LIST_PAGE + 1];
    assert!(label.on_label().is_empty());
    let pages: Vec<_> = label.lists().iter().map(|page| page.len()).collect();
    assert_eq!(pages, [ON_LIST_PAGE, 1]);
    let text = label.qr_text();
    assert!(
        text.len() <= QR_BYTES && text.contains(r#""replacements":91,"#),
        "{text}"
    );
    assert!(qr_drawing(&text, QrLevel::Medium).is_ok());
    let range = label.ranges[0].clone();
    label.ranges = vec![range; 200];
    let text = label.qr_text();
    assert!(
        text.len() <= QR_BYTES && text.contains(r#""ranges":200,"#),
        "{text}"
    );
}

/// 100 sheets wholly spoiled: bundle after bundle, no printed note is left in the first stack, but
/// R1 has only 20 notes, so a lot of that size cannot be completed: the box stays open and says so.
#[test]
fn a_spoiled_stack_without_replacements_keeps_the_box_open() {
    let mut works = Works::new();
    for sheet in 1..=100 {
        works.examine("ida", sheet, &[], true);
    }
    the_rest_is_good(&mut works);
    let missing = Missing {
        not_drawn: 400,
        ..Missing::default()
    };
    assert_eq!(only_box(&works), BoxState::Open(missing));
}

/// Sheets 201 to 250, the third stack, are spoiled: its four bundles hold replacement notes alone.
#[test]
fn a_wholly_spoiled_stack_gives_no_range_and_names_what_stands_for_it() {
    let mut works = Works::new();
    let series = SeriesSpec {
        id: id("R3"),
        product: id("M20"),
        format: works.state().pools[&id("R1")].series.format().clone(),
        stock: SeriesStock::Notes {
            first: 201,
            last: 400,
        },
    };
    works.write("sue", vec![Entry::SeriesAdded(series)]);
    for sheet in 201..=250 {
        works.examine("ida", sheet, &[], true);
    }
    the_rest_is_good(&mut works);
    let lost = [1_200, 1_450, 1_700, 1_950]
        .into_iter()
        .flat_map(|top| top..top + 50);
    let pairs = (201..).zip(lost);
    let pairs = pairs.map(|(new, old)| (id(&format!("KA{old:06}")), id(&format!("ZZ{new:06}"))));
    let entry = ReplacementsDrawn {
        lot: lot(),
        series: id("R3"),
        pairs: pairs.collect(),
    };
    let inserted = ReplacementsInserted {
        series: id("R3"),
        notes: entry.pairs.iter().map(|(_, new)| *new).collect(),
    };
    works.write("sue", vec![Entry::ReplacementsDrawn(entry)]);
    works.write("sue", vec![Entry::ReplacementsInserted(inserted)]);
    let label = complete(&works);
    let ends: Vec<_> = label.ranges.iter().map(LabelRange::ends).collect();
    assert_eq!(
        ends,
        [
            ["KA001000", "KA001199"],
            ["KA001250", "KA001449"],
            ["KA001500", "KA001699"],
            ["KA001750", "KA001949"],
        ]
    );
    let exceptions: Vec<_> = label.exceptions.iter().map(Exception::ends).collect();
    assert_eq!(exceptions.len(), 4);
    assert_eq!(
        exceptions[0],
        ["KA001200", "KA001249", "ZZ000201", "ZZ000250"]
    );
    assert_eq!(
        exceptions[3],
        ["KA001950", "KA001999", "ZZ000351", "ZZ000400"]
    );
    assert_eq!((label.notes, label.replacements()), (1_000, 200));
}

#[test]
fn there_is_no_label_past_the_last_box() {
    let works = Works::new();
    assert_eq!(
        box_label(works.state(), lot(), BoxNo::new(2).unwrap()),
        None
    );
    assert_eq!(box_labels(works.state(), lot()).len(), 1);
}
