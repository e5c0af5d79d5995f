use super::*;
use crate::book::{
    ContainerFilled, ContainerOpened, ContainerSealed, Entry, ReplacementsDrawn,
    ReplacementsSpoiled,
};
use crate::custody::{Destruction, Method};
use crate::export::sample::{Works, id, lot};

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
        gross: None,
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

fn destroyed() -> Works {
    let mut works = works();
    let record = Destruction {
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
            sample: None,
        }],
        operator: id("ben"),
        witnesses: vec![id("wren"), id("osk")],
        started: id("2026-11-25T09:30:00+01:00"),
        ended: id("2026-11-25T09:40:00+01:00"),
        largest_particle_mm2: Some(28),
        statement: "We saw it.".to_owned(),
        remarks: String::new(),
        left_out: Vec::new(),
        presence: Vec::new(),
    };
    works.write("ada", vec![Entry::SpoilsDestroyed(record)]);
    works
}

fn made(works: &Works) -> Certificate {
    certificate(works.state(), &works.state().sessions[0], works.book.head())
}

#[test]
fn contents_are_given_in_ranges() {
    let certificate = made(&destroyed());
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

/// Worked by hand: sheets of 296 × 174 mm, notes of 130 × 65 mm, 85 g/m². A sheet is 0.051504 m²,
/// so three weigh 13 133.52 mg; a note is 0.00845 m², so four weigh 2 873 mg.
#[test]
fn masses_are_weighed_against_the_paper() {
    let certificate = made(&destroyed());
    let container = &certificate.containers[0];
    assert_eq!(container.net.milligrams(), 30_000);
    assert_eq!(container.expected_net.milligrams(), 13_134 + 2_873);
}

#[test]
fn it_names_who_was_there_and_the_line_that_says_so() {
    let works = destroyed();
    let certificate = made(&works);
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
    assert!(
        certificate
            .qr_text()
            .contains(&works.book.head().to_string())
    );
}

#[test]
fn the_json_is_the_whole_certificate() {
    let certificate = made(&destroyed());
    let json: serde_json::Value = serde_json::from_str(&certificate.to_json().unwrap()).unwrap();
    assert_eq!(json["session"], "D-1");
    assert_eq!(json["particle_class"], "P-5");
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
