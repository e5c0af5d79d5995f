//! Every refusal that an entry can meet, each with the state left as it was.

use cullbook::book::*;
use cullbook::inspect::{Limit, Rules, RulesError, TagError, Verdict};
use cullbook::people::{Duty, Role};
use cullbook::sheet::{LayoutError, NumberingError, SeriesError};

use super::works::*;

#[test]
fn a_book_is_opened_once_and_by_its_supervisor() {
    let empty = Book::default();
    let mut works = Works::opened();
    let close = vec![day_closed("2026-11-25")];
    let refused = works.author("sue", |author| empty.prepare(author, close));
    assert_eq!(refused.unwrap_err(), Refusal::NotOpened);
    assert_eq!(
        works.refused("sue", Entry::BookOpened(opening())),
        Refusal::OpenedTwice
    );

    let mut open = |by: &str, data| works.author(by, |author| Book::open(id("B1"), author, data));
    let mut nameless = opening();
    nameless.works = "  ".to_owned();
    assert_eq!(
        open("sue", nameless).unwrap_err(),
        Refusal::Empty { field: "Works" }
    );
    let mut long = opening();
    long.works = "B".repeat(61);
    let too_long = Refusal::TooLong {
        field: "Works",
        max: 60,
    };
    assert_eq!(open("sue", long).unwrap_err(), too_long);
    assert_eq!(
        open("ida", opening()).unwrap_err(),
        Refusal::UnknownPerson(id("ida"))
    );
    let mut headless = opening();
    headless.supervisor = person("sue", &[Role::Inspector], false);
    let (person, role) = (id("sue"), Role::Supervisor);
    assert_eq!(
        open("sue", headless).unwrap_err(),
        Refusal::LastOf { person, role }
    );
}

#[test]
fn only_who_is_enrolled_and_trusted_with_it_may_act() {
    let mut works = Works::destroyed();
    let unknown = works.refused("zoe", lot_closed("L1"));
    assert_eq!(unknown, Refusal::UnknownPerson(id("zoe")));
    let destruction = works.destruction("D2", &["C1"]);
    let forbidden = [
        ("ida", product("M50"), Duty::RunTheOffice),
        ("ida", lot("L2", 4, None), Duty::RunTheOffice),
        ("cal", examined("L1", 1, 1, &[]), Duty::Examine),
        (
            "wim",
            Entry::MachineRead(machine("L1", &[])),
            Duty::ReadMachineFile,
        ),
        ("ida", overruled("L1", 2, 17, Verdict::Good), Duty::Overrule),
        ("ida", drawn("L1", "R1", Vec::new()), Duty::DrawReplacements),
        ("cal", inserted("R1", Vec::new()), Duty::DrawReplacements),
        ("cal", spoiled("R1", Vec::new()), Duty::DrawReplacements),
        ("ida", container("C2"), Duty::FillContainers),
        ("wim", filled("C1", []), Duty::FillContainers),
        ("ida", sealed("C1", "S-2", "cas"), Duty::Seal),
        (
            "wes",
            Entry::SpoilsDestroyed(destruction),
            Duty::LeadDestruction,
        ),
        ("cal", lot_closed("L1"), Duty::Close),
        ("ida", day_closed("2026-11-25"), Duty::Close),
    ];
    for (by, entry, duty) in forbidden {
        let person = id(by);
        assert_eq!(
            works.refused(by, entry),
            Refusal::NotAllowed { person, duty }
        );
    }
    let copy = copy_taken(&works.book);
    works.must("ida", copy);
}

#[test]
fn people_are_enrolled_once_with_a_role_and_one_supervisor_stays() {
    let mut works = Works::staffed();
    let enrol = |code, roles: &[Role]| Entry::PersonEnrolled(person(code, roles, false));
    let retire = |code| Entry::PersonRetired(PersonRetired { person: id(code) });
    let taken = works.refused("sue", enrol("ida", &[Role::Witness]));
    assert_eq!(taken, Refusal::PersonTaken(id("ida")));
    let idle = works.refused("sue", enrol("new", &[]));
    assert_eq!(idle, Refusal::NoRole { person: id("new") });
    let last = Refusal::LastOf {
        person: id("sue"),
        role: Role::Supervisor,
    };
    assert_eq!(works.refused("sue", retire("sue")), last);
    assert_eq!(
        works.refused("sue", retire("zoe")),
        Refusal::UnknownPerson(id("zoe"))
    );
    works.must("sue", retire("ida"));
    assert_eq!(
        works.refused("sue", retire("ida")),
        Refusal::Retired(id("ida"))
    );
    let back = works.refused("sue", enrol("ida", &[Role::Inspector]));
    assert_eq!(back, Refusal::PersonTaken(id("ida")));
    let acts = works.refused("ida", lot("L9", 1, None));
    assert_eq!(acts, Refusal::Retired(id("ida")));
    works.must("sue", enrol("sol", &[Role::Supervisor]));
    works.must("sue", retire("sue"));
}

#[test]
fn products_and_rules_stay_within_their_bounds() {
    let mut works = Works::staffed();
    assert_eq!(
        works.refused("sue", product("M20")),
        Refusal::ProductTaken(id("M20"))
    );
    let data = |title: &str, rows| {
        let finishing = cullbook::sheet::Finishing::default();
        let (product, title) = (id("M50"), title.to_owned());
        let layout = layout(rows, 3);
        Entry::ProductDefined(ProductDefined {
            product,
            title,
            layout,
            finishing,
        })
    };
    let untitled = works.refused("sue", data("", 2));
    assert_eq!(
        untitled,
        Refusal::Empty {
            field: "Denomination"
        }
    );
    let rows = LayoutError::Count {
        what: "rows",
        found: 21,
    };
    assert_eq!(
        works.refused("sue", data("50 merin", 21)),
        Refusal::Layout(rows)
    );
    let with = |limit, witnesses| {
        Entry::RulesSet(Rules {
            limit,
            witnesses,
            ..rules()
        })
    };
    let one = works.refused("sue", with(Limit::SpoiledAt(4), 1));
    assert_eq!(one, Refusal::Rules(RulesError::Witnesses(1)));
    works.must("sue", with(Limit::SpoiledAt(7), 2));
    let beyond = works.refused("sue", lot("L1", 12, None));
    assert!(matches!(
        beyond,
        Refusal::Rules(RulesError::SpoiledAtAboveNotes {
            limit: 7,
            notes: 6,
            ..
        })
    ));
}

#[test]
fn a_series_has_a_name_a_product_and_numbers_of_its_own() {
    let mut works = Works::with_lot();
    let add = |spec| Entry::SeriesAdded(spec);
    let taken = works.refused("sue", add(series("R1", "M20", 100, 120)));
    assert_eq!(taken, Refusal::SeriesTaken(id("R1")));
    let unknown = works.refused("sue", add(series("R2", "M99", 100, 120)));
    assert_eq!(unknown, Refusal::UnknownProduct(id("M99")));
    let (first, last) = (20, 10);
    let backwards = SeriesError::Backwards {
        id: id("R2"),
        first,
        last,
    };
    let refused = works.refused("sue", add(series("R2", "M20", first, last)));
    assert_eq!(refused, Refusal::Series(backwards));
    let clash = works.refused("sue", add(series("R2", "M20", 50, 70)));
    assert_eq!(clash, serials_taken("ZR000050", "ZR000059", "series R1"));
    let mut of_lot = series("R2", "M20", 70, 80);
    of_lot.format = format("KA");
    let clash = works.refused("sue", add(of_lot));
    assert_eq!(clash, serials_taken("KA000070", "KA000071", "lot L1"));
}

#[test]
fn a_lot_has_a_name_a_size_and_numbers_of_its_own() {
    let mut works = Works::with_lot();
    assert_eq!(
        works.refused("sue", lot("L1", 12, None)),
        Refusal::LotTaken(id("L1"))
    );
    for given in [0, 10_000_001] {
        let max = 10_000_000;
        assert_eq!(
            works.refused("sue", lot("L2", given, None)),
            Refusal::LotSize { given, max }
        );
    }
    let mut unknown = LotOpened {
        lot: id("L2"),
        product: id("M99"),
        sheets: 12,
        numbering: None,
    };
    let refused = works.refused("sue", Entry::LotOpened(unknown.clone()));
    assert_eq!(refused, Refusal::UnknownProduct(id("M99")));
    unknown.product = id("M20");
    unknown.numbering = Some(numbered("KB", 11, 0));
    let refused = works.refused("sue", Entry::LotOpened(unknown));
    let sheets = NumberingError::SheetCount { runs: 11, lot: 12 };
    assert_eq!(refused, Refusal::Numbering(sheets));
    let clash = works.refused("sue", lot("L2", 4, Some(numbered("KA", 4, 60))));
    assert_eq!(clash, serials_taken("KA000060", "KA000071", "lot L1"));
    let clash = works.refused("sue", lot("L2", 4, Some(numbered("ZR", 4, 50))));
    assert_eq!(clash, serials_taken("ZR000050", "ZR000059", "series R1"));
}

fn serials_taken(from: &str, to: &str, by: &str) -> Refusal {
    let [from, to, by] = [from, to, by].map(str::to_owned);
    Refusal::SerialsTaken { from, to, by }
}

#[test]
fn an_examination_names_sheets_of_an_open_lot_once() {
    let mut works = Works::examined();
    let refused = works.refused("ida", examined("L9", 1, 1, &[]));
    assert_eq!(refused, Refusal::UnknownLot(id("L9")));
    works.must("sue", lot("L2", 4, None));
    let (lot, sheets) = (id("L2"), 4);
    let outside = Refusal::SheetOutside {
        lot,
        sheet: sheet(5),
        sheets,
    };
    assert_eq!(works.refused("ida", examined("L2", 4, 5, &[])), outside);
    let (from, to) = (sheet(3), sheet(2));
    let refused = works.refused("ida", examined("L2", 3, 2, &[]));
    assert_eq!(refused, Refusal::RangeBackwards { from, to });
    let seq = works
        .lot("L1")
        .sheet(sheet(3))
        .unwrap()
        .exam
        .clone()
        .unwrap()
        .seq;
    let refused = works.refused("ida", examined("L1", 3, 3, &[]));
    assert_eq!(
        refused,
        Refusal::ExaminedBefore {
            sheet: sheet(3),
            seq
        }
    );
    let refused = works.refused("ida", examined("L2", 1, 1, &["A1 PH", "A1 PH"]));
    assert_eq!(refused, Refusal::TagTwice { sheet: sheet(1) });
}

#[test]
fn a_tag_fits_the_sheet_and_the_catalogue() {
    let mut works = Works::with_lot();
    let bad = [
        ("A9 PH", TagError::UnknownPosition("A9".to_owned())),
        ("A1 ZZ", TagError::UnknownClass(id("ZZ"))),
        ("A1 PT", TagError::SheetClassWithPosition(id("PT"))),
        ("- PH", TagError::NoteClassWithoutPosition(id("PH"))),
    ];
    for (text, tag) in bad {
        let sheet = sheet(1);
        let expected = Refusal::Tag { sheet, tag };
        assert_eq!(
            works.refused("ida", examined("L1", 1, 1, &[text])),
            expected
        );
        let read = Entry::MachineRead(machine("L1", &[(1, text)]));
        assert_eq!(works.refused("ida", read), expected);
    }
    let mut wordy = exam("L1", 1, 1, &["A1 PH"]);
    wordy.tags[0].remark = Some("é".repeat(121));
    let refused = works.refused("ida", Entry::SheetsExamined(wordy));
    let (sheet, tag) = (sheet(1), TagError::RemarkTooLong);
    assert_eq!(refused, Refusal::Tag { sheet, tag });
}

#[test]
fn a_correction_names_the_entry_in_force_and_says_why() {
    let mut works = Works::examined();
    let seq = |works: &Works, number| {
        let exam = works.lot("L1").sheet(sheet(number)).unwrap().exam.clone();
        exam.unwrap().seq
    };
    let (one, two) = (seq(&works, 1), seq(&works, 2));
    let mut silent = exam("L1", 2, 2, &[]);
    silent.corrects = Some(two);
    let refused = works.refused("ida", Entry::SheetsExamined(silent.clone()));
    let field = "Reason for the correction";
    assert_eq!(refused, Refusal::Empty { field });
    silent.reason = Some("x".repeat(201));
    let refused = works.refused("ida", Entry::SheetsExamined(silent.clone()));
    assert_eq!(refused, Refusal::TooLong { field, max: 200 });
    let refused = works.refused("ida", corrected("L1", 2, one, &[]));
    let (two_no, corrects) = (sheet(2), one);
    assert_eq!(
        refused,
        Refusal::NothingToCorrect {
            sheet: two_no,
            corrects
        }
    );
    silent.to = sheet(3);
    silent.reason = Some("looked again".to_owned());
    let refused = works.refused("ida", Entry::SheetsExamined(silent));
    assert_eq!(refused, Refusal::CorrectsMany);
    works.must("ida", corrected("L1", 2, two, &["A1 PH"]));
    let refused = works.refused("ida", corrected("L1", 2, two, &[]));
    assert_eq!(
        refused,
        Refusal::NothingToCorrect {
            sheet: two_no,
            corrects: two
        }
    );
    works.must("sue", lot("L2", 4, None));
    let refused = works.refused("ida", corrected("L2", 1, two, &[]));
    assert_eq!(
        refused,
        Refusal::NothingToCorrect {
            sheet: sheet(1),
            corrects: two
        }
    );
}

#[test]
fn a_correction_comes_too_late_once_something_is_built_on_the_ruling() {
    let mut works = Works::examined();
    let seq = |works: &Works, number| {
        let exam = works.lot("L1").sheet(sheet(number)).unwrap().exam.clone();
        exam.unwrap().seq
    };
    works.must("cal", container("C1"));
    works.must(
        "cal",
        filled("C1", [cullbook::custody::Item::Sheet(id("L1"), sheet(5))]),
    );
    let fifth = seq(&works, 5);
    let why = works.refused("ivo", corrected("L1", 5, fifth, &[]));
    assert!(
        why.to_string().contains("its spoils are in container C1"),
        "{why}"
    );
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    let second = seq(&works, 2);
    let why = works.refused("ida", corrected("L1", 2, second, &[]));
    assert!(
        why.to_string()
            .contains("replacement notes are drawn for it"),
        "{why}"
    );
}

#[test]
fn machine_files_come_in_parts_and_before_the_examination() {
    let mut works = Works::with_lot();
    let read = |change: fn(&mut MachineRead)| {
        let mut data = machine("L1", &[(1, "A1 OM")]);
        change(&mut data);
        Entry::MachineRead(data)
    };
    let refused = works.refused("ida", read(|data| data.part = 0));
    assert_eq!(refused, Refusal::PartOrder { part: 0, parts: 1 });
    let refused = works.refused("ida", read(|data| data.part = 2));
    assert_eq!(refused, Refusal::PartOrder { part: 2, parts: 1 });
    let refused = works.refused("ida", read(|data| data.file.clear()));
    assert_eq!(refused, Refusal::Empty { field: "File name" });
    let refused = works.refused("ida", read(|data| data.tags.clear()));
    assert_eq!(refused, Refusal::EmptyList);
    let refused = works.refused("ida", read(|data| data.lot = id("L9")));
    assert_eq!(refused, Refusal::UnknownLot(id("L9")));
    let refused = works.refused("ida", read(|data| data.tags[0].0 = sheet(13)));
    let outside = Refusal::SheetOutside {
        lot: id("L1"),
        sheet: sheet(13),
        sheets: 12,
    };
    assert_eq!(refused, outside);
    works.must("ida", examined("L1", 1, 1, &[]));
    let seq = works.book.len() - 1;
    let refused = works.refused("ida", read(|_| ()));
    assert_eq!(
        refused,
        Refusal::ExaminedBefore {
            sheet: sheet(1),
            seq
        }
    );
}

#[test]
fn nothing_more_is_recorded_for_a_closed_lot() {
    let mut works = Works::destroyed();
    works.must("sue", lot_closed("L1"));
    let closed = Refusal::LotIsClosed(id("L1"));
    let seq = works
        .lot("L1")
        .sheet(sheet(1))
        .unwrap()
        .exam
        .clone()
        .unwrap()
        .seq;
    assert_eq!(works.refused("ida", examined("L1", 1, 1, &[])), closed);
    assert_eq!(
        works.refused("ida", corrected("L1", 1, seq, &["A1 PH"])),
        closed
    );
    assert_eq!(
        works.refused("ida", Entry::MachineRead(machine("L1", &[(1, "A1 OM")]))),
        closed
    );
    assert_eq!(works.refused("sue", lot_closed("L1")), closed);
    let draw = drawn("L1", "R1", vec![(id("KA000001"), id("ZR000008"))]);
    let why = Refusal::NoNeed {
        serial: "KA000001".to_owned(),
    };
    assert_eq!(works.refused("sue", draw), why);
}

#[test]
fn an_entry_too_long_for_a_line_is_refused() {
    let mut works = Works::with_lot();
    let mut data = machine("L1", &[]);
    let tag = MachineTag(
        sheet(1),
        Some("A1".to_owned()),
        Default::default(),
        id("OM"),
        Some("x".repeat(300)),
    );
    data.tags = vec![tag; MACHINE_PART];
    let refused = works.refused("ida", Entry::MachineRead(data));
    assert_eq!(refused, Refusal::Line(LineError::TooLong));
    let mut data = machine("L1", &[(1, "A1 OM")]);
    data.tags = vec![data.tags[0].clone(); LIST_PART + 1];
    let refused = works.refused("ida", Entry::MachineRead(data));
    assert_eq!(refused, Refusal::LongList { max: LIST_PART });
}

#[test]
fn a_day_is_closed_once_and_has_entries() {
    let mut works = Works::with_lot();
    let empty = works.refused("sue", day_closed("2026-11-24"));
    assert_eq!(empty, Refusal::EmptyDay(id("2026-11-24")));
    works.must("sue", day_closed("2026-11-25"));
    let again = works.refused("sue", day_closed("2026-11-25"));
    assert_eq!(again, Refusal::DayClosedBefore(id("2026-11-25")));
}
