use super::*;

fn typed(other: &[(&'static str, &str)]) -> Typed {
    let mut typed = Typed::with([
        ("residue-mass", "20500"),
        ("residue-destination", " Calder board mill "),
        ("residue-receipt", "R-1"),
        ("residue-date", "2026-11-25"),
    ]);
    for (field, text) in other {
        typed.set(field, (*text).to_owned());
    }
    typed
}

fn read(typed: &Typed) -> Result<Entry, FieldErrors> {
    let session = "D-1".parse().expect("a session");
    residue_sent(typed, &[session], "2026-11-25".parse().expect("a day"))
}

#[test]
fn residue_is_read() {
    let Ok(Entry::ResidueSent(data)) = read(&typed(&[])) else {
        panic!("a good form is refused");
    };
    assert_eq!(data.mass.milligrams(), 20_500_000);
    assert_eq!(data.destination, "Calder board mill");
    assert_eq!(data.date.to_string(), "2026-11-25");
}

#[test]
fn each_fault_is_at_its_field() {
    for (field, text, part) in [
        ("residue-mass", "", "Weigh the residue"),
        ("residue-mass", "0", "is 0"),
        ("residue-mass", "much", "is not a mass"),
        ("residue-destination", " ", "is empty"),
        ("residue-receipt", "", "is empty"),
        ("residue-date", "", "Choose it"),
        ("residue-date", "2026-11-26", "has not come yet"),
    ] {
        let errors = read(&typed(&[(field, text)])).unwrap_err();
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field}: {errors:?}"
        );
    }
    let none = residue_sent(&typed(&[]), &[], "2026-11-25".parse().expect("a day")).unwrap_err();
    assert!(
        none.of("residue-sessions")
            .is_some_and(|why| why.contains("Choose the sessions"))
    );
}
