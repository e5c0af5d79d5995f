use super::*;

#[test]
fn burning_and_pulping_ask_for_no_particle_class() {
    let works = works();
    for method in ["burning", "pulping"] {
        let mut draft = draft();
        draft.session.set("method", method.to_owned());
        // What was typed while another method stood there does not get into the record.
        draft.session.set("particle", "9999".to_owned());
        let record = read(&works, &draft).expect("nothing more is asked");
        assert_eq!(
            (record.particle_class, record.largest_particle_mm2),
            (None, None)
        );
    }
}

#[test]
fn granulating_asks_for_the_class() {
    let granulated = says(&works(), "class", |draft| {
        draft.session.set("method", "granulating".to_owned());
        draft.session.set("class", String::new());
    });
    assert!(granulated.contains("Choose the particle class"));
}

#[test]
fn the_residue_is_as_fine_as_its_class() {
    let works = works();
    let wrong = |text: &str| {
        says(&works, "particle", |draft| {
            draft.session.set("particle", text.to_owned())
        })
    };
    assert!(wrong("").contains("Measure a sample"));
    assert!(wrong("0").contains("is 0 mm²"));
    assert!(wrong("31").contains("The largest particle is 31 mm² but P-5 allows 30 mm²"));
    assert!(wrong("fine").contains("not a whole number"));
    assert!(
        says(&works, "remarks", |draft| draft
            .session
            .set("remarks", "x".repeat(201)))
        .contains("longer than 200")
    );
}
