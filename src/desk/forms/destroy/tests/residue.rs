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
    assert!(wrong("91").contains("The largest particle is 91 mm² but P-5 allows 90 mm²"));
    assert!(wrong("fine").contains("not a whole number"));
    assert!(
        says(&works, "remarks", |draft| draft
            .session
            .set("remarks", "x".repeat(201)))
        .contains("longer than 200")
    );
}

#[test]
fn a_sample_is_counted_against_its_class() {
    let works = works();
    let wrong = |field: &'static str, typed: [&str; 3]| {
        says(&works, field, |draft| {
            let fields = ["particles-measured", "particle", "particles-above"];
            for (field, text) in fields.into_iter().zip(typed) {
                draft.session.set(field, text.to_owned());
            }
        })
    };
    assert!(wrong("particles-measured", ["0", "28", "0"]).contains("no particle"));
    assert!(wrong("particles-measured", ["", "28", "0"]).contains("is empty"));
    assert!(wrong("particles-above", ["40", "28", ""]).contains("0 if there are none"));
    assert!(wrong("particles-above", ["40", "31", "0"]).contains("Correct the count"));
    assert!(wrong("particles-above", ["40", "90", "5"]).contains("allows 4 of them"));
    assert!(wrong("particles-above", ["40", "90", "41"]).contains("only 40 were measured"));
    let mut draft = draft();
    draft.session.set("particle", "90".to_owned());
    draft.session.set("particles-above", "4".to_owned());
    let record = read(&works, &draft).expect("a tenth may be larger");
    let sample = record.sample.expect("a sample");
    assert_eq!((sample.measured, sample.above), (40, 4));
}
