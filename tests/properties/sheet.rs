//! Layout, serials, numbering and finishing for any input.

use std::collections::{HashMap, HashSet};

use cullbook::sheet::*;
use proptest::prelude::*;

fn layout(rows: u8, columns: u8, order: RankOrder, turn: Turn) -> Layout {
    let mm = |mm: f64| Length::from_mm(mm).unwrap();
    Layout::new(LayoutSpec {
        rows,
        columns,
        note_width: mm(120.5),
        note_height: mm(63.0),
        margin_x: mm(9.0),
        margin_y: mm(7.5),
        gutter_x: mm(1.5),
        gutter_y: mm(0.0),
        sheet_width: mm(30.0 + 122.0 * f64::from(columns)),
        sheet_height: mm(30.0 + 63.0 * f64::from(rows)),
        grammage: Grammage::from_g_per_m2(85.0).unwrap(),
        names: NameScheme::RowLetterColumnNumber,
        order,
        turn,
    })
    .unwrap()
}

fn any_layout() -> impl Strategy<Value = Layout> {
    let turns = prop_oneof![Just(Turn::WorkAndTurn), Just(Turn::WorkAndTumble)];
    (1..=20u8, 1..=20u8, 0..3u8, turns).prop_map(|(rows, columns, order, turn)| match order {
        0 => layout(rows, columns, RankOrder::Rows, turn),
        1 => layout(rows, columns, RankOrder::Columns, turn),
        _ => layout(
            rows.div_ceil(2) * 2,
            columns.div_ceil(2) * 2,
            RankOrder::Quadrants,
            turn,
        ),
    })
}

/// A run for sheets of `notes` notes whose numbers start (or, downwards, end) near `first`.
fn any_run(notes: u16, first: std::ops::Range<u64>) -> impl Strategy<Value = Run> {
    (1..60u32, first, 0..80u64, any::<bool>(), any::<bool>()).prop_map(
        move |(sheets, first, gap, up, stack)| Run {
            sheets,
            first,
            stride: gap
                + if stack {
                    u64::from(sheets)
                } else {
                    u64::from(notes)
                },
            direction: if up { Direction::Up } else { Direction::Down },
            arrangement: if stack {
                Arrangement::DownStack
            } else {
                Arrangement::AcrossSheet
            },
        },
    )
}

fn format(width: u8) -> SerialFormat {
    let spec = serde_json::json!({ "prefix": "KA", "width": width, "check": "mod37_36" });
    serde_json::from_value(spec).unwrap()
}

fn numbering(layout: &Layout, runs: Vec<Run>) -> Result<Numbering, NumberingError> {
    let sheets = runs.iter().map(|run| run.sheets).sum();
    Numbering::new(
        NumberingSpec {
            format: format(9),
            runs,
        },
        layout,
        sheets,
    )
}

/// Every note of a lot with its number.
fn all_numbers(lot: &Numbering) -> HashMap<u64, (SheetNo, u16)> {
    let sheets = (0..lot.sheets()).map(SheetNo::from_index);
    let notes = sheets.flat_map(|sheet| (0..lot.notes()).map(move |rank| (sheet, rank)));
    notes
        .map(|(sheet, rank)| (lot.number(sheet, rank).unwrap(), (sheet, rank)))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn names_ranks_and_cells_are_one_to_one(layout in any_layout()) {
        let positions: Vec<Position> = layout.positions().collect();
        prop_assert_eq!(positions.len(), usize::from(layout.notes()));
        for &position in &positions {
            prop_assert_eq!(layout.find(layout.name(position)), Some(position));
            prop_assert_eq!(layout.of_rank(layout.rank(position)), Some(position));
            let (row, column) = layout.cell(position);
            prop_assert_eq!(layout.position(row, column), Some(position));
            prop_assert_eq!(layout.at(position.index()), Some(position));
        }
        prop_assert_eq!(layout.of_rank(layout.notes()), None);
        prop_assert_eq!(layout.position(layout.rows(), 0), None);
    }

    #[test]
    fn what_is_seen_is_found_and_turning_twice_is_no_turn(layout in any_layout()) {
        for position in layout.positions() {
            for side in Side::BOTH {
                let (row, column) = layout.seen(side, position);
                prop_assert_eq!(layout.seen_at(side, row, column), Some(position));
            }
            let (row, column) = layout.seen(Side::Back, position);
            let turned = layout.position(row, column).unwrap();
            prop_assert_eq!(layout.seen(Side::Back, turned), layout.cell(position));
        }
    }

    #[test]
    fn notes_are_drawn_on_the_sheet_in_the_order_seen(layout in any_layout()) {
        let (width, height) = layout.sheet_size();
        for side in Side::BOTH {
            for position in layout.positions() {
                let (x, y) = layout.origin(side, position);
                prop_assert!(x.mm() + 120.5 <= width.mm() && y.mm() + 63.0 <= height.mm());
                let (row, column) = layout.seen(side, position);
                if let Some(right) = layout.seen_at(side, row, column + 1) {
                    let step = layout.origin(side, right).0.micrometres() - x.micrometres();
                    prop_assert_eq!(step, 122_000);
                }
                if let Some(below) = layout.seen_at(side, row + 1, column) {
                    let step = layout.origin(side, below).1.micrometres() - y.micrometres();
                    prop_assert_eq!(step, 63_000);
                }
            }
        }
    }

    #[test]
    fn sheet_and_rank_to_serial_and_back(
        (layout, runs) in (1..=6u8, 1..=7u8).prop_flat_map(|(rows, columns)| {
            let layout = layout(rows, columns, RankOrder::Rows, Turn::WorkAndTurn);
            let runs = prop::collection::vec(any_run(layout.notes(), 20_000..20_001), 1..6);
            (Just(layout), runs)
        }),
        elsewhere in 0..300_000u64,
    ) {
        // Apart enough that runs never meet: no run reaches 20 000 numbers from its first.
        let apart = |(i, run): (usize, Run)| Run { first: run.first + 50_000 * i as u64, ..run };
        let runs = runs.into_iter().enumerate().map(apart).collect();
        let lot = numbering(&layout, runs).unwrap();
        let numbers = all_numbers(&lot);
        let notes = u64::from(lot.sheets()) * u64::from(lot.notes());
        prop_assert_eq!(numbers.len() as u64, notes);
        for (&number, &note) in &numbers {
            prop_assert_eq!(lot.locate(number), Some(note));
            let serial = lot.serial(note.0, note.1).unwrap();
            prop_assert_eq!(lot.locate_text(serial.as_str()), Ok(Some(note)));
        }
        prop_assert_eq!(lot.locate(elsewhere), numbers.get(&elsewhere).copied());
        let intervals = lot.intervals();
        prop_assert!(intervals.windows(2).all(|w| w[0].1 + 1 < w[1].0));
        prop_assert_eq!(intervals.iter().map(|(from, to)| to - from + 1).sum::<u64>(), notes);
        for &(from, to) in &intervals {
            prop_assert!((from..=to).all(|n| numbers.contains_key(&n)));
        }
    }

    #[test]
    fn clashes_are_found_where_counting_finds_them(
        a in any_run(6, 2_000..4_000),
        b in any_run(6, 2_000..4_000),
    ) {
        let layout = layout(2, 3, RankOrder::Rows, Turn::WorkAndTurn);
        let runs: Vec<Run> = [a, b].into_iter().filter(|r| numbering(&layout, vec![*r]).is_ok()).collect();
        prop_assume!(runs.len() == 2);
        let lots: Vec<Numbering> =
            runs.iter().map(|run| numbering(&layout, vec![*run]).unwrap()).collect();
        let (first, second) = (all_numbers(&lots[0]), all_numbers(&lots[1]));
        let shared: HashSet<u64> =
            first.keys().copied().filter(|n| second.contains_key(n)).collect();
        match lots[0].overlaps(&lots[1]) {
            None => prop_assert!(shared.is_empty()),
            Some((from, to)) => {
                let number = |text: &str| lots[0].format().parse(text).unwrap();
                prop_assert!((number(&from)..=number(&to)).all(|n| shared.contains(&n)));
            }
        }
        match numbering(&layout, runs) {
            Ok(lot) => {
                prop_assert!(shared.is_empty());
                prop_assert_eq!(all_numbers(&lot).len(), first.len() + second.len());
            }
            Err(NumberingError::RunsClash { .. }) => prop_assert!(!shared.is_empty()),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    #[test]
    fn every_note_is_in_one_bundle_and_one_box(
        bundle in 1..40u32, piles in 1..4u32, per_box in 1..30u32, sheets in 0..400u32, notes in 1..30u16,
        filling in prop_oneof![Just(Filling::Stack), Just(Filling::Position)],
    ) {
        let sizes = Finishing::new(bundle * piles, bundle, per_box).unwrap().filled(filling);
        let cut = sizes.cut(sheets, notes).unwrap();
        let mut order = Vec::new();
        let mut seen = HashSet::new();
        let mut bundles = 0;
        for b in cut.bundles() {
            bundles += 1;
            prop_assert_eq!(b.number.number(), bundles);
            prop_assert_eq!(b.box_no.index(), b.number.index() / per_box);
            prop_assert!(b.sheets.len() <= bundle);
            order.push(match filling {
                Filling::Stack => (b.stack, u32::from(b.rank), b.sheets.first().number()),
                Filling::Position => (u32::from(b.rank), b.stack, b.sheets.first().number()),
            });
            let mut depth = 0;
            for (sheet, rank) in b.members() {
                prop_assert!(seen.insert((sheet, rank)));
                let place = cut.place(sheet, rank).unwrap();
                prop_assert_eq!((place.bundle, place.box_no, place.stack), (b.number, b.box_no, b.stack));
                prop_assert!(place.depth > depth);
                depth = place.depth;
            }
        }
        prop_assert!(order.is_sorted());
        prop_assert_eq!(bundles, cut.bundle_count());
        prop_assert_eq!(seen.len() as u32, sheets * u32::from(notes));
        let boxed: Vec<Bundle> = (0..cut.box_count())
            .flat_map(|i| cut.bundles_in(BoxNo::from_index(i)))
            .collect();
        prop_assert_eq!(boxed, cut.bundles().collect::<Vec<_>>());
    }
}

const CHECKED: [CheckSystem; 11] = [
    CheckSystem::Mod11_2,
    CheckSystem::Mod37_2,
    CheckSystem::Mod97_10,
    CheckSystem::Mod11_10,
    CheckSystem::Mod27_26,
    CheckSystem::Mod37_36,
    CheckSystem::Luhn,
    CheckSystem::Verhoeff,
    CheckSystem::Damm,
    CheckSystem::LetterSum9,
    CheckSystem::DihedralLetters,
];

/// The characters among which the system's authors promise to see one wrong.
fn alphabet(system: CheckSystem) -> &'static [u8] {
    match system {
        CheckSystem::Mod27_26 => b"ABCDEFGHIJKLMNOPQRSTUVWXYZ",
        CheckSystem::Mod37_2 | CheckSystem::Mod37_36 => b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ",
        // A letter sum sees no change between characters that are equal modulo 9.
        CheckSystem::LetterSum9 => b"12345678",
        _ => b"0123456789",
    }
}

/// Systems whose authors promise to see every swap of neighbours: ISO/IEC 7064 pure systems,
/// Verhoeff and Damm. (Luhn and the hybrid systems miss a few; the letter sum misses all.)
fn sees_swaps(system: CheckSystem) -> bool {
    use CheckSystem::*;
    matches!(system, Mod11_2 | Mod37_2 | Mod97_10 | Verhoeff | Damm)
}

fn any_payload() -> impl Strategy<Value = (CheckSystem, String)> {
    prop::sample::select(&CHECKED[..]).prop_flat_map(|system| {
        let characters = prop::collection::vec(prop::sample::select(alphabet(system)), 1..14);
        let text = characters.prop_map(|bytes| String::from_utf8(bytes).unwrap());
        (Just(system), text)
    })
}

proptest! {
    #[test]
    fn one_wrong_character_is_seen(
        (system, payload) in any_payload(), at in any::<prop::sample::Index>(),
        wrong in any::<prop::sample::Index>(),
    ) {
        let full = format!("{payload}{}", system.check(&payload).unwrap());
        prop_assert_eq!(system.verify(&full), Ok(()));
        let mut typed = full.clone().into_bytes();
        let (at, alphabet) = (at.index(typed.len()), alphabet(system));
        typed[at] = alphabet[wrong.index(alphabet.len())];
        let typed = String::from_utf8(typed).unwrap();
        prop_assert_eq!(system.verify(&typed).is_ok(), typed == full, "{} {}", full, typed);
    }

    #[test]
    fn two_swapped_neighbours_are_seen(
        (system, payload) in any_payload(), at in any::<prop::sample::Index>(),
    ) {
        prop_assume!(sees_swaps(system));
        let full = format!("{payload}{}", system.check(&payload).unwrap());
        let mut typed = full.clone().into_bytes();
        let at = at.index(typed.len() - 1);
        typed.swap(at, at + 1);
        let typed = String::from_utf8(typed).unwrap();
        prop_assert_eq!(system.verify(&typed).is_ok(), typed == full, "{} {}", full, typed);
    }

    #[test]
    fn what_is_written_is_read_back(
        prefix in "[A-Z0-9]{0,2}", suffix in "[A-Z]{0,1}", width in 1..=9u8, number in any::<u64>(),
        system in prop::sample::select(&CheckSystem::ALL[..]), inner in any::<bool>(),
        spaces in prop::collection::vec(0..4usize, 15),
    ) {
        let spec = SerialFormatSpec {
            prefix, width, suffix, check: system,
            check_place: if inner { CheckPlace::AfterNumber } else { CheckPlace::End },
            check_over: CheckOver::Number,
            grouping: Vec::new(),
        };
        let Ok(format) = SerialFormat::new(spec) else {
            // Only the letters-only system cannot guard a number.
            prop_assert_eq!(system, CheckSystem::Mod27_26);
            return Ok(());
        };
        let number = number % format.capacity();
        let text = format.text(number).unwrap();
        prop_assert_eq!(text.len(), format.length());
        prop_assert_eq!(format.parse(&text), Ok(number));
        let loose: String = text.to_lowercase().chars().zip(spaces)
            .map(|(c, s)| format!("{}{c}", [" ", "-", ".", ""][s]))
            .collect();
        prop_assert_eq!(format.parse(&loose), Ok(number));
        let serial: Serial<Printed> = text.parse().unwrap();
        prop_assert_eq!(serial.to_string(), text);
    }

    #[test]
    fn any_text_is_refused_or_is_a_serial(text in "\\PC{0,18}") {
        let format = format(6);
        if let Ok(number) = format.parse(&text) {
            let bare: String = text.chars().filter(char::is_ascii_alphanumeric).collect();
            prop_assert_eq!(format.text(number).unwrap(), bare.to_ascii_uppercase());
        }
        for slip in format.suggest(&text) {
            prop_assert!(format.parse(&slip.serial).is_ok());
        }
    }
}
