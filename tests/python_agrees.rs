//! A book of a busy works, exported and then worked out again by tests/python/day_record.py,
//! which knows the format and the rules but none of this program. It must agree on every cell,
//! and must not when a cell or a line is altered.

#[path = "book/session_steps.rs"]
mod session_steps;
#[path = "book/works.rs"]
mod works;

use std::path::{Path, PathBuf};
use std::process::Command;

use cullbook::book::{Place, *};
use cullbook::custody::{
    Counted, Counting, Differs, Done, Fact, Item, Mass, Method, ResidueSample, Stage, TareAndScale,
    Weighed,
};
use cullbook::export::{DayRecord, day_record, day_xlsx, day_zip, several_day, several_zip};
use cullbook::inspect::{
    Costs, Count, Limit, Quantity, Reading, Rules, Severity, Step, Tolerance, Verdict,
    starter_catalogue,
};
use cullbook::people::Day;
use cullbook::quality::sampling::Severity::Normal;
use cullbook::sheet::*;

use session_steps::*;
use works::*;

/// Two days: a numbered lot of 300 sheets in two runs, an unnumbered one of 40, corrections,
/// machine tags, draws, spoiled replacements, containers in every state, a destruction, closings,
/// entries after a closing, and rules and classes that change on the way.
fn busy_works() -> Works {
    let mut works = Works::staffed();
    let classes = starter_catalogue();
    works.must("sue", Entry::ClassesSet(ClassesSet { classes }));
    works.must("sue", wide_product());
    works.must("sue", paper("M50"));
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("sue", Entry::SeriesAdded(checked_series()));
    works.must("sue", Entry::RulesSet(overriding_rules()));
    works.must("sue", numbered_lot());
    works.must("sue", Entry::RulesSet(rules_by_cost()));
    works.must("sue", lot("L2", 40, None));
    examine_numbered(&mut works);
    examine_unnumbered(&mut works);
    number_afterwards(&mut works);
    replace_and_destroy(&mut works);
    measure_some(&mut works);
    works.must("sue", day_closed("2026-11-25"));
    works.must("ida", examined("BW-7", 251, 260, &["A1 OM"]));
    let copy = copy_taken(&works.book);
    works.must("ivo", copy);
    works.must("ivo", healed(Home::First, 3, works.book.len() - 1));
    let head = head_taken(&works.book, Way::Told, Some("Wren Hale"));
    works.must("ivo", head);
    second_day(&mut works);
    works
}

/// 8 rows by 4, quartered: names and ranks that are easy to get wrong.
fn wide_product() -> Entry {
    Entry::ProductDefined(ProductDefined {
        product: id("M50"),
        title: "=50 merin, \"wide\"".to_owned(),
        layout: LayoutSpec {
            names: NameScheme::Quadrant,
            order: RankOrder::Quadrants,
            turn: Turn::WorkAndTumble,
            ..layout(8, 4)
        },
        finishing: Finishing::new(100, 50, 7)
            .unwrap()
            .filled(Filling::Position),
    })
}

fn checked_format(prefix: &str, check: CheckSystem) -> SerialFormat {
    let spec = SerialFormatSpec {
        prefix: prefix.to_owned(),
        width: 8,
        suffix: "Q".to_owned(),
        check,
        check_place: CheckPlace::AfterNumber,
        check_over: CheckOver::Whole,
        grouping: Vec::new(),
    };
    SerialFormat::new(spec).unwrap()
}

fn checked_series() -> SeriesSpec {
    SeriesSpec {
        id: id("R5"),
        product: id("M50"),
        format: checked_format("ZZ", CheckSystem::Mod97_10),
        stock: SeriesStock::Notes {
            first: 500,
            last: 9_999,
        },
    }
}

fn overriding_rules() -> Rules {
    let overrides = [(id("PD"), Severity::Major), (id("OS"), Severity::Minor)];
    Rules {
        limit: Limit::SpoiledAt(5),
        minors_for_defect: 2,
        overrides: overrides.into(),
        ..rules()
    }
}

fn rules_by_cost() -> Rules {
    let costs = Costs {
        sort: 12,
        note: 10,
        swap: 30,
        scrap: 20,
    };
    Rules {
        limit: Limit::ByCost(costs),
        ..rules()
    }
}

fn numbered_lot() -> Entry {
    let runs = vec![
        Run {
            stride: 250,
            ..Run::down_stack(180, 1_000)
        },
        Run {
            direction: Direction::Down,
            ..Run::across_sheet(120, 90_000, 32)
        },
    ];
    let format = checked_format("KB", CheckSystem::Mod37_36);
    Entry::LotOpened(LotOpened {
        lot: id("BW-7"),
        product: id("M50"),
        sheets: 300,
        numbering: Some(NumberingSpec { format, runs }),
    })
}

fn examine_numbered(works: &mut Works) {
    let names = ["A1", "h2", "C3", "B4", "A4", "D1"];
    let classes = ["PH", "OM", "PD", "OS", "NB", "IW", "SP", "HS"];
    let machine_tags = [
        (4, "B2 OM"),
        (4, "- PT"),
        (9, "b:C1 SP"),
        (9, "b:C1 SP"),
        (33, "A2 NM"),
    ];
    works.must("ida", Entry::MachineRead(machine("BW-7", &machine_tags)));
    let mut numbers = Numbers(7);
    let mut next = 1;
    while next <= 250 {
        let to = (next + numbers.below(6)).min(250);
        let mut tags: Vec<String> = Vec::new();
        for _ in 0..numbers.below(9).saturating_sub(3) {
            let back = if numbers.below(3) == 0 { "b:" } else { "" };
            let name = names[numbers.below(6) as usize];
            let tag = format!("{back}{name} {}", classes[numbers.below(8) as usize]);
            if !tags.contains(&tag) {
                tags.push(tag);
            }
        }
        let texts: Vec<&str> = tags.iter().map(String::as_str).collect();
        let mut data = exam("BW-7", next, to, &texts);
        data.machine_kept = numbers.below(2) == 0;
        let (by, minute) = (["ida", "ivo"][numbers.below(2) as usize], next * 60);
        works.set_clock("2026-11-25", 8 * 3600 + minute);
        works.must(by, Entry::SheetsExamined(data));
        next = to + 1;
    }
    works.must("ivo", examined("BW-7", 265, 265, &["- HF", "A1 PH"]));
    for number in [20, 21, 77] {
        let seq = works
            .lot("BW-7")
            .sheet(sheet(number))
            .unwrap()
            .exam
            .as_ref()
            .unwrap()
            .seq;
        works.must("sue", corrected("BW-7", number, seq, &["A1 PH", "B3 OM"]));
    }
    overrule_some(works);
    sample_some(works, "A-1", "BW-7");
}

/// Widths by press and works, one sample mistyped, and a colour difference with one limit.
fn measure_some(works: &mut Works) {
    works.must("sue", width_target("M50"));
    let mut numbers = Numbers(11);
    for (place, (press, site)) in [("P1", None), ("P2", None), ("P1", Some("Hallowmere"))]
        .into_iter()
        .enumerate()
    {
        for lot in ["BW-7", "BW-8", "BW-9"] {
            let shift = 15 * place as i32 - 20;
            let off: Vec<i32> = (0..7).map(|_| shift + numbers.below(90) as i32).collect();
            let sample = MeasureTaken {
                lot: Some(id(lot)),
                press: Some(id(press)),
                site: site.map(id),
                ..widths("M50", &off)
            };
            works.must(["ida", "sue"][place % 2], Entry::MeasureTaken(sample));
        }
    }
    let wrong = works.book.len() - 1;
    let again = MeasureTaken {
        press: Some(id("P3")),
        corrects: Some(wrong),
        reason: Some("another press".to_owned()),
        ..widths("M50", &[140, 3, -1, -140, 0])
    };
    works.must("ida", Entry::MeasureTaken(again));
    let quantity = Quantity::ColourCiede2000;
    let target = Entry::MeasureTarget(MeasureTarget {
        product: id("M50"),
        quantity,
        tolerance: Tolerance {
            target: Reading(0),
            lower: None,
            upper: Some(Reading(1_500)),
        },
    });
    works.must("sue", target);
    for (press, readings) in [
        ("P1", &[900, 1_100, 1_250, 700, 820, 990][..]),
        ("P2", &[1_600]),
    ] {
        let sample = MeasureTaken {
            quantity,
            readings: readings.iter().copied().map(Reading).collect(),
            press: Some(id(press)),
            ..widths("M50", &[])
        };
        works.must("ivo", Entry::MeasureTaken(sample));
    }
    // As coarse as a ruler: no spread, so that nothing can be compared.
    for lot in ["L2", "BW-9"] {
        let sample = MeasureTaken {
            quantity: Quantity::RegisterAlong,
            readings: vec![Reading(-250); 6],
            lot: Some(id(lot)),
            ..widths("M50", &[])
        };
        if works.lot(lot).product.id == id("M50") {
            works.must("ivo", Entry::MeasureTaken(sample));
        }
    }
}

/// A sample of the passed sheets, looked at by whoever did not pass them.
fn sample_some(works: &mut Works, number: &str, lot: &str) {
    let data = sample_drawn(works, number, lot, Normal);
    let sheets = data.sheets.clone();
    works.must("sue", Entry::AcceptanceDrawn(data));
    for (at, sheet) in sheets.into_iter().enumerate() {
        let tags: &[&str] = if at == 3 { &["A1 PH"] } else { &[] };
        let entry = looked(number, sheet, tags);
        let mut others = ["ida", "ivo", "sue"].into_iter();
        assert!(
            others.any(|by| works.write(by, entry.clone()).is_ok()),
            "sheet {sheet}"
        );
    }
}

/// Overrules in every direction, one sheet twice, one that is corrected afterwards.
fn overrule_some(works: &mut Works) {
    use Verdict::{Good, Mixed, Spoiled};
    let now = |works: &Works, number: u32| {
        let exam = works.lot("BW-7").sheet(sheet(number)).unwrap().exam.clone();
        exam.expect("an examined sheet").ruling.clone()
    };
    let mut seen = std::collections::BTreeSet::new();
    for number in 40..=240 {
        let ruling = now(works, number);
        let (from, defective) = (ruling.verdict, !ruling.defective.is_empty());
        for to in Verdict::ALL {
            let possible = to != from && (to != Mixed || defective);
            if possible && now(works, number).verdict == from && seen.insert((from, to, defective))
            {
                let seq = works.last_word("BW-7", number);
                works.must("sue", overruled("BW-7", number, seq, to));
            }
        }
    }
    assert!(seen.contains(&(Good, Spoiled, false)) && seen.contains(&(Mixed, Good, true)));
    assert!(seen.contains(&(Mixed, Spoiled, true)), "{seen:?}");
    for verdict in [Good, Mixed, Spoiled, Good, Mixed] {
        let seq = works.last_word("BW-7", 77);
        if now(works, 77).verdict != verdict {
            works.must("sue", overruled("BW-7", 77, seq, verdict));
        }
    }
    let seq = works.last_word("BW-7", 20);
    works.must("sue", overruled("BW-7", 20, seq, Good));
    let seq = works.last_word("BW-7", 20);
    works.must("ivo", corrected("BW-7", 20, seq, &["A1 PH"]));
}

fn examine_unnumbered(works: &mut Works) {
    works.must("ida", examined("L2", 1, 30, &[]));
    works.must("ida", examined("L2", 31, 31, &["A1 PH", "A2 PH", "A3 PH"]));
    works.must("ida", examined("L2", 32, 33, &["A1 OM"]));
    works.must("ida", examined("L2", 34, 34, &["- PU"]));
}

/// Two lots examined before numbering: BW-8 in two runs, with differences before and after, to be
/// drawn for and destroyed with the rest; BW-9 with a lost and a spoiled sheet, never numbered.
fn number_afterwards(works: &mut Works) {
    works.set_clock("2026-11-25", 13 * 3600);
    let plain = |lot: &str, sheets| {
        Entry::LotOpened(LotOpened {
            lot: id(lot),
            product: id("M50"),
            sheets,
            numbering: None,
        })
    };
    works.must("sue", plain("BW-8", 120));
    works.must("sue", plain("BW-9", 6));
    works.must("ida", examined("BW-9", 1, 5, &["A1 PH"]));
    works.must("ida", examined("BW-9", 6, 6, &["- PT"]));
    works.must("sue", lost("BW-9", 2));
    for (from, to, tags) in [
        (1, 40, &[][..]),
        (41, 44, &["A1 PH", "h2 PH"]),
        (45, 45, &["- PT"]),
        (46, 101, &[]),
        (102, 102, &["b:C3 PD"]),
        (103, 103, &["- HF"]),
        (104, 120, &[]),
    ] {
        works.must("ivo", examined("BW-8", from, to, tags));
    }
    works.must("sue", lost("BW-8", 42));
    works.must("sue", added("BW-8", 0, 2));
    works.must("ida", examined("BW-8", 121, 122, &["D1 PH"]));
    let format = checked_format("KD", CheckSystem::Mod37_36);
    let runs = vec![
        Run::down_stack(70, 5_000),
        Run {
            direction: Direction::Down,
            stride: 60,
            ..Run::down_stack(49, 80_000)
        },
    ];
    works.must("sue", lot_numbered("BW-8", NumberingSpec { format, runs }));
    works.must("sue", lost("BW-8", 60));
    works.must("sue", added("BW-8", 101, 3));
    works.must("ida", examined("BW-8", 123, 124, &["B4 PH"]));
    works.must("ida", examined("BW-8", 125, 125, &["- PT"]));
    let Entry::ReplacementsDrawn(mut data) = works.draw("BW-8", "R5") else {
        unreachable!("draw draws")
    };
    data.pairs.truncate(12);
    works.must("sue", Entry::ReplacementsDrawn(data));
}

/// Fills a container with spoils of the list and seals it.
fn seal(works: &mut Works, name: &str, seal_no: &str, items: &[Item]) {
    works.must("cal", container(name));
    works.must("cal", filled(name, items.iter().copied()));
    works.must("cal", sealed(name, seal_no, "cas"));
}

fn loose(works: &Works) -> Vec<Item> {
    let spoils = works.state().cage.spoils.iter();
    let loose = spoils.filter(|(_, place)| **place == Place::Loose);
    loose.map(|(item, _)| *item).collect()
}

fn replace_and_destroy(works: &mut Works) {
    works.set_clock("2026-11-25", 14 * 3600);
    let Entry::ReplacementsDrawn(mut data) = works.draw("BW-7", "R5") else {
        unreachable!("draw draws")
    };
    data.pairs.truncate(60);
    works.must("sue", Entry::ReplacementsDrawn(data));
    let notes = works.drawn("R5");
    works.must("sue", inserted("R5", notes[..40].to_vec()));
    works.must("sue", spoiled("R5", notes[40..47].to_vec()));
    works.must("sue", returned("R5", notes[47..52].to_vec()));
    let Entry::ReplacementsDrawn(mut data) = works.draw("BW-7", "R5") else {
        unreachable!("draw draws")
    };
    data.pairs.truncate(20);
    works.must("sue", Entry::ReplacementsDrawn(data));
    let items = loose(works);
    seal(works, "C-1", "0001", &items[..30]);
    seal(works, "C-2", "0002", &items[30..50]);
    works.set_clock("2026-11-25", 15 * 3600);
    let mut destruction = works.destruction("D-1", &["C-2", "C-1"]);
    destruction.containers[0].scale = Some(id("W1"));
    destruction.sample = Some(ResidueSample {
        measured: 60,
        above: 0,
    });
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    works.must(
        "cal",
        Entry::ResidueSent(residue(&["D-1"], "R-1", "2026-11-25")),
    );
    let items = loose(works);
    seal(works, "C-3", "0003", &items[items.len() - 5..]);
    works.must("cal", container("C-4"));
    works.must("cal", filled("C-4", items[..3].iter().copied()));
    trouble_in_the_cage(works);
}

/// Containers moved, held for every reason, counted again, sealed anew, corrected and retired;
/// spoils missing, found again and given up.
fn trouble_in_the_cage(works: &mut Works) {
    works.set_clock("2026-11-25", 16 * 3600);
    let items = loose(works);
    let [five, six, seven] = [&items[10..16], &items[16..20], &items[20..23]];
    for (name, number, items) in [
        ("C-5", "0005", five),
        ("C-6", "0006", six),
        ("C-7", "0007", seven),
    ] {
        seal(works, name, number, items);
        works.must("cas", moved(name, "cage, shelf 2"));
    }
    let entry = corrected_sealing(works, "C-5", "0015", Some(1_250_500));
    works.must("cal", entry);
    let entry = corrected_sealing(works, "C-5", "0005", Some(1_250_400));
    works.must("cal", entry);
    // The tare was written amiss, and the scale was not named; then neither was weighed after all.
    let (tare, scale) = (Some(Mass::from_milligrams(1_100_000)), Some(id("W1")));
    for weighed in [TareAndScale { tare, scale }, TareAndScale::default()] {
        let Entry::SealingCorrected(mut data) =
            corrected_sealing(works, "C-5", "0005", Some(1_250_400))
        else {
            unreachable!("it corrects a sealing")
        };
        data.weighed = Some(weighed);
        works.must("cal", Entry::SealingCorrected(data));
    }
    works.must("cal", seal_found("C-5", Some("0005"), false));
    works.must("cal", seal_found("C-5", Some("0099"), false));
    works.must("cal", seal_found("C-6", Some("0006"), true));
    works.must("cas", held("C-7", "  its lid is bent  "));
    // Two are missing from C-5, one of which lies in C-6 with a piece that the book had loose.
    let entry = recounted(works, "C-5", &five[..2], &[]);
    works.must("cal", entry);
    let entry = recounted(works, "C-6", &[], &[five[0], items[30]]);
    works.must("cas", entry);
    let entry = recounted(works, "C-7", &seven[..1], &[]);
    works.must("cas", entry);
    let entry = recounted(works, "C-7", &[], &seven[..1]);
    works.must("cas", entry);
    works.must("cal", resealed("C-6", "0016"));
    // The new one is torn so that nobody can read it.
    works.must("cas", seal_found("C-6", None, true));
    let entry = recounted(works, "C-6", &[], &[]);
    works.must("cas", entry);
    works.must("cal", resealed("C-6", "0026"));
    let Entry::ContainerResealed(mut data) = resealed("C-7", "0017") else {
        unreachable!("it seals anew")
    };
    data.gross = Some(Mass::from_milligrams(950_000));
    (data.tare, data.scale) = (Some(Mass::from_milligrams(900_000)), Some(id("W1")));
    works.must("cal", Entry::ContainerResealed(data));
    works.must("sue", lost_spoils([five[1], items[31], items[32]]));
    works.must("cal", found_spoils([items[32]]));
    works.must("cal", container("C-8"));
    works.must("cal", filled("C-8", items[33..36].iter().copied()));
    let filling = works.book.len() - 1;
    works.must(
        "cal",
        taken_out("C-8", Some("C-4"), &items[33..34], filling),
    );
    works.must("cal", taken_out("C-8", None, &items[34..36], filling));
    works.must("cal", retired("C-8"));
    // Given up and never found: all that was in C-9.
    seal(works, "C-9", "0009", &items[40..41]);
    works.must("cal", seal_found("C-9", None, false));
    let entry = recounted(works, "C-9", &items[40..41], &[]);
    works.must("cal", entry);
    works.must("cal", retired("C-9"));
}

/// Early on the 26th, still the 25th for the works; then the day's end moves to midnight.
fn second_day(works: &mut Works) {
    works.set_clock("2026-11-26", 4 * 3600);
    works.must("ivo", examined("BW-7", 261, 262, &["C2 IW"]));
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            cut_over_hour: 0,
            ..rules_by_cost()
        }),
    );
    let seq = works.book.len() - 2;
    works.must("ivo", corrected("BW-7", 262, seq, &["C2 IW", "C3 IW"]));
    let mut classes: Vec<_> = starter_catalogue().classes().to_vec();
    classes.retain(|class| class.code != id("HF"));
    let renamed = classes
        .iter_mut()
        .find(|class| class.code == id("IW"))
        .unwrap();
    (renamed.name, renamed.step) = ("wiped".to_owned(), Step::Screen);
    let classes = cullbook::inspect::Catalogue::new(classes).unwrap();
    works.must("sue", Entry::ClassesSet(ClassesSet { classes }));
    works.must("sue", lot("L3", 3, Some(numbered("KC", 3, 0))));
    works.must("ida", examined("L3", 1, 3, &["B2 IW"]));
    let draw = works.draw("L3", "R1");
    works.must("sue", draw);
    whole_sheets(works);
    let mut destruction = works.destruction("D-2", &["C-3"]);
    (destruction.particle_class, destruction.largest_particle_mm2) = (None, None);
    destruction.method = Method::Pulping;
    works.must("sue", paper("M20"));
    destruction.containers[0].scale = Some(id("W1"));
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    works.must(
        "cal",
        Entry::ResidueSent(residue(&["D-2"], "R-2", "2026-11-26")),
    );
    sessions_by_steps(works);
}

/// D-3 is given up; D-4 counts a drawn sample of E-5 and leaves E-6 out, of which a drawn piece is
/// not there; a witness goes and comes back; afterwards machine and a mass are corrected.
fn sessions_by_steps(works: &mut Works) {
    let count = Count::Sample {
        missing: 3,
        risk_percent: 10,
    };
    let cut_over_hour = 0;
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            count,
            cut_over_hour,
            ..whole_sheet_rules()
        }),
    );
    let items = loose(works);
    seal(works, "E-5", "0115", &items[..25]);
    seal(works, "E-6", "0116", &items[25..37]);
    seal(works, "E-7", "0117", &items[37..38]);
    works.must("cal", begin("D-3", &["E-5"]));
    works.must("cal", abandoned("D-3"));
    works.must("cal", begin("D-4", &["E-6", "E-5", "E-7"]));
    let mut seals = works.right(Stage::Seals);
    if let Done::Seals(list) = &mut seals {
        list[2].broken = true;
    }
    works.try_step("cal", seals).unwrap();
    works.must("ivo", failed_key("wim", 3));
    works.up_to(Stage::Count);
    works.must("cal", left("D-4", "wim", None));
    works.must("cal", came("D-4", "wim"));
    let right = works.right(Stage::Count);
    let drawn = works.log().declared[0].drawn.clone().unwrap();
    works.try_step("cal", without(right, drawn[1])).unwrap();
    works.up_to(Stage::Start);
    let anew = works.right(Stage::Weigh);
    works.try_step("sue", anew).unwrap();
    works.up_to(Stage::Statement);
    let record = works.record();
    assert_eq!(record.left_out[0].container, id("E-6"));
    assert!(matches!(record.left_out[0].why, Differs::Absent { .. }));
    works.must("cal", Entry::SpoilsDestroyed(record));
    let machine = Fact::Machine("Shredder 2b".to_owned());
    works.must("sue", fact_corrected("D-4", machine, "cal"));
    let masses = Fact::Masses(Weighed {
        container: id("E-5"),
        gross: Mass::from_milligrams(5_100_500),
        tare: Mass::from_milligrams(4_000_500),
        scale: Some(id("W1")),
        off_because: None,
    });
    works.must("sue", fact_corrected("D-4", masses, "cas"));
}

/// The count with one drawn piece of the first container missing.
fn without(count: Done, piece: Item) -> Done {
    let Done::Count(mut list) = count else {
        unreachable!("a count")
    };
    if let Counted {
        counted: Counting::Sample { absent, .. },
        ..
    } = &mut list[0]
    {
        absent.push(piece);
    }
    Done::Count(list)
}

/// Three spoiled sheets and two replacement sheets: sheets while they last, then loose notes; of
/// one sheet a part is lost again, of the other all of it.
fn whole_sheets(works: &mut Works) {
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            cut_over_hour: 0,
            ..whole_sheet_rules()
        }),
    );
    works.must(
        "sue",
        Entry::SeriesAdded(sheet_series("R6", "M20", 3, 5_000)),
    );
    works.must("sue", lot("L6", 5, Some(numbered("KE", 5, 0))));
    works.must("ivo", examined("L6", 1, 2, &["- PT"]));
    works.must("ivo", examined("L6", 3, 3, &["A2 PH"]));
    works.must("ivo", examined("L6", 4, 5, &["- PT"]));
    for (series, most) in [("R6", 12), ("R1", 1)] {
        let draws = works.draw_some("L6", series, most).unwrap();
        works.write_all("sue", draws).unwrap();
    }
    let sheets = works.drawn("R6");
    works.must("sue", spoiled("R6", sheets[..2].to_vec()));
    works.must("sue", returned("R6", sheets[6..12].to_vec()));
    works.must("sue", inserted("R6", sheets[2..6].to_vec()));
    for (series, most) in [("R6", 6), ("R1", 9)] {
        let draws = works.draw_some("L6", series, most).unwrap();
        works.write_all("sue", draws).unwrap();
    }
}

/// The book and the tables of a day, as files.
fn exported(works: &Works, day: &str, folder: &Path) -> (PathBuf, PathBuf) {
    let book = folder.join("book.jsonl");
    std::fs::write(&book, works.book.to_jsonl()).unwrap();
    let day: Day = id(day);
    let zip = folder.join(format!("{day}.zip"));
    let record = day_record(&works.book, day).expect("an open book");
    std::fs::write(&zip, day_zip(&record)).unwrap();
    (book, zip)
}

/// A settled works that goes on from a checkpoint, and works on the day after.
fn cut_works() -> Works {
    let mut works = Works::staffed();
    let classes = starter_catalogue();
    works.must("sue", Entry::ClassesSet(ClassesSet { classes }));
    works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    works.must("sue", lot("L2", 5, None));
    works.must("ida", examined("L1", 1, 4, &["A1 PH"]));
    works.must("ivo", examined("L1", 5, 5, &["- PT"]));
    works.must("ida", examined("L1", 6, 12, &[]));
    let seq = works.last_word("L1", 7);
    works.must("ivo", corrected("L1", 7, seq, &["A2 OM", "B2 OM"]));
    works.must("ida", examined("L2", 1, 5, &["b:A3 PD"]));
    works.must("sue", lost("L2", 2));
    let left = works.lot("L2").survivors().len();
    works.must("sue", lot_numbered("L2", numbered("KB", left, 0)));
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let notes = works.drawn("R1");
    works.must("sue", spoiled("R1", notes[..2].to_vec()));
    works.must("sue", returned("R1", notes[2..3].to_vec()));
    let again = works.draw("L1", "R1");
    works.must("sue", again);
    let notes = works.drawn("R1");
    works.must("sue", inserted("R1", notes));
    works.must("cal", container("C-1"));
    let fill = works.fill("C-1");
    works.must("cal", fill);
    works.must("cal", sealed("C-1", "S-1", "cas"));
    let destruction = works.destruction("D-1", &["C-1"]);
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    works.must("cal", container("C-2"));
    works.must("sue", lot_closed("L1"));
    works.must("sue", lot_closed("L2"));
    works.must("sue", day_closed("2026-11-25"));
    works.must(
        "sue",
        Entry::PersonRetired(PersonRetired { person: id("wim") }),
    );
    works.must("sue", rekeyed("wes"));
    let copy = copy_taken(&works.book);
    works.must("ivo", copy);
    works.set_clock("2026-11-26", 9 * 3600);
    let checkpoint = works.checkpoint("cal");
    works.must("sue", checkpoint);
    works.must("sue", lot("L3", 12, Some(numbered("KC", 12, 0))));
    works.must("ida", examined("L3", 1, 3, &["A1 PH", "B3 OM"]));
    works.must("ivo", examined("L3", 4, 4, &["- PT"]));
    let draw = works.draw("L3", "R1");
    works.must("sue", draw);
    let notes = works.drawn("R1");
    works.must("sue", inserted("R1", notes[..4].to_vec()));
    let fill = works.fill("C-2");
    works.must("cal", fill);
    works.must("cal", sealed("C-2", "S-2", "cas"));
    works
}

/// With the archive Python works out what was carried over; without it, it goes on from there.
#[test]
fn a_book_that_goes_on_from_a_checkpoint_is_worked_out_with_and_without_its_archive() {
    let works = cut_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, zip) = exported(&works, "2026-11-26", folder.path());
    let (agrees, said) = recompute(&book, &zip);
    assert!(agrees, "with the archive:\n{said}");
    let whole = works.book.to_jsonl();
    let first = works.state().archive.lines();
    let rest: String = whole.split_inclusive('\n').skip(first as usize).collect();
    let alone = Book::read_file(rest.as_bytes()).unwrap();
    assert_eq!(alone.first_seq(), first);
    let record = day_record(&alone, id("2026-11-26")).unwrap();
    let made = std::fs::read(&zip).unwrap();
    assert_eq!(day_zip(&record), made, "the same tables, byte for byte");
    std::fs::write(&book, &rest).unwrap();
    let (agrees, said) = recompute(&book, &zip);
    assert!(agrees, "without the archive:\n{said}");
    // A checkpoint that carries something else over, honestly signed: the archive shows it.
    let (forged, head) = carried_otherwise(&works, first);
    std::fs::write(&book, &forged).unwrap();
    let record = DayRecord { head, ..record };
    std::fs::write(&zip, day_zip(&record)).unwrap();
    let (agrees, said) = recompute(&book, &zip);
    assert!(!agrees && said.contains("carries over other"), "{said}");
    assert!(Book::read_file(forged.as_bytes()).is_err());
}

/// The book up to its checkpoint, which is signed anew over one settled note less.
fn carried_otherwise(works: &Works, first: u64) -> (String, Hash) {
    let whole = works.book.to_jsonl();
    let before: String = whole.split_inclusive('\n').take(first as usize).collect();
    let line = Line::read(works.book.text(first).unwrap()).unwrap();
    let Entry::BookCheckpoint(mut data) = line.entry else {
        unreachable!("it is a checkpoint")
    };
    data.carried.series[0].settled.returned = 0;
    let entry = Entry::BookCheckpoint(data);
    let book = Book::read_file(before.as_bytes()).unwrap();
    let countersigned = Countersigned {
        statement: book.statement(id("sue"), &entry).unwrap(),
        also: countersigned(&book, id("sue"), &entry),
    };
    let line = Line::write(line.header, entry, Some(countersigned), &key("sue")).unwrap();
    (format!("{before}{}\n", line.text), line.hash)
}

fn recompute(book: &Path, zip: &Path) -> (bool, String) {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/day_record.py");
    let mut python = Command::new("python3");
    let output = python.args(["-B", script]).arg(book).arg(zip).output();
    let output = output.expect("python3 is installed");
    let said = [output.stdout, output.stderr].concat();
    (
        output.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

#[test]
fn every_cell_is_worked_out_alike_from_the_lines() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    for day in ["2026-11-25", "2026-11-26", "2026-11-24"] {
        let (book, zip) = exported(&works, day, folder.path());
        let (agrees, said) = recompute(&book, &zip);
        assert!(agrees, "{day}:\n{said}");
    }
}

/// The busy works and two small benches, one of which has ruled a sheet that the other has, too.
fn three_benches() -> [Works; 3] {
    let bench = |name: &str, book: u128, first: u32| {
        let opening = BookOpened {
            book: uuid::Uuid::from_u128(book),
            ..opening()
        };
        let mut works = Works::of_bench(name, opening);
        works.staff();
        let classes = starter_catalogue();
        works.must("sue", Entry::ClassesSet(ClassesSet { classes }));
        works.must("sue", lot("L9", 12, Some(numbered("ZK", 12, 0))));
        works.must("ida", examined("L9", first, first + 3, &["A1 PH"]));
        works.must("ivo", examined("L9", first + 4, first + 4, &["- PT"]));
        works.must("ivo", examined("L9", first + 5, first + 6, &[]));
        works
    };
    [busy_works(), bench("B2", 2, 1), bench("B3", 3, 6)]
}

#[test]
fn a_day_of_several_benches_is_worked_out_alike() {
    let folder = tempfile::tempdir().unwrap();
    let benches = three_benches();
    let books: Vec<&dyn Chained> = benches.iter().map(|works| &works.book as _).collect();
    let files: Vec<PathBuf> = (1..)
        .zip(&benches)
        .map(|(number, works)| {
            let path = folder.path().join(format!("{number}.jsonl"));
            std::fs::write(&path, works.book.to_jsonl()).unwrap();
            path
        })
        .collect();
    let zip = folder.path().join("day.zip");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/several_day.py");
    let recompute = |zip: &Path| {
        let mut python = Command::new("python3");
        let output = python.args(["-B", script]).arg(zip).args(&files).output();
        let output = output.expect("python3 is installed");
        let said = [output.stdout, output.stderr].concat();
        (output.status.success(), String::from_utf8(said).unwrap())
    };
    let check = |books: &[PathBuf], zip: &Path| {
        let mut arguments: Vec<&std::ffi::OsStr> = vec!["export".as_ref()];
        arguments.extend(books.iter().map(|book| book.as_os_str()));
        arguments.push(zip.as_ref());
        audit(&arguments)
    };
    for day in ["2026-11-25", "2026-11-26"] {
        let day = several_day(&books, id(day)).expect("open books");
        // Sheets 6 and 7, which both benches ruled.
        assert_eq!(day.lots[&id("L9")].contested, 2);
        assert!(!day.conflicts.is_empty());
        std::fs::write(&zip, several_zip(&day).unwrap()).unwrap();
        let (agrees, said) = recompute(&zip);
        assert!(agrees, "{said}");
        let mut backwards = files.clone();
        backwards.reverse();
        let (code, out, said) = check(&backwards, &zip);
        assert_eq!(code, Some(0), "{out}{said}");
        assert!(out.contains("agrees with 3 books"), "{out}");
    }
    let (code, _, said) = check(&files[..2], &zip);
    assert!(
        code == Some(1) && said.contains("which this book does not have"),
        "{said}"
    );
    let mut day = several_day(&books, id("2026-11-25")).expect("open books");
    day.together.examined[0].good += 1;
    day.benches[1].1.sheets[0].reason.push('.');
    std::fs::write(&zip, several_zip(&day).unwrap()).unwrap();
    let (agrees, said) = recompute(&zip);
    assert!(!agrees, "{said}");
    for place in ["examined, row 1, good", "sheets, row "] {
        assert!(said.contains(place), "{place}: {said}");
    }
    let (code, out, _) = check(&files, &zip);
    assert_eq!(code, Some(2));
    assert!(out.contains("_examined.csv: row 1, good"), "{out}");
    let (code, _, said) = check(&files[..1], &zip.with_extension("csv"));
    assert!(code == Some(3), "{said}");
}

/// The short code of every head, from its description alone.
#[test]
fn the_code_of_every_head_is_worked_out_alike() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.jsonl");
    std::fs::write(&path, works.book.to_jsonl()).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/head_code.py");
    let output = Command::new("python3").arg(script).arg(&path).output();
    let output = output.expect("python3 runs");
    assert!(output.status.success(), "{output:?}");
    let codes = works.book.texts().iter().zip(1..).map(|(text, entries)| {
        let hash = Hash::of_line(text.as_bytes());
        HeadCode::new(entries, &hash).to_string()
    });
    let codes: Vec<String> = codes.collect();
    let theirs = String::from_utf8(output.stdout).expect("text");
    assert_eq!(theirs.lines().collect::<Vec<_>>(), codes);
}

#[test]
fn the_busy_works_is_busy() {
    let works = busy_works();
    let record = day_record(&works.book, id("2026-11-25")).unwrap();
    assert!(record.sheets.len() > 100, "{}", record.sheets.len());
    assert!(record.sheets.iter().any(|row| row.verdict == "spoiled"));
    assert_eq!(record.replacements.len(), 92);
    assert_eq!((record.acts.sessions, record.acts.corrections), (1, 4));
    // Three in the sweep, five on sheet 77, one on sheet 20.
    assert_eq!(record.acts.overrulings, 9);
    assert!(record.acts.on_machines_word > 50);
    assert!(record.sheets.iter().any(|row| row.verdict == "good"));
    let states: Vec<_> = record.containers.iter().map(|row| row.state).collect();
    let open_and = [
        "destroyed",
        "destroyed",
        "open",
        "held",
        "sealed",
        "sealed",
        "retired",
        "retired",
        "held",
        "held",
    ];
    assert_eq!(states, open_and);
    assert_eq!(record.acts.spoils_declared_lost, 3);
    assert_eq!(record.acts.custody_corrections, 6);
    assert_eq!(record.carried.spoils_missing, 1);
    assert_eq!(
        record.closed.as_ref().map(|closed| closed.late_entries),
        Some(3)
    );
    let differences = record.balance.iter().filter(|row| row.side == "difference");
    let (spoils, others): (Vec<_>, Vec<_>) = differences.partition(|row| row.identity == "Spoils");
    assert!(others.iter().all(|row| row.count == 0));
    // The piece missing from C-9, once in its lot and once in the whole book.
    assert_eq!(spoils.iter().map(|row| row.count).sum::<i64>(), -2);
    // Charts of three lots, findings of both kinds, and what each correction said.
    assert_eq!(record.charts.len(), 2 * 4);
    assert!(record.charts.iter().all(|chart| !chart.points.is_empty()));
    assert!(
        record.findings.iter().any(|row| row.kind == "column"),
        "{:?}",
        record.findings
    );
    assert!(
        record.findings.iter().any(|row| row.kind == "repeater"),
        "{:?}",
        record.findings
    );
    // Four of sheets, nine overrulings, six of fillings and sealings.
    assert_eq!(record.amendments.len(), 4 + 9 + 6);
    let next = day_record(&works.book, id("2026-11-26")).unwrap();
    assert!(
        next.remarks
            .iter()
            .any(|text| text.contains("Session D-2 began"))
    );
    assert_eq!(
        (next.compared[0].days, next.compared[0].change.is_some()),
        (1, true)
    );
    assert_eq!((next.containers.len(), next.sessions.len()), (8, 2));
    assert_eq!(next.acts.corrections, 1);
}

#[test]
fn the_same_book_gives_the_same_bytes() {
    let works = busy_works();
    let again = Book::read(works.book.to_jsonl().lines()).unwrap();
    let zip = |book: &Book| day_zip(&day_record(book, id("2026-11-25")).unwrap());
    assert_eq!(zip(&works.book), zip(&again));
}

/// Writes the archive anew with one cell of a table changed, and its checksum made right.
fn altered(works: &Works, zip: &Path, change: impl Fn(&mut cullbook::export::DayRecord)) {
    let mut record = day_record(&works.book, id("2026-11-25")).unwrap();
    change(&mut record);
    std::fs::write(zip, day_zip(&record)).unwrap();
}

#[test]
fn one_altered_figure_of_any_table_is_found() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, zip) = exported(&works, "2026-11-25", folder.path());
    type Change = fn(&mut cullbook::export::DayRecord);
    let changes: [(&str, Change); 26] = [
        ("day, row 14", |record| record.acts.overrulings += 1),
        ("day, row 15", |record| record.acts.on_machines_word -= 1),
        ("day, row 20", |record| record.acts.containers_sealed += 1),
        ("examined, row 1, notes_spoiled", |record| {
            record.examined[0].notes_spoiled += 1
        }),
        ("tags, row 1, share_ppm", |record| {
            record.tags[0].share_ppm += 1
        }),
        ("sheets, row 2, reason", |record| {
            record.sheets[1].reason.push('.')
        }),
        ("replacements, row 3, box", |record| {
            record.replacements[2].box_no += 1
        }),
        ("containers, row 1, seal", |record| {
            record.containers[0].seal = None
        }),
        ("containers, row 4, held_for", |record| {
            record.containers[3].held_for = None
        }),
        ("day, row 25", |record| {
            record.acts.spoils_declared_lost -= 1
        }),
        ("day, row 41", |record| record.carried.spoils_missing += 1),
        ("spoils, row 1, entry", |record| {
            record.spoils[0].entry = None
        }),
        ("spoils", |record| drop(record.spoils.pop())),
        ("sessions, row 1, gross_mg", |record| {
            record.sessions[0].gross_mg += 1
        }),
        ("sessions, row 1, particles_measured", |record| {
            record.sessions[0].particles_measured = Some(61);
        }),
        ("weighings, row 1, expanded_mg", |record| {
            record.weighings[0].expanded_mg = record.weighings[0].expanded_mg.map(|mg| mg + 1);
        }),
        ("residue, row 1, tolerance_mg", |record| {
            record.residue[0].tolerance_mg = record.residue[0].tolerance_mg.map(|mg| mg + 1);
        }),
        ("day, row 26", |record| {
            record.carried_in.sheets_not_examined += 1
        }),
        ("remarks", |record| record.remarks.push("Quiet.".to_owned())),
        ("compared, row 1, days", |record| {
            record.compared[0].days += 1
        }),
        ("charts, row 2, upper_ppm", |record| {
            record.charts[0].points[1].upper_ppm += 1
        }),
        ("charts, row 2, rules", |record| {
            let heard = record.charts[0].points[1].signals.is_empty();
            let first = record.charts[0].points[0].signals.clone();
            record.charts[0].points[1].signals = if heard { always() } else { first };
        }),
        ("findings, row 1, q_ppb", |record| {
            record.findings[0].q_ppb += 1
        }),
        ("corrections, row 3, reason", |record| {
            record.amendments[2].reason.push('.')
        }),
        ("series, row 1, left", |record| record.series[0].left += 1),
        ("balance, row 2, count", |record| {
            record.balance[1].count -= 1
        }),
    ];
    for (place, change) in changes {
        altered(&works, &zip, change);
        let (agrees, said) = recompute(&book, &zip);
        assert!(!agrees, "{place}: {said}");
        assert!(said.contains(place), "{place}: {said}");
    }
}

/// A rule that no chart of the busy works completes at its second stack alone.
fn always() -> Vec<cullbook::export::Heard> {
    let heard = cullbook::export::Heard {
        rule: "W4",
        from: 0,
        sentence: "",
    };
    vec![heard]
}

#[test]
fn one_altered_byte_of_the_book_is_found() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, zip) = exported(&works, "2026-11-25", folder.path());
    let file = works.book.to_jsonl();
    let changed = file.replacen("\"to\":265", "\"to\":266", 1);
    assert_ne!(changed, file);
    std::fs::write(&book, &changed).unwrap();
    let (agrees, said) = recompute(&book, &zip);
    assert!(
        !agrees && said.contains("does not carry the signature of ivo"),
        "{said}"
    );
    // A book cut short still holds, but is not the one that the tables are of.
    let short: String = file
        .lines()
        .rev()
        .skip(1)
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(&book, short).unwrap();
    let (agrees, said) = recompute(&book, &zip);
    assert!(
        !agrees && said.contains("README.txt does not name the head"),
        "{said}"
    );
}

/// Opened with openpyxl and with LibreOffice, the workbook holds what the tables hold.
#[test]
fn the_workbook_holds_what_the_tables_hold() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/workbook.py");
    for day in ["2026-11-25", "2026-11-24"] {
        let (_, zip) = exported(&works, day, folder.path());
        let record = day_record(&works.book, id(day)).unwrap();
        let xlsx = zip.with_extension("xlsx");
        let bytes = day_xlsx(&record).unwrap();
        assert_eq!(bytes, day_xlsx(&record).unwrap(), "the same bytes");
        std::fs::write(&xlsx, bytes).unwrap();
        let run = |xlsx: &Path| {
            let mut python = Command::new("python3");
            let output = python.args(["-B", script]).arg(&zip).arg(xlsx).output();
            let output = output.expect("python3 is installed");
            let said = [output.stdout, output.stderr].concat();
            (
                output.status.success(),
                String::from_utf8_lossy(&said).into_owned(),
            )
        };
        let (agrees, said) = run(&xlsx);
        assert!(agrees, "{day}:\n{said}");
        let mut other = record.clone();
        other.acts.entries += 1;
        std::fs::write(&xlsx, day_xlsx(&other).unwrap()).unwrap();
        let (agrees, said) = run(&xlsx);
        let both = [
            "day, row 12, value",
            "through LibreOffice: day, row 12, value",
        ];
        let named = both.map(|start| said.lines().any(|line| line.starts_with(start)));
        assert_eq!((agrees, named), (false, [true; 2]), "{said}");
    }
}

#[test]
fn the_auditor_makes_an_export_again_and_names_what_differs() {
    use cullbook::export::picture::{position_map, save_map};
    let mut works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (_, zip) = exported(&works, "2026-11-25", folder.path());
    let record = day_record(&works.book, id("2026-11-25")).unwrap();
    let [xlsx, svg] = ["xlsx", "svg"].map(|ending| zip.with_extension(ending));
    std::fs::write(&xlsx, day_xlsx(&record).unwrap()).unwrap();
    let lot = works.lot("BW-7");
    let map = position_map(lot, &Press::of_day(lot, record.day), Side::Back, None).unwrap();
    std::fs::write(&svg, save_map(&record, &map)).unwrap();
    // The book has grown since: it is checked as it was when the files were made.
    let copy = copy_taken(&works.book);
    works.must("ivo", copy);
    let (book, _) = exported(&works, "2026-11-26", folder.path());
    let check = |file: &Path| audit(&["export".as_ref(), book.as_ref(), file.as_ref()]);
    for file in [&zip, &xlsx, &svg] {
        let (code, out, said) = check(file);
        assert_eq!(code, Some(0), "{out}{said}");
        assert!(out.contains("agrees with the book's first"), "{out}");
    }
    altered(&works, &zip, |record| {
        record.head = works.book.head();
        record.sheets[1].reason.push('.');
    });
    let (code, out, _) = check(&zip);
    assert_eq!(code, Some(2));
    assert!(out.contains("_sheets.csv: row 2, reason: "), "{out}");
    let mut other = record.clone();
    other.acts.entries += 1;
    std::fs::write(&xlsx, day_xlsx(&other).unwrap()).unwrap();
    let (code, out, _) = check(&xlsx);
    assert_eq!(code, Some(2));
    assert!(
        out.contains("xl/worksheets/sheet2.xml is not what"),
        "{out}"
    );
    other.head = Hash::of_file(b"elsewhere");
    std::fs::write(&zip, day_zip(&other)).unwrap();
    let (code, _, said) = check(&zip);
    assert!(
        code == Some(1) && said.contains("which this book does not have"),
        "{said}"
    );
    std::fs::write(&svg, "<svg/>").unwrap();
    let (code, _, said) = check(&svg);
    assert!(code == Some(3) && said.contains("names no head"), "{said}");
}

fn audit(arguments: &[&std::ffi::OsStr]) -> (Option<i32>, String, String) {
    let mut audit = Command::new(env!("CARGO_BIN_EXE_cullbook-audit"));
    let output = audit.args(arguments).output().expect("the auditor runs");
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

#[test]
fn the_auditor_lays_books_together() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, works: &Works| {
        let path = folder.path().join(name);
        std::fs::write(&path, works.book.to_jsonl()).unwrap();
        path
    };
    let short = Works::with_lot();
    let (mut long, mut fork) = (short.clone(), short.clone());
    long.must("ida", examined("L1", 1, 6, &[]));
    fork.must("ivo", examined("L1", 1, 6, &["A1 PH"]));
    let names = [("short", &short), ("long", &long), ("fork", &fork)];
    let [short, long, fork] = names.map(|(name, works)| file(name, works));
    let (code, out, _) = audit(&["compare".as_ref(), short.as_ref(), long.as_ref()]);
    assert_eq!(code, Some(0));
    assert!(
        out.contains("Left out: bench B1") && out.contains("The books agree."),
        "{out}"
    );
    assert!(out.contains("Lot L1: 12 sheets; 6 good"), "{out}");
    let (code, out, _) = audit(&["compare".as_ref(), long.as_ref(), fork.as_ref()]);
    assert_eq!(code, Some(2));
    assert!(
        out.contains("1. ALARM") && out.contains("1 conflict."),
        "{out}"
    );
    let merge = [
        "merge".as_ref(),
        fork.as_ref(),
        short.as_ref(),
        long.as_ref(),
        "--json".as_ref(),
    ];
    let (code, out, _) = audit(&merge);
    assert_eq!(code, Some(2));
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["conflicts"][0]["conflict"]["conflict"], "forked");
    assert_eq!(answer["books"].as_array().map(Vec::len), Some(2));
    std::fs::write(&fork, "not a book\n").unwrap();
    let (code, _, said) = audit(&["merge".as_ref(), long.as_ref(), fork.as_ref()]);
    assert_eq!(code, Some(1));
    assert!(said.contains("fork") && said.contains("Line 0"), "{said}");
}

#[test]
fn the_auditor_checks_a_certificate_against_its_book() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = exported(&works, "2026-11-25", folder.path());
    let file = folder.path().join("certificate-D-1.json");
    let certified = |session| {
        let made = cullbook::export::certificate(works.state(), session);
        made.to_json().unwrap()
    };
    let session = &works.state().sessions[0];
    let json = certified(session);
    let check = |json: &str| {
        std::fs::write(&file, json).unwrap();
        audit(&["certificate".as_ref(), book.as_ref(), file.as_ref()])
    };
    let (code, out, said) = check(&json);
    assert_eq!(code, Some(0), "{said}");
    assert!(
        out.contains(&format!("holds. Session D-1, entry {}", session.seq)),
        "{out}"
    );
    let (code, _, said) = check(&json.replacen("\"notes\": ", "\"notes\": 1", 1));
    assert_ne!(code, Some(0));
    assert!(said.contains("containers[0].notes"), "{said}");
    // Corrected since it was certified, and begun once before.
    let corrected = works.state().sessions.last().unwrap();
    let json = certified(corrected);
    assert!(json.contains("D-3, abandoned before"), "{json}");
    let (code, out, said) = check(&json);
    assert_eq!(code, Some(0), "{said}");
    assert_eq!(
        out.matches("Corrected since, in entry ").count(),
        2,
        "{out}"
    );
    let (code, _, said) = check(&json.replace("D-3, abandoned", "D-5, abandoned"));
    assert_ne!(code, Some(0));
    assert!(said.contains("begun_before[0].session"), "{said}");
}

#[test]
fn the_auditor_answers_a_head_that_was_kept() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = exported(&works, "2026-11-25", folder.path());
    let ask = |kept: &str| audit(&["head".as_ref(), book.as_ref(), kept.as_ref()]);
    let head = works.book.whole_head().unwrap();
    for kept in [head.code().to_string(), head.hash.to_string()] {
        let (code, out, said) = ask(&kept);
        assert_eq!(code, Some(0), "{said}");
        assert!(out.contains("contains this head"), "{out}");
        assert!(out.contains("0 lines follow it"), "{out}");
    }
    let other = HeadCode::new(3, &Hash::NONE).to_string();
    let (code, _, said) = ask(&other);
    assert_eq!(code, Some(1));
    assert!(said.contains(&format!("has the head {other}")), "{said}");
    let (code, _, said) = ask("3-000");
    assert_eq!(code, Some(3));
    assert!(said.contains("is not a head"), "{said}");
}

#[test]
fn the_auditor_verifies_and_names_the_first_bad_line() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = exported(&works, "2026-11-25", folder.path());
    let head = works.book.head().to_string();
    let (code, out, _) = audit(&["verify".as_ref(), book.as_ref()]);
    assert_eq!(code, Some(0));
    assert!(
        out.contains(&format!("holds. {} lines, head {head}", works.book.len())),
        "{out}"
    );
    let (code, out, _) = audit(&["head".as_ref(), book.as_ref()]);
    assert_eq!((code, out), (Some(0), format!("{head}\n")));
    let other = "0".repeat(64);
    let with_head = |head: &str| {
        audit(&[
            "verify".as_ref(),
            book.as_ref(),
            "--head".as_ref(),
            head.as_ref(),
        ])
    };
    assert_eq!(with_head(&head).0, Some(0));
    let (code, _, said) = with_head(&other);
    assert_eq!(code, Some(1));
    assert!(said.contains("Lines at the end are missing"), "{said}");

    let file = works.book.to_jsonl();
    let lines: Vec<&str> = file.lines().collect();
    let at = lines
        .iter()
        .position(|line| line.contains("\"to\":265"))
        .unwrap();
    std::fs::write(&book, file.replacen("\"to\":265", "\"to\":266", 1)).unwrap();
    let (code, _, said) = audit(&["verify".as_ref(), book.as_ref()]);
    assert_eq!(code, Some(1));
    assert!(
        said.contains(&format!("Line {at} does not carry the signature of ivo")),
        "{said}"
    );
    std::fs::write(&book, file.replace('\n', "\r\n")).unwrap();
    assert_eq!(audit(&["verify".as_ref(), book.as_ref()]).0, Some(1));
    std::fs::write(&book, b"\xff\n").unwrap();
    let (_, _, said) = audit(&["head".as_ref(), book.as_ref()]);
    assert!(said.contains("Line 0 is not text in UTF-8"), "{said}");
    std::fs::write(&book, "").unwrap();
    let (code, _, said) = audit(&["totals".as_ref(), book.as_ref()]);
    assert_eq!(code, Some(1));
    assert!(said.contains("The book is empty"), "{said}");
}

#[test]
fn the_auditors_totals_are_those_of_the_tables() {
    let works = busy_works();
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = exported(&works, "2026-11-25", folder.path());
    let (code, out, said) = audit(&["totals".as_ref(), book.as_ref()]);
    assert_eq!(code, Some(0), "{said}");
    let totals: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(totals["head"], works.book.head().to_string());
    assert_eq!(totals["days"].as_array().unwrap().len(), 2);
    for (place, day) in [(0, "2026-11-25"), (1, "2026-11-26")] {
        let record = serde_json::to_value(day_record(&works.book, id(day)).unwrap()).unwrap();
        let of_day = &totals["days"][place];
        for part in [
            "day",
            "closed",
            "acts",
            "carried_in",
            "carried",
            "examined",
            "tags",
        ] {
            assert_eq!(of_day[part], record[part], "{day} {part}");
        }
        assert_eq!(totals["balance"], record["balance"]);
    }
    let now = serde_json::to_value(carried(works.state())).unwrap();
    assert_eq!(totals["carried"], now);
    let whole_day = &totals["days"][0]["examined"][0];
    assert_eq!(whole_day["by"], "day");
    assert!(whole_day["spoilage"]["low_ppm"].as_u64() < whole_day["spoilage"]["ppm"].as_u64());
}
