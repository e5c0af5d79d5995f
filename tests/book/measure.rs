//! Measured samples and their targets: what the book takes and refuses, and what it makes of them.

use cullbook::book::*;
use cullbook::inspect::{MeasureError, Quantity, Reading, Tolerance};
use cullbook::people::Duty;
use cullbook::sheet::Finishing;

use super::works::*;

fn taken(data: MeasureTaken) -> Entry {
    Entry::MeasureTaken(data)
}

fn refused(works: &mut Works, data: MeasureTaken) -> MeasureError {
    match works.refused("ida", taken(data)) {
        Refusal::Measure(why) => why,
        other => panic!("{other}"),
    }
}

#[test]
fn a_target_is_a_supervisors_and_its_limits_make_sense() {
    let mut works = Works::with_lot();
    let why = works.refused("ida", width_target("M20"));
    let (person, duty) = (id("ida"), Duty::RunTheOffice);
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let why = works.refused("sue", width_target("M99"));
    assert_eq!(why, Refusal::UnknownProduct(id("M99")));
    let Entry::MeasureTarget(good) = width_target("M20") else {
        unreachable!("it is a target")
    };
    let target = good.tolerance.target.0;
    let with = |lower: Option<i32>, upper: Option<i32>| {
        let [lower, upper] = [lower, upper].map(|off| off.map(|off| Reading(target + off)));
        let tolerance = Tolerance {
            lower,
            upper,
            ..good.tolerance
        };
        Entry::MeasureTarget(MeasureTarget {
            tolerance,
            ..good.clone()
        })
    };
    for (entry, why) in [
        (with(None, None), MeasureError::NoLimit),
        (with(Some(1), Some(5)), MeasureError::LowerAboveTarget),
        (with(Some(-5), Some(-1)), MeasureError::UpperBelowTarget),
        (with(Some(0), Some(0)), MeasureError::NoRoom),
    ] {
        assert_eq!(works.refused("sue", entry), Refusal::Measure(why));
    }
    let far = works.refused("sue", with(Some(-5), Some(target)));
    let says = far.to_string();
    assert!(
        says.starts_with("\"Upper limit\" is ") && says.contains("note width"),
        "{says}"
    );
    works.must("sue", with(None, Some(40)));
    works.must("sue", width_target("M20"));
    let known = &works.state().tolerances;
    assert_eq!(known.len(), 1, "set again, it replaces");
    assert_eq!(known[&(id("M20"), Quantity::NoteWidth)], good.tolerance);
}

#[test]
fn a_sample_out_of_the_plausible_is_refused_naming_the_reading_and_the_range() {
    let mut works = Works::with_lot();
    let why = works.refused("cal", taken(widths("M20", &[0])));
    let (person, duty) = (id("cal"), Duty::Measure);
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    assert_eq!(
        refused(&mut works, widths("M20", &[])),
        MeasureError::Count(0)
    );
    assert_eq!(
        refused(&mut works, widths("M20", &[0; 501])),
        MeasureError::Count(501)
    );
    let width = layout(1, 1).note_width.micrometres() as i32;
    let tenth = width / 10;
    works.must("ida", taken(widths("M20", &[tenth, -tenth])));
    let why = refused(&mut works, widths("M20", &[0, 3, tenth + 1]));
    let (low, high) = (Reading(width - tenth), Reading(width + tenth));
    let quantity = Quantity::NoteWidth;
    assert_eq!(
        why,
        MeasureError::Implausible {
            field: "Reading",
            number: Some(3),
            quantity,
            given: Reading(width + tenth + 1),
            low,
            high
        }
    );
    let says = why.to_string();
    assert!(says.contains("\"Reading 3\""), "{says}");
    assert!(says.contains(&format!("Give {low} to {high}.")), "{says}");
    for (quantity, wrong) in [
        (Quantity::RegisterAcross, 5_001),
        (Quantity::RegisterAlong, -5_001),
        (Quantity::ColourCie1976, -1),
        (Quantity::ColourCiede2000, 50_001),
        (Quantity::Thickness, 39_999),
    ] {
        let sample = MeasureTaken {
            quantity,
            readings: vec![Reading(wrong)],
            ..widths("M20", &[])
        };
        let why = refused(&mut works, sample);
        assert!(
            matches!(
                why,
                MeasureError::Implausible {
                    number: Some(1),
                    ..
                }
            ),
            "{why}"
        );
    }
}

#[test]
fn the_lot_of_a_sample_is_known_and_of_its_product_unless_printed_elsewhere() {
    let mut works = Works::with_lot();
    let of = |lot: &str| MeasureTaken {
        lot: Some(id(lot)),
        ..widths("M20", &[1, 2])
    };
    let why = works.refused("ida", taken(of("L8")));
    assert_eq!(why, Refusal::UnknownLot(id("L8")));
    let elsewhere = MeasureTaken {
        site: Some(id("Hallowmere")),
        ..of("L8")
    };
    works.must("ida", taken(elsewhere));
    let small = ProductDefined {
        product: id("M5"),
        title: "5 merin".to_owned(),
        layout: layout(2, 2),
        finishing: Default::default(),
    };
    works.must("sue", Entry::ProductDefined(small));
    let mixed = MeasureTaken {
        product: id("M5"),
        ..of("L1")
    };
    assert_eq!(refused(&mut works, mixed), MeasureError::OtherProduct);
    works.must("ida", taken(of("L1")));
    assert_eq!(works.state().samples.len(), 2);
}

#[test]
fn a_correction_names_the_sample_and_its_reason_and_takes_its_place() {
    let mut works = Works::with_lot();
    works.must("ida", taken(widths("M20", &[1, 2, 3])));
    let first = works.book.len() - 1;
    let with = |corrects: Option<u64>, reason: Option<&str>| MeasureTaken {
        corrects,
        reason: reason.map(str::to_owned),
        ..widths("M20", &[1, 2, 4])
    };
    assert_eq!(
        refused(&mut works, with(Some(first), None)),
        MeasureError::ReasonAlone
    );
    assert_eq!(
        refused(&mut works, with(None, Some("typed wrong"))),
        MeasureError::ReasonAlone
    );
    let other = refused(&mut works, with(Some(first - 1), Some("typed wrong")));
    assert_eq!(other, MeasureError::NoSuchSample(first - 1));
    let why = works.refused("ida", taken(with(Some(first), Some("  "))));
    assert_eq!(why, Refusal::Empty { field: "Reason" });
    works.must("ivo", taken(with(Some(first), Some("typed wrong"))));
    let kept: Vec<u64> = works.state().samples.keys().copied().collect();
    assert_eq!(kept, [first + 1]);
    let again = refused(&mut works, with(Some(first), Some("typed wrong")));
    assert_eq!(again, MeasureError::NoSuchSample(first));
    let line = Line::read(works.book.text(first + 1).unwrap()).unwrap();
    let says = says(&line, &works.book);
    let in_place = format!("; in place of entry {first} (before: ");
    let (now, before) = says.split_once(&in_place).expect("what stood before");
    assert!(now.contains("3 readings, mean"), "{now}");
    assert!(before.contains(" readings, mean "), "{before}");
    assert_eq!(works.book.corrections_of(first), [first + 1]);
}

/// Targets go along; samples stay in the archive, and cannot be corrected from behind it.
#[test]
fn targets_are_carried_over_a_cut_and_samples_are_not() {
    let mut works = Works::destroyed();
    works.must("sue", width_target("M20"));
    works.must("ida", taken(widths("M20", &[1, 2, 3])));
    let sample = works.book.len() - 1;
    works.must("sue", lot_closed("L1"));
    works.must("sue", day_closed("2026-11-25"));
    works.set_clock("2026-11-27", 8 * 3600);
    let checkpoint = works.checkpoint("cal");
    works.must("sue", checkpoint);
    assert_eq!(works.state().tolerances.len(), 1);
    assert!(works.state().samples.is_empty());
    let late = MeasureTaken {
        corrects: Some(sample),
        reason: Some("typed wrong".to_owned()),
        ..widths("M20", &[1])
    };
    assert_eq!(
        refused(&mut works, late),
        MeasureError::NoSuchSample(sample)
    );
    // A lot of the archive is still known, with its product.
    let of_archived = MeasureTaken {
        lot: Some(id("L1")),
        ..widths("M20", &[1, 2])
    };
    works.must("ida", taken(of_archived));
}

#[test]
fn a_press_that_prints_wider_is_found_and_like_ones_are_not() {
    let mut works = Works::with_lot();
    works.must("sue", width_target("M20"));
    let usual = [-30, -12, -4, 0, 3, 9, 14, 21, -17, 5, 8, -9];
    let on = |press: &str, by: i32| MeasureTaken {
        press: Some(id(press)),
        ..widths("M20", &usual.map(|off| off + by))
    };
    for (press, by) in [("P1", 0), ("P2", 2), ("P3", -3)] {
        works.must("ida", taken(on(press, by)));
    }
    works.must("ida", taken(widths("M20", &[90])));
    let of = |works: &Works| measured_alike(&[works.state()], By::Press, id("M20"));
    let alike = of(&works);
    assert_eq!(alike.len(), 1);
    let names: Vec<&str> = alike[0]
        .groups
        .iter()
        .map(|group| group.name.as_str())
        .collect();
    assert_eq!(
        names,
        ["P1", "P2", "P3"],
        "a sample without a press is in no group"
    );
    assert!(!alike[0].means.unwrap().differ() && !alike[0].spreads.unwrap().differ());
    let first = &alike[0].groups[0];
    assert_eq!((first.moments.n, first.outside), (12, Some(0)));
    let cpk = first.capability.unwrap().cpk;
    assert!(cpk.value > 1.5 && cpk.interval.low < cpk.value && first.capability.unwrap().few);
    works.must("ida", taken(on("P4", 60)));
    let alike = of(&works);
    assert!(alike[0].means.unwrap().differ() && !alike[0].spreads.unwrap().differ());
    let by_works = measured_alike(&[works.state()], By::Site, id("M20"));
    assert_eq!(by_works[0].groups.len(), 1);
    assert_eq!(
        by_works[0].means, None,
        "one works has nothing to be compared with"
    );
}

/// A hundred stacks a lot: a class on each tenth sheet here, on each third there.
#[test]
fn a_lot_and_a_bench_with_more_of_a_class_are_found() {
    let book = |bench: &str, lot_name: &str, every: u32| {
        let mut works = Works::of_bench(bench, opening());
        works.staff();
        works.must("sue", lot(lot_name, 400, None));
        for from in (1..=400_u32).step_by(every as usize) {
            works.must("ida", examined(lot_name, from, from, &["A1 OM", "A2 OM"]));
            let to = (from + every - 1).min(400);
            if to > from {
                works.must("ida", examined(lot_name, from + 1, to, &[]));
            }
        }
        works
    };
    let (calm, bad, same) = (
        book("B1", "L1", 10),
        book("B2", "L2", 3),
        book("B3", "L3", 10),
    );
    let product = id("M20");
    let alike = classes_alike(&[calm.state(), same.state()], By::Lot, product);
    assert_eq!(
        alike.groups,
        [("L1".to_owned(), 400), ("L3".to_owned(), 400)]
    );
    assert_eq!(alike.classes.len(), 1);
    assert_eq!(alike.classes[0].groups[0].found, 40, "sheets, not tags");
    assert!(alike.differ().is_empty());
    let states = [calm.state(), bad.state(), same.state()];
    for (by, name) in [(By::Lot, "L2"), (By::Bench, "B2")] {
        let alike = classes_alike(&states, by, product);
        let differ = alike.differ();
        let found = differ.iter().find(|one| one.more).expect("the bad one");
        assert_eq!((found.group, found.class), (name, id("OM")));
        assert!((found.rate - 134.0 / 400.0).abs() < 1e-9, "{}", found.rate);
        let turned = classes_alike(&[states[2], states[0], states[1]], by, product);
        assert_eq!(turned, alike, "the order of the books changes nothing");
    }
    let works = classes_alike(&states, By::Site, product);
    assert_eq!(works.groups.len(), 1);
    assert!(works.differ().is_empty());
    assert!(classes_alike(&states, By::Press, product).groups.is_empty());
    assert!(
        classes_alike(&states, By::Lot, id("M99"))
            .classes
            .is_empty()
    );
}

/// The own book is compared with those laid beside it, each named with what it brings.
#[test]
fn books_laid_beside_are_compared_with_the_own_and_each_is_named() {
    let book = |bench: &str, number: u128, every: u32| {
        let opening = BookOpened {
            book: uuid::Uuid::from_u128(number),
            ..opening()
        };
        let mut works = Works::of_bench(bench, opening);
        works.staff();
        works.must("sue", lot(&format!("L{number}"), 400, None));
        for from in (1..=400_u32).step_by(every as usize) {
            works.must(
                "ida",
                examined(&format!("L{number}"), from, from, &["A1 OM"]),
            );
            let to = (from + every - 1).min(400);
            works.must("ida", examined(&format!("L{number}"), from + 1, to, &[]));
        }
        works
    };
    let (own, mut other) = (book("B1", 1, 10), book("B2", 2, 2));
    other.must("ida", taken(widths("M20", &[-30, -12, -4, 0, 3])));
    // A bench that has examined nothing, and means another layout by the same code.
    let mut idle = Works::of_bench(
        "B3",
        BookOpened {
            book: uuid::Uuid::from_u128(3),
            ..opening()
        },
    );
    let otherwise = ProductDefined {
        product: id("M20"),
        title: "20 merin".to_owned(),
        layout: layout(3, 2),
        finishing: Finishing::new(4, 4, 2).unwrap(),
    };
    idle.must("sue", Entry::ProductDefined(otherwise));
    let mut guests = Guests::default();
    for works in [&other, &idle] {
        let guest = Guest::read_file(works.book.to_jsonl().as_bytes()).expect("it holds");
        assert_eq!(guests.take(&own.book, guest), Ok(Taken::New));
    }
    let books = guests.beside(&own.book);
    let shares: Vec<(String, u64, u64, bool)> = brought(&books, id("M20"))
        .into_iter()
        .map(|one| {
            (
                one.book.bench.to_string(),
                one.sheets,
                one.samples,
                one.otherwise,
            )
        })
        .collect();
    assert_eq!(
        shares,
        [
            ("B1".to_owned(), 400, 0, false),
            ("B2".to_owned(), 400, 1, false),
            ("B3".to_owned(), 0, 0, true),
        ]
    );
    let states: Vec<&State> = books.iter().map(|book| book.verifier().state()).collect();
    let alike = classes_alike(&states, By::Bench, id("M20"));
    let differ = alike.differ();
    assert_eq!(differ.len(), 1);
    assert_eq!((differ[0].group, differ[0].more), ("B2", true));
    assert!((differ[0].rate - 0.5).abs() < 1e-9 && (differ[0].others - 0.1).abs() < 1e-9);
    let alone = classes_alike(&states[..1], By::Bench, id("M20"));
    assert!(alone.differ().is_empty());
}

/// Each picture as it was looked at and found right; `CULLBOOK_WRITE_PICTURES=1` writes them anew.
#[test]
fn pictures_of_groups_say_what_differs_and_are_as_they_were_found_right() {
    use cullbook::export::picture::{
        class_rates, classes_headline, measured_headline, svg_file, tolerance_band,
    };
    let mut works = Works::with_lot();
    works.must("sue", width_target("M20"));
    for (press, by) in [("P1", 0), ("P2", -8), ("P3", 85)] {
        let off = [-30, -12, -4, 0, 3, 9, 14, 21, -17].map(|off| off + by);
        let sample = MeasureTaken {
            press: Some(id(press)),
            ..widths("M20", &off)
        };
        works.must("ida", taken(sample));
    }
    works.must("sue", lot("L2", 400, None));
    works.must("sue", lot("L3", 400, None));
    for (lot, every) in [("L2", 20), ("L3", 4)] {
        for from in (1..=400_u32).step_by(every) {
            works.must("ida", examined(lot, from, from, &["A1 OM"]));
            works.must("ida", examined(lot, from + 1, from + every as u32 - 1, &[]));
        }
    }
    let alike = classes_alike(&[works.state()], By::Lot, id("M20"));
    let headline = classes_headline(&alike);
    assert!(headline.starts_with("Lot L3 has more OM "), "{headline}");
    let figures = " than the other: 25.00 % of sheets against 5.00 %";
    assert!(headline.ends_with(figures), "{headline}");
    let measured = measured_alike(&[works.state()], By::Press, id("M20"));
    let headline = measured_headline(&measured[0], By::Press);
    assert!(
        headline.starts_with("Note width differs between presses: P3 has the greatest mean, 136.0"),
        "{headline}"
    );
    let by_lot = measured_alike(&[works.state()], By::Lot, id("M20"));
    assert!(by_lot.is_empty(), "no sample names its lot");
    let by_works = measured_alike(&[works.state()], By::Site, id("M20"));
    let headline = measured_headline(&by_works[0], By::Site);
    assert!(headline.contains("fewer than two works"), "{headline}");
    let pictures = [
        ("alike-classes", class_rates(&alike, &alike.classes[0])),
        ("alike-band", tolerance_band(&measured[0], By::Press)),
    ];
    for (name, drawing) in pictures {
        let root = env!("CARGO_MANIFEST_DIR");
        let file = format!("{root}/tests/fixtures/pictures/{name}.svg");
        let svg = svg_file(&drawing, "Invented.");
        if std::env::var_os("CULLBOOK_WRITE_PICTURES").is_some() {
            std::fs::write(&file, &svg).unwrap();
        }
        let known = std::fs::read_to_string(&file).unwrap();
        assert_eq!(svg, known, "{name}");
    }
}
