use super::*;
use crate::book::{
    ContainerFilled, ContainerOpened, ContainerSealed, Entry, ReplacementsDrawn,
    ReplacementsSpoiled,
};
use crate::custody::{Destruction, Method, Paper, ResidueSample, ScaleId};
use crate::export::sample::{Works, id, lot};
use crate::sheet::SheetNo;

/// Sheets 2, 3 and 9 torn; A1 of 20, 21 and 30 pulled; one replacement note spoiled. All in C-1.
fn works() -> Works {
    let mut works = Works::new();
    for sheet in [2, 3, 9] {
        works.examine("ida", sheet, &[], true);
    }
    for sheet in [20, 21, 30] {
        works.examine("ida", sheet, &["A1"], false);
    }
    let drawn = ReplacementsDrawn {
        lot: lot(),
        series: id("R1"),
        pairs: vec![(id("KA001019"), id("ZZ000001"))],
    };
    let spoiled = ReplacementsSpoiled {
        series: id("R1"),
        notes: vec![id("ZZ000001")],
        reason: "creased".to_owned(),
    };
    let container = id("C-1");
    let filled = ContainerFilled {
        container,
        sheets: [2, 3, 9]
            .map(|sheet| (lot(), SheetNo::new(sheet).unwrap()))
            .into(),
        notes: ["KA001019", "KA001020", "KA001029"].map(id).into(),
        replacements: vec![id("ZZ000001")],
    };
    let seal = ContainerSealed {
        container,
        seal: id("S-9"),
        second: id("ada"),
        gross: Some(Mass::from_milligrams(1_030_500)),
        tare: None,
        scale: None,
    };
    works.write("sue", vec![Entry::ReplacementsDrawn(drawn)]);
    works.write("sue", vec![Entry::ReplacementsSpoiled(spoiled)]);
    works.write(
        "ben",
        vec![Entry::ContainerOpened(ContainerOpened {
            container,
            place: None,
        })],
    );
    works.write("ben", vec![Entry::ContainerFilled(filled)]);
    works.write("ben", vec![Entry::ContainerSealed(seal)]);
    works
}

pub fn destroyed() -> Works {
    let mut works = works();
    works.write("ada", vec![Entry::SpoilsDestroyed(destruction())]);
    works
}

fn destruction() -> Destruction {
    Destruction {
        session: id("D-1"),
        place: "Boiler house".to_owned(),
        machine: "Granulator 2".to_owned(),
        method: Method::Granulating,
        particle_class: Some(ParticleClass::P5),
        containers: vec![Found {
            container: id("C-1"),
            seal: id("S-9"),
            sheets: 3,
            notes: 4,
            gross: Mass::from_milligrams(1_030_000),
            tare: Mass::from_milligrams(1_000_000),
            scale: None,
            sample: None,
            off_because: None,
        }],
        operator: id("ben"),
        witnesses: vec![id("wren"), id("osk")],
        started: id("2026-11-25T09:30:00+01:00"),
        ended: id("2026-11-25T09:40:00+01:00"),
        largest_particle_mm2: Some(28),
        sample: Some(ResidueSample {
            measured: 50,
            above: 0,
        }),
        statement: "We saw it.".to_owned(),
        remarks: String::new(),
        left_out: Vec::new(),
        presence: Vec::new(),
    }
}

/// The certificate of the small destruction of these tests.
pub fn made() -> Certificate {
    certificate_of(&destroyed())
}

fn certificate_of(works: &Works) -> Certificate {
    certificate(works.state(), &works.state().sessions[0])
}

#[test]
fn contents_are_given_in_ranges() {
    let certificate = made();
    let container = &certificate.containers[0];
    let spans: Vec<_> = container
        .sheet_numbers
        .iter()
        .map(|span| (span.from.number(), span.to.number()))
        .collect();
    assert_eq!(spans, [(2, 3), (9, 9)]);
    let ranges: Vec<_> = container
        .serials
        .iter()
        .map(|range| (&*range.from, &*range.to, range.count, range.replacements))
        .collect();
    assert_eq!(
        ranges,
        [
            ("KA001019", "KA001020", 2, false),
            ("KA001029", "KA001029", 1, false),
            ("ZZ000001", "ZZ000001", 1, true),
        ]
    );
    assert_eq!(certificate.totals(), (3, 4));
}

#[test]
fn what_was_destroyed_is_told_by_denomination() {
    let certificate = made();
    let [of] = certificate.products.as_slice() else {
        panic!("one product: {:?}", certificate.products);
    };
    // Three sheets of four notes, three notes cut from theirs and a replacement note.
    assert_eq!((of.sheets, of.notes_on_sheets), (3, 12));
    assert_eq!((of.single_notes, of.notes_in_all), (4, 16));
    assert_eq!(
        of.readable(),
        "20 merin, lot BW-1: 3 sheets (12 notes) and 4 single notes, 16 notes in all"
    );
    let sheets = CertifiedProduct {
        single_notes: 0,
        ..of.clone()
    };
    assert_eq!(sheets.readable(), "20 merin, lot BW-1: 3 sheets (12 notes)");
    let note = CertifiedProduct {
        sheets: 0,
        single_notes: 1,
        ..of.clone()
    };
    assert_eq!(note.readable(), "20 merin, lot BW-1: 1 single note");
}

/// Worked by hand: sheets of 296 × 174 mm, notes of 130 × 65 mm, 85 g/m². A sheet is 0.051504 m²,
/// so three weigh 13 133.52 mg; a note is 0.00845 m², so four weigh 2 873 mg.
#[test]
fn masses_are_weighed_against_the_paper() {
    let certificate = made();
    let container = &certificate.containers[0];
    assert_eq!(container.net.milligrams(), 30_000);
    // Together 16 006.52 mg.
    assert_eq!(container.expected_net.milligrams(), 16_007);
}

#[test]
fn it_names_who_was_there_and_the_line_that_says_so() {
    let works = destroyed();
    let certificate = certificate_of(&works);
    let persons: Vec<_> = certificate
        .persons
        .iter()
        .map(|person| (&*person.name, person.part))
        .collect();
    assert_eq!(
        persons,
        [
            ("Ada Merrow", "lead"),
            ("Ben Orrin", "operator"),
            ("Wren Hale", "witness"),
            ("Oskar Lind", "witness"),
        ]
    );
    assert_eq!(
        certificate.containers[0].sealed_by,
        ["Ben Orrin", "Ada Merrow"]
    );
    assert_eq!(certificate.entry + 1, works.book.len());
    assert_eq!(certificate.line_hash, works.book.head());
    let code = works.book.whole_head().expect("a book").code();
    assert_eq!(certificate.head_code, code.to_string());
    assert!(
        certificate
            .qr_text()
            .contains(&works.book.head().to_string())
    );
}

#[test]
fn the_json_is_the_whole_certificate() {
    let certificate = made();
    let json: serde_json::Value = serde_json::from_str(&certificate.to_json().unwrap()).unwrap();
    assert_eq!(json["session"], "D-1");
    assert_eq!(json["residue"]["particle_class"], "P-5");
    assert_eq!(json["residue"]["measured"], 50);
    assert_eq!(json["residue"]["tolerated_mm2"], 90);
    assert_eq!(json["format"], FORMAT);
    assert_eq!(json["containers"][0]["gross_when_sealed"], 1_030_500);
    assert_eq!(
        json["containers"][0]["weigh_check"]["verdict"],
        "cannot tell"
    );
    assert_eq!(json["persons"][3]["outside"], true);
    assert_eq!(json["persons"][3]["signed"], json["recorded"]);
    assert_eq!(json["containers"][0]["seal"], "S-9");
    assert_eq!(json["containers"][0]["gross"], 1_030_000);
    assert_eq!(json["containers"][0]["sheet_numbers"][1]["from"], 9);
    assert_eq!(json["containers"][0]["serials"][2]["replacements"], true);
    assert_eq!(json["persons"][2]["person"], "wren");
    assert_eq!(json["practice"], false);
    assert_eq!(json["head"], certificate.head.to_string());
    assert!(json.get("remarks").is_none());
}

#[test]
fn one_piece_is_not_many() {
    assert_eq!(sheets_and_notes(1, 1_200), "1 sheet and 1 200 notes");
    assert_eq!(sheets_and_notes(0, 1), "0 sheets and 1 note");
}

/// Everything that comes later (entries, another supervisor's paper figures, a newer calibration)
/// leaves every byte of the certificate as it was.
#[test]
fn it_is_the_same_ten_years_later() {
    let mut works = works();
    let scale: ScaleId = id("W-2");
    let set = |resolution, calibrated: &str| {
        Entry::ScaleSet(crate::custody::Scale {
            scale,
            resolution: Mass::from_milligrams(resolution),
            repeatability: Mass::from_milligrams(200),
            error: None,
            calibrated: id(calibrated),
            interval_days: 365,
        })
    };
    let paper = |bias| {
        Entry::PaperSet(crate::book::PaperSet {
            product: id("M20"),
            paper: Paper {
                bias,
                spread: 800,
                ink: 0,
                ink_bias: 0,
            },
        })
    };
    works.write("sue", vec![set(500, "2024-01-15"), paper(1_500)]);
    let mut record = destruction();
    record.containers[0].scale = Some(scale);
    works.write("ada", vec![Entry::SpoilsDestroyed(record)]);
    let first = certificate_of(&works).to_json().unwrap();
    let signed = &works.state().sessions[0].statement;
    assert!(
        signed.contains("gross 1030.0 g, tare 1000.0 g on W-2"),
        "{signed}"
    );
    let texts = works.book.texts();
    let line = crate::book::Line::read(texts.last().unwrap()).unwrap();
    assert_eq!(&line.countersigned.unwrap().statement, signed);
    assert_eq!(line.header.prev, certificate_of(&works).builds_on);

    works.next_day();
    works.write("sue", vec![set(5_000, "2026-11-20"), paper(9_000)]);
    works.write(
        "ben",
        vec![Entry::ContainerOpened(ContainerOpened {
            container: id("C-2"),
            place: None,
        })],
    );
    assert_eq!(certificate_of(&works).to_json().unwrap(), first);
    let again = crate::book::Book::read(works.book.texts().iter().map(|text| &**text)).unwrap();
    let again = certificate(again.state(), &again.state().sessions[0]);
    assert_eq!(again.to_json().unwrap(), first);
    let checked = &again.containers[0].weigh_check;
    assert!(checked.overdue, "calibrated in January 2024");
    assert_eq!(checked.scale.as_ref().unwrap().resolution.milligrams(), 500);
    // 30 g found of 16.006 52 g of paper.
    assert_eq!((checked.verdict, checked.difference), ("differs", 13_993));
}
