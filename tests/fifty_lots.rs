//! Fifty invented lots of every shape, ruled, drawn and bundled, and worked out again line by
//! line by tests/python/fifty_lots.py from their definitions alone.

#[path = "book/works.rs"]
mod works;

use std::collections::{BTreeSet, HashMap};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use cullbook::book::*;
use cullbook::inspect::{
    Class, Costs, Limit, Rules, Scope, Severity, WrittenTag, starter_catalogue,
};
use cullbook::sheet::*;
use serde_json::json;

use works::*;

const LOTS: usize = 50;

impl Numbers {
    fn one_of<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len() as u32) as usize]
    }

    fn between(&mut self, from: u32, to: u32) -> u32 {
        from + self.below(to - from + 1)
    }
}

/// A product of 2 to 48 notes in any naming and order that its rows and columns allow.
fn any_product(numbers: &mut Numbers) -> ProductDefined {
    let (rows, columns) = (
        2 * numbers.between(1, 3) as u8,
        2 * numbers.between(1, 4) as u8,
    );
    let odd = numbers.below(2) as u8;
    let (names, order) = match numbers.below(4) {
        0 => (NameScheme::Quadrant, RankOrder::Quadrants),
        1 => (NameScheme::ColumnLetterRowNumber, RankOrder::Columns),
        2 => (NameScheme::Running, RankOrder::Rows),
        _ => (NameScheme::RowLetterColumnNumber, RankOrder::Columns),
    };
    let rows = if order == RankOrder::Quadrants {
        rows
    } else {
        rows - odd
    };
    let bundle = numbers.between(1, 25);
    let stack = bundle * numbers.between(1, 4);
    ProductDefined {
        product: id("P"),
        title: "20 merin".to_owned(),
        layout: LayoutSpec {
            names,
            order,
            turn: *numbers.one_of(&[Turn::WorkAndTurn, Turn::WorkAndTumble]),
            ..layout(rows, columns)
        },
        finishing: Finishing::new(stack, bundle, numbers.between(1, 12)).unwrap(),
    }
}

/// A format with this check system over the whole serial where it can read it, else over the
/// number. Letters only (ISO/IEC 7064 MOD 27,26) can guard no serial: every serial has digits.
fn any_format(numbers: &mut Numbers, prefix: &str, check: CheckSystem) -> SerialFormat {
    let spec = SerialFormatSpec {
        prefix: prefix.to_owned(),
        width: numbers.between(7, 9) as u8,
        suffix: ["", "Q"][numbers.below(2) as usize].to_owned(),
        check,
        check_place: *numbers.one_of(&[CheckPlace::End, CheckPlace::AfterNumber]),
        check_over: CheckOver::Whole,
        grouping: Vec::new(),
    };
    let over_number = SerialFormatSpec {
        check_over: CheckOver::Number,
        ..spec.clone()
    };
    let format = SerialFormat::new(spec).or_else(|_| SerialFormat::new(over_number));
    format.expect("a format over the number")
}

fn any_runs(numbers: &mut Numbers, notes: u16) -> Vec<Run> {
    let runs = 1..=u64::from(numbers.between(1, 3));
    let run = |number: u64, numbers: &mut Numbers| {
        let sheets = numbers.between(1, 45);
        let first = 1_000_000 * number + u64::from(numbers.below(5_000));
        let plain = match numbers.below(2) {
            0 => Run::down_stack(sheets, first),
            _ => Run::across_sheet(sheets, first, notes),
        };
        Run {
            stride: plain.stride + u64::from(numbers.below(2) * numbers.below(60)),
            direction: *numbers.one_of(&[Direction::Up, Direction::Down]),
            ..plain
        }
    };
    runs.map(|number| run(number, numbers)).collect()
}

fn any_rules(numbers: &mut Numbers, notes: u16) -> Rules {
    let limit = match numbers.below(2) {
        0 => Limit::SpoiledAt(numbers.between(1, notes.into()) as u16),
        _ => Limit::ByCost(Costs {
            sort: numbers.below(60),
            note: numbers.below(20),
            swap: numbers.below(40),
            scrap: numbers.below(100),
        }),
    };
    let severities = [Severity::Minor, Severity::Major, Severity::Critical];
    let overrides = ["PD", "OM", "OS", "IW"].map(|code| (id(code), *numbers.one_of(&severities)));
    Rules {
        limit,
        minors_for_defect: numbers.between(1, 4) as u8,
        overrides: overrides.into(),
        ..rules()
    }
}

/// The tags of one sheet: none on most, a few or many on others, seldom a whole-sheet class.
fn any_tags(numbers: &mut Numbers, layout: &Layout, classes: &[Class]) -> Vec<WrittenTag> {
    let count = match numbers.below(10) {
        0..=4 => 0,
        5..=8 => numbers.between(1, 5),
        _ => numbers.between(5, 20),
    };
    let mut tags: Vec<WrittenTag> = Vec::new();
    for _ in 0..count {
        let class = numbers.one_of(classes);
        if class.scope == Scope::Sheet && numbers.below(8) > 0 {
            continue;
        }
        let place = numbers.below(layout.notes().into()) as u16;
        let position = layout.of_rank(place).expect("a rank of the sheet");
        let at = (class.scope == Scope::Note).then(|| layout.name(position).to_owned());
        let mut one = tag(&format!("- {}", class.code));
        one.at = at;
        one.side = *numbers.one_of(&Side::BOTH);
        if !tags.contains(&one) {
            tags.push(one);
        }
    }
    tags
}

/// One lot: its definition for the script, and every line that the program says of it.
fn lot_of(
    number: usize,
    numbers: &mut Numbers,
    used: &mut BTreeSet<&'static str>,
) -> (String, String) {
    let systems =
        CheckSystem::ALL.map(|system| (system != CheckSystem::Mod27_26).then_some(system));
    let systems: Vec<CheckSystem> = systems.into_iter().flatten().collect();
    let (check, other) = (systems[number % systems.len()], *numbers.one_of(&systems));
    used.extend([check.name(), other.name()]);
    let product = any_product(numbers);
    let layout = Layout::new(product.layout.clone()).unwrap();
    let runs = any_runs(numbers, layout.notes());
    let series = SeriesSpec {
        id: id("R"),
        product: product.product,
        format: any_format(numbers, "Z", other),
        stock: SeriesStock::Notes {
            first: numbers.below(1_000).into(),
            last: 99_999,
        },
    };
    let opened = LotOpened {
        lot: id("L"),
        product: product.product,
        sheets: runs.iter().map(|run| run.sheets).sum(),
        numbering: Some(NumberingSpec {
            format: any_format(numbers, "KB", check),
            runs,
        }),
    };
    let rules = any_rules(numbers, layout.notes());
    let classes = starter_catalogue().classes().to_vec();
    let sheets = 1..=opened.sheets;
    let tags: Vec<_> = sheets
        .map(|_| any_tags(numbers, &layout, &classes))
        .collect();
    let definition = json!({
        "product": product, "rules": rules, "series": series, "lot": opened,
        "classes": classes, "tags": tags,
    });
    let mut works = Works::staffed();
    works.must("sue", Entry::RulesSet(rules));
    works.must("sue", Entry::ProductDefined(product));
    works.must("sue", Entry::SeriesAdded(series));
    works.must("sue", Entry::LotOpened(opened));
    let exams = (1..).zip(tags).map(|(sheet, tags)| {
        Entry::SheetsExamined(SheetsExamined {
            tags,
            ..exam("L", sheet, sheet, &[])
        })
    });
    let exams = exams.collect();
    works.write_all("ida", exams).expect("examinations");
    let said = said(&mut works);
    (
        format!("{definition}\n"),
        format!("lot {}\n{said}", number + 1),
    )
}

/// Everything that the program says of the lot, a line each.
fn said(works: &mut Works) -> String {
    let mut text = String::new();
    let lot = works.lot("L").clone();
    let cut = lot.product.finishing.cut(lot.len(), lot.notes()).unwrap();
    let serial = |sheet, rank| {
        let position = lot.product.layout.of_rank(rank).unwrap();
        lot.serial(sheet, position).unwrap()
    };
    writeln!(text, "limit {}", lot.rules.spoiled_at(lot.notes())).unwrap();
    let mut places = HashMap::new();
    for (sheet, exam) in lot.examined() {
        let ruling = &exam.ruling;
        writeln!(
            text,
            "sheet {sheet} {}: {}",
            ruling.verdict.name(),
            ruling.reason
        )
        .unwrap();
        for position in lot.product.layout.positions() {
            let rank = lot.product.layout.rank(position);
            let (serial, place) = (serial(sheet, rank), cut.place(sheet, rank).unwrap());
            let (name, bundle, box_no) = (
                lot.product.layout.name(position),
                place.bundle,
                place.box_no,
            );
            writeln!(
                text,
                "note {sheet} {name} {serial} bundle {bundle} box {box_no}"
            )
            .unwrap();
            places.insert(serial, place);
        }
    }
    if let Entry::ReplacementsDrawn(data) = works.draw("L", "R")
        && !data.pairs.is_empty()
    {
        works.must("sue", Entry::ReplacementsDrawn(data.clone()));
        for (old, new) in data.pairs {
            let (bundle, box_no) = (places[&old].bundle, places[&old].box_no);
            writeln!(text, "pair {old} {new} bundle {bundle} box {box_no}").unwrap();
        }
    }
    for bundle in cut.bundles() {
        let (first, last) = (bundle.sheets.first(), bundle.sheets.last());
        let (from, to) = (serial(first, bundle.rank), serial(last, bundle.rank));
        let (number, notes) = (bundle.number, bundle.sheets.len());
        writeln!(
            text,
            "bundle {number} box {}: {from} to {to}, {notes} notes",
            bundle.box_no
        )
        .unwrap();
    }
    for number in (1..=cut.box_count()).filter_map(BoxNo::new) {
        let bundles: Vec<Bundle> = cut.bundles_in(number).collect();
        let notes: u32 = bundles.iter().map(|bundle| bundle.sheets.len()).sum();
        let (first, last) = (bundles[0].number, bundles[bundles.len() - 1].number);
        writeln!(
            text,
            "box {number}: bundles {first} to {last}, {notes} notes"
        )
        .unwrap();
    }
    text
}

/// Definitions and lines of all fifty lots.
fn fifty_lots() -> (String, String) {
    let (mut numbers, mut used) = (Numbers(50), BTreeSet::new());
    let (mut definitions, mut lines) = (String::new(), String::new());
    for number in 0..LOTS {
        let (definition, said) = lot_of(number, &mut numbers, &mut used);
        definitions.push_str(&definition);
        lines.push_str(&said);
    }
    // All but the letters-only system, which can guard no serial.
    assert_eq!(used.len(), CheckSystem::ALL.len() - 1);
    (definitions, lines)
}

fn recompute(folder: &Path, definitions: &str, lines: &str) -> (bool, String) {
    let files: [PathBuf; 2] = ["definitions.jsonl", "lines.txt"].map(|name| folder.join(name));
    for (file, text) in files.iter().zip([definitions, lines]) {
        std::fs::write(file, text).unwrap();
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/fifty_lots.py");
    let mut python = Command::new("python3");
    let output = python.args(["-B", script]).args(&files).output();
    let output = output.expect("python3 is installed");
    let said = [output.stdout, output.stderr].concat();
    (
        output.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

#[test]
fn every_line_of_fifty_lots_is_worked_out_alike() {
    let (definitions, lines) = fifty_lots();
    let folder = tempfile::tempdir().unwrap();
    for start in ["limit ", "sheet ", "note ", "pair ", "bundle ", "box "] {
        let count = lines.lines().filter(|line| line.starts_with(start)).count();
        assert!(count >= LOTS, "only {count} lines start with \"{start}\"");
    }
    let (agrees, said) = recompute(folder.path(), &definitions, &lines);
    assert!(agrees, "{said}");
    assert!(said.contains("50 lots"), "{said}");
    // One altered line of each kind is found, by its number.
    let mut altered: Vec<String> = lines.lines().map(str::to_owned).collect();
    let kinds = ["limit ", "sheet ", "note ", "pair ", "bundle ", "box "];
    let places = kinds.map(|start| altered.iter().rposition(|line| line.starts_with(start)));
    for place in places {
        altered[place.unwrap()].push('0');
    }
    let (agrees, said) = recompute(folder.path(), &definitions, &altered.join("\n"));
    assert!(!agrees && said.contains(" 6 differ"), "{said}");
    for place in places {
        let line = format!("line {}:", place.unwrap() + 1);
        assert!(said.contains(&line), "{line} is not in {said}");
    }
    let first = definitions.lines().next().unwrap();
    let one = lines.split("lot 2\n").next().unwrap();
    let (agrees, said) = recompute(folder.path(), first, one);
    assert!(agrees, "{said}");
    let cut: Vec<&str> = one.lines().collect();
    let (agrees, said) = recompute(folder.path(), first, &cut[..cut.len() - 1].join("\n"));
    assert!(!agrees && said.contains("1 lines are missing"), "{said}");
}
