//! Sheet layouts, numbering runs and replacement marks as published for real currencies.

use cullbook::sheet::*;
use serde_json::Value;

fn file() -> Value {
    serde_json::from_str(include_str!("../fixtures/sheet_numbering.json")).unwrap()
}

fn layout(rows: u8, columns: u8, names: NameScheme, order: RankOrder) -> Layout {
    let mm = |mm: f64| Length::from_mm(mm).unwrap();
    // Sizes do not matter here; these are invented.
    Layout::new(LayoutSpec {
        rows,
        columns,
        note_width: mm(130.0),
        note_height: mm(65.0),
        margin_x: mm(10.0),
        margin_y: mm(10.0),
        gutter_x: mm(0.0),
        gutter_y: mm(0.0),
        sheet_width: mm(20.0 + 130.0 * f64::from(columns)),
        sheet_height: mm(20.0 + 65.0 * f64::from(rows)),
        grammage: Grammage::from_g_per_m2(90.0).unwrap(),
        names,
        order,
        turn: Turn::WorkAndTurn,
    })
    .unwrap()
}

fn thirty_two() -> Layout {
    layout(8, 4, NameScheme::Quadrant, RankOrder::Quadrants)
}

fn format(prefix: &str, suffix: &str) -> SerialFormat {
    let spec = serde_json::json!({ "prefix": prefix, "width": 8, "suffix": suffix });
    serde_json::from_value(spec).unwrap()
}

/// `count` runs of `sheets` sheets each, one after the other, the first serial being `first`.
fn runs(layout: &Layout, count: u64, sheets: u32, first: u64, format: SerialFormat) -> Numbering {
    let notes = u64::from(sheets) * u64::from(layout.notes());
    let runs = (0..count)
        .map(|i| Run::down_stack(sheets, first + i * notes))
        .collect();
    let total = sheets * u32::try_from(count).unwrap();
    Numbering::new(NumberingSpec { format, runs }, layout, total).unwrap()
}

fn number(value: &Value) -> u64 {
    value
        .as_u64()
        .unwrap_or_else(|| panic!("a number, not {value}"))
}

fn sheets(value: &Value) -> u32 {
    number(value).try_into().unwrap()
}

fn strings(list: &Value) -> Vec<&str> {
    list.as_array()
        .unwrap()
        .iter()
        .map(|s| s.as_str().unwrap())
        .collect()
}

fn entries(list: &Value) -> impl Iterator<Item = &Value> {
    let list = list.as_array().unwrap();
    assert!(!list.is_empty());
    list.iter()
}

/// Source: A. Gilfoy, plate position page (retrieved; one misprinted cell, D3, corrected there).
#[test]
fn the_32_note_sheet_is_named_and_ordered_by_quadrants() {
    let file = file();
    let layout = thirty_two();
    for (row, published) in (0..8).zip(entries(&file["us_32_subject"]["layout_rows"])) {
        let names: Vec<&str> = (0..4)
            .map(|column| layout.name(layout.position(row, column).unwrap()))
            .collect();
        assert_eq!(names, strings(published), "row {}", row + 1);
    }
    let order: Vec<&str> = (0..32)
        .map(|rank| layout.name(layout.of_rank(rank).unwrap()))
        .collect();
    assert_eq!(order, strings(&file["us_32_subject"]["position_order"]));
}

/// Sources: CoinTalk thread "Plate position arithmetic"; A. Gilfoy, plate position table page
/// (both retrieved).
#[test]
fn thirty_two_by_200_000_as_published() {
    let file = file();
    let layout = thirty_two();
    let lot = runs(&layout, 2, 200_000, 1, format("B", "A"));
    let published = &file["us_32_subject"]["published"];
    let rank = |name: &str| layout.rank(layout.find(name).unwrap());
    let at = |sheet, name| {
        lot.number(SheetNo::new(sheet).unwrap(), rank(name))
            .unwrap()
    };
    for (name, range) in published[0]["positions"].as_object().unwrap() {
        assert_eq!(
            [at(1, name), at(200_000, name)].map(Value::from),
            range.as_array().unwrap()[..]
        );
    }
    for (name, first) in published[1]["first_sheet_run_2"].as_object().unwrap() {
        assert_eq!(*first, at(200_001, name), "{name}");
    }
}

/// Source: computed by the reference set with the retrieved rule (`computed: true`).
#[test]
fn examples_of_three_run_lengths_both_ways() {
    let file = file();
    let layout = thirty_two();
    for (scheme, run_sheets, count) in [
        ("32 x 200,000", 200_000, 15),
        ("32 x 100,000", 100_000, 30),
        ("32 x 20,000", 20_000, 150),
    ] {
        let lot = runs(&layout, count, run_sheets, 1, format("B", "A"));
        let examples = entries(&file["us_32_subject"]["examples"]);
        let examples: Vec<_> = examples.filter(|e| e["scheme"] == scheme).collect();
        assert_eq!(examples.len(), 12);
        for example in examples {
            let serial = number(&example["serial"]);
            let (sheet, rank) = lot.locate(serial).unwrap();
            assert_eq!(example["run"], sheet.index() / run_sheets + 1, "{example}");
            assert_eq!(
                example["sheet_in_run"],
                sheet.index() % run_sheets + 1,
                "{example}"
            );
            assert_eq!(example["position_index"], rank + 1, "{example}");
            let name = layout.name(layout.of_rank(rank).unwrap());
            assert_eq!(example["plate_position"], name, "{example}");
            assert_eq!(lot.number(sheet, rank), Some(serial));
        }
        assert_eq!(lot.locate(96_000_001), None);
    }
}

/// Source: uspapermoney, format for star note serials, two periods (retrieved).
#[test]
fn run_ranges_as_published() {
    let file = file();
    let layout = thirty_two();
    for set in entries(&file["runs"]["run_ranges_published"]) {
        let run_sheets = sheets(&set["sheets"]);
        assert_eq!(set["notes"], run_sheets * 32);
        for run in entries(&set["runs"]) {
            let (ordinal, from, to) = (number(&run[0]), number(&run[1]), number(&run[2]));
            let lot = runs(&layout, ordinal, run_sheets, 1, format("B", "*"));
            let first = SheetNo::from_index(run_sheets * (ordinal as u32 - 1));
            let last = SheetNo::from_index(run_sheets * ordinal as u32 - 1);
            assert_eq!(lot.number(first, 0), Some(from), "{run}");
            assert_eq!(lot.number(last, 31), Some(to), "{run}");
        }
    }
}

/// Sources: CoinTalk thread on current U.S. notes; uspapermoney, about the serial number tables
/// (retrieved).
#[test]
fn blocks_end_where_published() {
    let file = file();
    let layout = thirty_two();
    for block in entries(&file["runs"]["block_end"]) {
        let run_sheets = sheets(&block["run_notes"]) / 32;
        let lot = runs(
            &layout,
            number(&block["runs_per_block"]),
            run_sheets,
            1,
            format("B", "A"),
        );
        assert_eq!(lot.intervals(), [(1, number(&block["last_serial"]))]);
        // Eight digits end at 99 999 999: no further run of this length fits.
        let next = Run::down_stack(run_sheets, number(&block["last_serial"]) + 1);
        let more = NumberingSpec {
            format: format("B", "A"),
            runs: vec![next],
        };
        assert!(matches!(
            Numbering::new(more, &layout, run_sheets),
            Err(NumberingError::Overflow { .. })
        ));
    }
}

/// Source: uspapermoney, about the serial number tables (retrieved): each expanded range is whole
/// runs of 200,000 sheets.
#[test]
fn expanded_ranges_are_whole_runs() {
    let file = file();
    let layout = thirty_two();
    for expansion in entries(&file["runs"]["range_expansion_published"]) {
        for range in entries(&expansion["ranges"]) {
            let ends = strings(range);
            let format = format(&ends[0][..1], &ends[0][9..]);
            let (from, to) = (
                format.parse(ends[0]).unwrap(),
                format.parse(ends[1]).unwrap(),
            );
            let count = (to - from + 1) / 6_400_000;
            let lot = runs(&layout, count, 200_000, from, format);
            let last = SheetNo::new(lot.sheets()).unwrap();
            let printed = [lot.serial(SheetNo::from_index(0), 0), lot.serial(last, 31)];
            assert_eq!(printed.map(|s| s.unwrap().to_string()), ends[..]);
        }
    }
}

/// Source: uspapermoney, plate position arithmetic (index rule retrieved; the chart of labels was
/// not): groups of 100 sheets, 100 consecutive serials a position.
#[test]
fn fifty_note_index_rule() {
    let file = file();
    for example in entries(&file["us_50_subject"]["examples"]) {
        let layout = match number(&example["notes_per_sheet"]) {
            50 => layout(10, 5, NameScheme::Running, RankOrder::Rows),
            32 => thirty_two(),
            other => panic!("no layout of {other} notes"),
        };
        let serial = number(&example["serial"]);
        let groups = serial.div_ceil(100 * u64::from(layout.notes()));
        let lot = runs(&layout, groups, 100, 1, format("B", "A"));
        let (_, rank) = lot.locate(serial).unwrap();
        assert_eq!(example["position_index"], rank + 1, "{example}");
    }
}

/// Source: NCTM Figure This, challenge 41 (retrieved): the last two digits agree on all notes of a
/// sheet when the run is a multiple of 100 sheets.
#[test]
fn last_two_digits_agree_on_a_sheet() {
    let layout = thirty_two();
    let endings = |run_sheets| {
        let lot = runs(&layout, 1, run_sheets, 1, format("B", "A"));
        let sheet = SheetNo::new(77).unwrap();
        let mut endings: Vec<u64> = (0..32)
            .map(|r| lot.number(sheet, r).unwrap() % 100)
            .collect();
        endings.dedup();
        endings
    };
    assert_eq!(endings(200_000), [77]);
    assert_eq!(endings(100), [77]);
    assert_ne!(endings(150), [77]);
}

/// Sources: CoinTalk thread; NCTM Figure This (retrieved): a stack of 100 sheets cut through gives
/// packs of 100 notes in serial order.
#[test]
fn a_cut_stack_gives_packs_in_serial_order() {
    let layout = thirty_two();
    let lot = runs(&layout, 1, 20_000, 1, format("B", "A"));
    let cut = Finishing::default().cut(lot.sheets(), lot.notes()).unwrap();
    let mut packs = 0;
    for bundle in cut.bundles() {
        let numbers: Vec<u64> = bundle
            .members()
            .map(|(sheet, rank)| lot.number(sheet, rank).unwrap())
            .collect();
        assert_eq!(
            numbers,
            (numbers[0]..numbers[0] + 100).collect::<Vec<_>>(),
            "{bundle:?}"
        );
        assert_eq!(numbers[0] % 100, 1);
        packs += 1;
    }
    assert_eq!(packs, 6_400);
}

/// Sources: ibiblio euro resource, print code page; klamm.de answer page (retrieved): the last
/// letter and digit of the plate code are row and column.
#[test]
fn euro_plate_positions() {
    let file = file();
    let layout = layout(10, 6, NameScheme::RowLetterColumnNumber, RankOrder::Rows);
    let names: Vec<&str> = layout.positions().map(|p| layout.name(p)).collect();
    assert_eq!((names[0], names[59]), ("A1", "J6"));
    for code in entries(&file["euro_sheet"]["published"]) {
        let position = layout.find(&code["code"].as_str().unwrap()[4..]).unwrap();
        let (row, column) = layout.cell(position);
        assert_eq!(
            (&code["row"], &code["column"]),
            (&(row + 1).into(), &(column + 1).into())
        );
    }
}

/// Sources: Bureau of Engraving and Printing, serial numbers page (star for the suffix);
/// rarenotes.net (asterisk before the prefix, X as third letter, number groups 310, 510, 516);
/// Numista forum (star between prefix and number). Retrieved; the letters around are made up.
#[test]
fn replacement_marks_can_be_written() {
    for (prefix, suffix, first) in [
        ("B", "*", "B00000001*"),
        ("*AB", "", "*AB00000001"),
        ("ABX", "", "ABX00000001"),
        ("510", "", "51000000001"),
        ("9AB*", "", "9AB*00000001"),
    ] {
        let spec = SeriesSpec {
            id: "R1".parse().unwrap(),
            product: "P1".parse().unwrap(),
            format: format(prefix, suffix),
            stock: SeriesStock::Notes {
                first: 1,
                last: 3_200_000,
            },
        };
        let series = Series::new(spec, &thirty_two()).unwrap();
        assert_eq!(series.serial(0).unwrap().as_str(), first);
        assert_eq!(series.find(first), Ok(Some(0)));
        assert_eq!(series.len(), 3_200_000);
    }
}
