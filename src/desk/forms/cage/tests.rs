use super::*;
use crate::custody::Mass;
use crate::export::sample::{LOT, Works, id};

mod trouble;
mod weighed;

/// Sheets 2 and 3 torn, A1 of sheet 20 pulled; C-1 open.
fn works() -> Works {
    let mut works = Works::new();
    works.examine("ida", 2, &[], true);
    works.examine("ida", 3, &[], true);
    works.examine("ida", 20, &["A1"], false);
    open(&mut works, "C-1");
    works
}

fn open(works: &mut Works, container: &str) {
    let typed = Typed::with([("container", container)]);
    let entry = container_opened(&typed, works.state()).expect("a new container");
    works.write("ben", vec![entry]);
}

fn fill(works: &Works, what: &str, lot: &str, list: &str) -> Result<Vec<Entry>, FieldErrors> {
    let typed = Typed::with([
        ("fill-container", "C-1"),
        ("fill-what", what),
        ("fill-lot", lot),
        ("fill-list", list),
    ]);
    container_filled(&typed, works.state(), &[])
}

fn pieces(entries: Result<Vec<Entry>, FieldErrors>) -> (usize, usize, usize) {
    match &entries.expect("a good form")[..] {
        [Entry::ContainerFilled(data)] => {
            (data.sheets.len(), data.notes.len(), data.replacements.len())
        }
        other => panic!("not one filling: {other:?}"),
    }
}

fn lines(errors: &FieldErrors) -> Vec<String> {
    let list = errors.iter().filter(|(field, _)| *field == "fill-list");
    list.map(|(_, why)| why.to_owned()).collect()
}

#[test]
fn a_container_is_opened_once() {
    let mut works = works();
    let says = |works: &Works, text: &str| {
        let typed = Typed::with([("container", text)]);
        let read = container_opened(&typed, works.state());
        read.unwrap_err()
            .of("container")
            .unwrap_or_default()
            .to_owned()
    };
    assert_eq!(
        says(&works, "C-1"),
        "Container C-1 exists: it is open. Give the new one another number."
    );
    // The shift key makes no other container.
    assert_eq!(says(&works, "c-1"), says(&works, "C-1"));
    assert!(says(&works, "C 1").contains("contains \" \""));
    assert!(says(&works, "").contains("is empty"));
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    works.write("ben", vec![seal(&works, &[]).expect("sealed")]);
    assert!(says(&works, "C-1").contains("it is sealed with S-1"));
}

#[test]
fn loose_spoils_of_a_lot_go_in_by_kind() {
    let mut works = works();
    assert_eq!(pieces(fill(&works, "all", LOT, "")), (2, 1, 0));
    assert_eq!(pieces(fill(&works, "sheets", LOT, "")), (2, 0, 0));
    assert_eq!(pieces(fill(&works, "notes", LOT, "")), (0, 1, 0));
    works.write("ben", fill(&works, "notes", LOT, "").expect("the note"));
    let none = fill(&works, "notes", LOT, "").unwrap_err();
    assert_eq!(none.of("fill-lot"), Some("Lot BW-1 has no loose notes."));
}

#[test]
fn a_list_takes_serials_and_sheets_with_any_separator() {
    let works = works();
    let list = fill(&works, "list", LOT, "ka 001019; 2\nBW-1/3");
    assert_eq!(pieces(list), (2, 1, 0));
    assert_eq!(
        pieces(fill(&works, "list", "", "BW-1/2 BW-1/3,KA001019")),
        (2, 1, 0)
    );
    // In the words of the screens.
    let words = "sheet 2 of lot BW-1, sheet 3";
    assert_eq!(pieces(fill(&works, "list", LOT, words)), (2, 0, 0));
}

#[test]
fn each_wrong_line_of_a_list_is_told() {
    let mut works = works();
    works.write("ben", fill(&works, "list", LOT, "3").expect("sheet 3"));
    let errors = fill(
        &works,
        "list",
        LOT,
        "2\n3\n2\nKA001001\nKA001500\nBW-1/251\nQQ 77\nL9/1\nZZ000001",
    )
    .unwrap_err();
    let said = lines(&errors);
    let expected = [
        "Line 2: sheet 3 of lot BW-1 is in container C-1 already",
        "Line 3: \"sheet 2 of lot BW-1\" is in the list twice",
        "Line 4: note KA001001 is on spoiled sheet 2 of lot BW-1. Give the sheet: BW-1/2.",
        "Line 5: note KA001500 is not a spoil",
        "Line 6: lot BW-1 has no sheet 251. Give 1 to 250.",
        "Line 7: \"QQ\":",
        "Line 7: sheet 77 of lot BW-1 is not a spoil",
        "Line 8: Lot L9 is not known",
        "Line 9: replacement note ZZ000001 is not a spoil",
    ];
    for (said, start) in said.iter().zip(expected) {
        assert!(said.starts_with(start), "{said}\nshould start: {start}");
    }
    assert_eq!(said.len(), expected.len(), "{said:?}");
}

#[test]
fn a_long_list_of_errors_is_cut() {
    let errors = fill(&works(), "list", LOT, &"x\n".repeat(30)).unwrap_err();
    let said = lines(&errors);
    assert_eq!((said.len(), &*said[20]), (21, "10 more lines are wrong."));
}

#[test]
fn everything_missing_is_told_at_once() {
    let works = works();
    let errors = container_filled(&Typed::default(), works.state(), &[]).unwrap_err();
    assert_eq!(errors.of("fill-container"), Some("Choose a container."));
    assert_eq!(errors.of("fill-what"), Some("Choose what goes in."));
    assert!(
        fill(&works, "all", "", "")
            .unwrap_err()
            .of("fill-lot")
            .is_some()
    );
    assert!(
        fill(&works, "list", "", " \n")
            .unwrap_err()
            .of("fill-list")
            .is_some()
    );
    let unknown = Typed::with([
        ("fill-container", "C-9"),
        ("fill-what", "all"),
        ("fill-lot", LOT),
    ]);
    let unknown = container_filled(&unknown, works.state(), &[]).unwrap_err();
    assert!(
        unknown
            .of("fill-container")
            .is_some_and(|why| why.contains("not in the cage"))
    );
}

/// A good sealing of C-1 by ben and ada, with some fields typed otherwise.
fn seal(works: &Works, other: &[(&'static str, &str)]) -> Result<Entry, FieldErrors> {
    let mut typed = Typed::with([
        ("seal-container", "C-1"),
        ("seal-number", "S-1"),
        ("seal-again", "S-1 "),
        ("seal-gross", ""),
        ("seal-second", "ada"),
    ]);
    for (field, text) in other {
        typed.set(field, (*text).to_owned());
    }
    container_sealed(&typed, works.state(), id("ben"))
}

#[test]
fn a_container_is_sealed_by_two() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    let Ok(Entry::ContainerSealed(data)) = seal(&works, &[("seal-gross", "1250,5")]) else {
        panic!("a good sealing is refused");
    };
    assert_eq!(data.gross.map(Mass::milligrams), Some(1_250_500));
    works.write("ben", vec![Entry::ContainerSealed(data)]);
    open(&mut works, "C-2");
    let again = seal(&works, &[]).unwrap_err();
    assert!(
        again
            .of("seal-container")
            .is_some_and(|why| why.contains("It is sealed once"))
    );
    let used = again.of("seal-number").unwrap_or_default();
    // The sample begins at nine on 25 November 2026; each entry is a minute later.
    assert!(
        used.starts_with("Seal S-1 was used on container C-1 on 25 Nov 2026 09:")
            && used.contains(" by Ben Orrin."),
        "{used}"
    );
    let small = seal(&works, &[("seal-number", "s-1"), ("seal-again", "s-1")]).unwrap_err();
    assert_eq!(small.of("seal-number"), Some(used));
    let sealed = Typed::with([
        ("fill-container", "C-1"),
        ("fill-what", "all"),
        ("fill-lot", LOT),
    ]);
    let sealed = container_filled(&sealed, works.state(), &[]).unwrap_err();
    assert!(
        sealed
            .of("fill-container")
            .is_some_and(|why| why.contains("go into an open container"))
    );
}

#[test]
fn each_fault_of_a_sealing_is_at_its_field() {
    let mut works = works();
    assert!(
        seal(&works, &[])
            .unwrap_err()
            .of("seal-container")
            .is_some_and(|why| why.contains("is empty"))
    );
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    for (field, text, part) in [
        ("seal-container", "", "Choose a container"),
        ("seal-container", "C-9", "not in the cage"),
        ("seal-number", "", "is empty"),
        ("seal-again", "S-2", "differ"),
        ("seal-gross", "heavy", "is not a mass"),
        ("seal-tare", "100", "but not the gross mass"),
        ("seal-second", "", "Choose the second person"),
        ("seal-second", "ben", "other than the one who is signed in"),
        ("seal-second", "wren", "Wren Hale may not seal"),
        ("seal-second", "nobody", "is not enrolled"),
    ] {
        let errors = seal(&works, &[(field, text)]).unwrap_err();
        // A tare alone is told where the gross mass is missing.
        let field = if field == "seal-tare" {
            "seal-gross"
        } else {
            field
        };
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field} {text}: {errors:?}"
        );
    }
    let light = [("seal-gross", "99.9"), ("seal-tare", "100")];
    let errors = seal(&works, &light).unwrap_err();
    assert!(
        errors
            .of("seal-gross")
            .is_some_and(|why| why.contains("below the tare"))
    );
    let several = seal(&works, &[("seal-gross", "x"), ("seal-second", "")]).unwrap_err();
    assert_eq!(several.iter().count(), 2);
}
