use super::*;
use crate::sheet::sample::sheet;

fn typed(change: &[(&'static str, &str)]) -> Typed {
    let mut typed = Typed::with([
        ("press-lot", "L2"),
        ("press-what", "lost"),
        ("press-sheet", "7"),
        ("press-after", "7"),
        ("press-sheets", "2"),
        ("press-reason", " fed double "),
        ("press-second", "cas"),
    ]);
    for (field, text) in change {
        typed.set(field, (*text).to_owned());
    }
    typed
}

fn read(change: &[(&'static str, &str)]) -> Result<Entry, FieldErrors> {
    press_differed(&typed(change), &State::default())
}

fn expected(what: Difference) -> Entry {
    Entry::PressDiffered(PressDiffered {
        lot: "L2".parse().unwrap(),
        what,
        reason: "fed double".to_owned(),
        second: "cas".parse().unwrap(),
    })
}

#[test]
fn a_lost_sheet_and_added_ones_are_read() {
    let lost = Difference::Lost { sheet: sheet(7) };
    assert_eq!(read(&[]), Ok(expected(lost)));
    let (after, sheets) = (Some(sheet(7)), 2);
    let added = read(&[("press-what", "added"), ("press-sheet", "")]);
    assert_eq!(added, Ok(expected(Difference::Added { after, sheets })));
    let first = read(&[("press-what", "added"), ("press-after", "0")]);
    let after = None;
    assert_eq!(first, Ok(expected(Difference::Added { after, sheets })));
}

#[test]
fn each_wrong_value_is_named_at_its_field() {
    let added = ("press-what", "added");
    for (change, field, says) in [
        (vec![("press-lot", "")], "press-lot", "not chosen"),
        (vec![("press-sheet", "0")], "press-sheet", "Give 1 to"),
        (vec![("press-sheet", "all")], "press-sheet", "whole number"),
        (vec![added, ("press-after", "")], "press-after", "Give 0 to"),
        (
            vec![added, ("press-sheets", "0")],
            "press-sheets",
            "Give 1 to",
        ),
        (
            vec![("press-reason", " ")],
            "press-reason",
            "Reason is empty",
        ),
        (vec![("press-second", "")], "press-second", "empty"),
    ] {
        let errors = read(&change).unwrap_err();
        let said = errors
            .of(field)
            .unwrap_or_else(|| panic!("{field}: {errors:?}"));
        assert!(said.contains(says), "{field}: {said}");
        assert_eq!(errors.iter().count(), 1, "{errors:?}");
    }
    let all = press_differed(&Typed::default(), &State::default()).unwrap_err();
    assert_eq!(all.iter().count(), 4, "{all:?}");
}

#[test]
fn a_refusal_is_told_at_its_field() {
    let lot = "L2".parse().unwrap();
    let why = "it is not examined yet";
    let lost = Refusal::NotLost {
        sheet: sheet(1),
        why,
    };
    assert_eq!(press_field(&lost), "press-sheet");
    assert_eq!(
        press_field(&Refusal::NoRoomInNumbering(lot)),
        "press-sheets"
    );
    assert_eq!(press_field(&Refusal::CameNumbered(lot)), "press-lot");
    let same = Refusal::SamePerson("sue".parse().unwrap());
    assert_eq!(press_field(&same), "press-second");
}
