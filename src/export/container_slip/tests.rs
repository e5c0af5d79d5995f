use super::*;
use crate::book::{ContainerFilled, ContainerHeld, ContainerOpened, ContainerSealed, Entry};
use crate::export::sample::{Works, id, lot};
use crate::export::{Code128, QrLevel, qr_drawing};
use crate::sheet::SheetNo;

/// C-1 with every other torn sheet up to the given one.
fn works(last: u32) -> Works {
    let mut works = Works::new();
    let sheets: Vec<u32> = (1..=last).step_by(2).collect();
    for sheet in &sheets {
        works.examine("ida", *sheet, &[], true);
    }
    let container = id("C-1");
    let sheet = |number: &u32| (lot(), SheetNo::new(*number).expect("from 1"));
    let filled = ContainerFilled {
        container,
        sheets: sheets.iter().map(sheet).collect(),
        notes: Vec::new(),
        replacements: Vec::new(),
    };
    works.write(
        "ben",
        vec![Entry::ContainerOpened(ContainerOpened {
            container,
            place: Some("cage, shelf 3".parse().expect("a place")),
        })],
    );
    works.write("ben", vec![Entry::ContainerFilled(filled)]);
    works
}

fn slip(works: &Works) -> ContainerSlip {
    container_slip(works.state(), id("C-1")).expect("it is in the cage")
}

#[test]
fn an_open_container_has_a_slip_without_a_seal() {
    let slip = slip(&works(5));
    assert_eq!((slip.state, slip.sheets, slip.notes), ("open", 3, 0));
    let ranges = [
        "sheet 1 of lot BW-1",
        "sheet 3 of lot BW-1",
        "sheet 5 of lot BW-1",
    ];
    assert_eq!(slip.ranges(), (ranges.map(str::to_owned).into(), 0));
    assert_eq!((slip.sealed, slip.held), (None, None));
    assert_eq!(slip.place, Some("cage, shelf 3".parse().expect("a place")));
    assert_eq!(container_slip(works(1).state(), id("C-9")), None);
}

#[test]
fn a_sealed_one_says_seal_names_and_masses() {
    let mut works = works(5);
    let seal = ContainerSealed {
        container: id("C-1"),
        seal: id("S-9"),
        second: id("ada"),
        gross: Some(Mass::from_milligrams(1_030_500)),
        tare: Some(Mass::from_milligrams(1_000_000)),
        scale: None,
    };
    works.write("ben", vec![Entry::ContainerSealed(seal)]);
    let slip = slip(&works);
    let sealed = slip.sealed.as_ref().expect("sealed");
    assert_eq!(sealed.by, ["Ben Orrin", "Ada Merrow"]);
    assert_eq!(sealed.net.map(Mass::milligrams), Some(30_500));
    let code: serde_json::Value = serde_json::from_str(&slip.qr_text()).expect("JSON");
    assert_eq!(
        (&code["container"], &code["seal"]),
        (&"C-1".into(), &"S-9".into())
    );
    assert_eq!(
        (&code["gross"], &code["tare"]),
        (&1_030_500.into(), &1_000_000.into())
    );
    assert_eq!(code["sheet_numbers"][2]["from"], 5);
    assert!(Code128::encode(&slip.bar_text()).is_ok());
    let (container, reason) = (id("C-1"), "found in the lift".to_owned());
    let hold = Entry::ContainerHeld(ContainerHeld { container, reason });
    works.write("ben", vec![hold]);
    let slip = self::slip(&works);
    assert_eq!(slip.state, "held");
    assert_eq!(slip.held.as_deref(), Some("found in the lift"));
}

#[test]
fn a_full_container_keeps_its_slip_readable() {
    let slip = slip(&works(201));
    let (shown, more) = slip.ranges();
    assert_eq!((shown.len(), more), (ON_SLIP, 101 - ON_SLIP));
    let text = slip.qr_text();
    assert!(
        text.len() < SLIP_QR_BYTES && !text.contains("sheet_numbers"),
        "{text}"
    );
    assert!(qr_drawing(&text, QrLevel::Medium).is_ok());
}
