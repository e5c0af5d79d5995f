//! Gross mass, tare and scale: of a sealing that is corrected, and of a container sealed anew.

use super::*;
use crate::custody::{ScaleId, TareAndScale};
use crate::export::sample::scale;

#[test]
fn a_sealing_is_corrected_with_every_fact_as_it_should_be() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    let weighed = seal(&works, &[("seal-gross", "1250.5")]).expect("sealed");
    works.write("ben", vec![weighed]);
    let known = works.state().container(id("C-1")).expect("there");
    let start = sealing_typed(known.sealing().expect("sealed"));
    assert_eq!(
        (start.get("mend-seal"), start.get("mend-gross")),
        ("S-1", "1250.5")
    );
    let mend = |works: &Works, other: &[(&'static str, &str)]| {
        let mut typed = start.clone();
        typed.set("mend-reason", "the scale was misread".to_owned());
        typed.set("mend-second", "ada".to_owned());
        for (field, text) in other {
            typed.set(field, (*text).to_owned());
        }
        sealing_corrected(&typed, works.state(), id("C-1"), id("ben"))
    };
    let same = mend(&works, &[]).unwrap_err();
    assert!(
        same.of("mend-seal")
            .is_some_and(|why| why.contains("stand already"))
    );
    let once = mend(&works, &[("mend-seal", "S-7")]).unwrap_err();
    assert!(once.of("mend-again").is_some());
    assert!(mend(&works, &[("mend-seal", "S-7"), ("mend-again", "S-7")]).is_ok());
    assert!(mend(&works, &[("mend-gross", "")]).is_ok());
    for (field, text) in [
        ("mend-gross", "heavy"),
        ("mend-reason", ""),
        ("mend-second", "ben"),
    ] {
        let errors = mend(&works, &[(field, text)]).unwrap_err();
        assert!(errors.of(field).is_some(), "{field}: {errors:?}");
    }
}

/// The same works with scale W1.
fn with_scale(mut works: Works) -> Works {
    works.write("sue", vec![Entry::ScaleSet(scale("W1"))]);
    works
}

fn on(scale: Option<ScaleId>, tare: u64) -> TareAndScale {
    let tare = Some(Mass::from_milligrams(tare));
    TareAndScale { tare, scale }
}

#[test]
fn a_wrong_tare_is_corrected_and_no_longer_bars_the_true_gross_mass() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    let wrong = [("seal-gross", "1250.5"), ("seal-tare", "1200")];
    works.write("ben", vec![seal(&works, &wrong).expect("sealed")]);
    let works = with_scale(works);
    let known = works.state().container(id("C-1")).expect("there");
    let start = sealing_typed(known.sealing().expect("sealed"));
    assert_eq!(
        (start.get("mend-tare"), start.get("mend-scale")),
        ("1200", "")
    );
    let mend = |gross: &str, tare: &str, scale: &str| {
        let mut typed = start.clone();
        for (field, text) in [
            ("mend-gross", gross),
            ("mend-tare", tare),
            ("mend-scale", scale),
            ("mend-reason", "the tare of another one"),
            ("mend-second", "ada"),
        ] {
            typed.set(field, text.to_owned());
        }
        sealing_corrected(&typed, works.state(), id("C-1"), id("ben"))
    };
    let facts = |read: Result<Entry, FieldErrors>| match read {
        Ok(Entry::SealingCorrected(data)) => (data.gross.map(Mass::milligrams), data.weighed),
        other => panic!("not a correction: {other:?}"),
    };
    let light = mend("1150", "1200", "").unwrap_err();
    assert!(
        light
            .of("mend-gross")
            .is_some_and(|why| why.contains("below the tare"))
    );
    let both = facts(mend("1150", "1100", "W1"));
    assert_eq!(both, (Some(1_150_000), Some(on(Some(id("W1")), 1_100_000))));
    // The scale was never named, and whoever corrects it may not know either.
    let unnamed = facts(mend("1250.5", "1100", ""));
    assert_eq!(unnamed, (Some(1_250_500), Some(on(None, 1_100_000))));
    // What stays is not named again.
    assert_eq!(facts(mend("1250", "1200", "")), (Some(1_250_000), None));
    assert_eq!(facts(mend("", "", "")), (None, None));
    let lone = mend("", "1100", "").unwrap_err();
    assert!(
        lone.of("mend-gross")
            .is_some_and(|why| why.contains("but not the gross mass"))
    );
    let strange = mend("1250.5", "1200", "W9").unwrap_err();
    assert!(strange.of("mend-scale").is_some(), "{strange:?}");
}

#[test]
fn a_container_sealed_anew_is_weighed_like_a_new_one() {
    let mut works = works();
    works.write("ben", fill(&works, "all", LOT, "").expect("all"));
    works.write("ben", vec![seal(&works, &[]).expect("sealed")]);
    let works = with_scale(works);
    let anew = |gross: &str, tare: &str, scale: &str| {
        let typed = Typed::with([
            ("seal-number", "S-2"),
            ("seal-again", "S-2"),
            ("seal-gross", gross),
            ("seal-tare", tare),
            ("seal-scale", scale),
            ("seal-second", "ada"),
        ]);
        container_resealed(&typed, works.state(), id("C-1"), id("ben"))
    };
    let Ok(Entry::ContainerResealed(data)) = anew("1250.5", "1200", "W1") else {
        panic!("a good sealing is refused")
    };
    assert_eq!(data.gross.map(Mass::milligrams), Some(1_250_500));
    assert_eq!(data.tare.map(Mass::milligrams), Some(1_200_000));
    assert_eq!(data.scale, Some(id("W1")));
    for (gross, tare, scale, field, part) in [
        ("1199", "1200", "W1", "seal-gross", "below the tare"),
        ("", "1200", "W1", "seal-gross", "but not the gross mass"),
        ("1250.5", "1200", "", "seal-scale", "is not named"),
        ("1250.5", "light", "W1", "seal-tare", "is not a mass"),
    ] {
        let errors = anew(gross, tare, scale).unwrap_err();
        assert!(
            errors.of(field).is_some_and(|why| why.contains(part)),
            "{field}: {errors:?}"
        );
    }
    let Ok(Entry::ContainerResealed(data)) = anew("", "", "W1") else {
        panic!("a container need not be weighed")
    };
    assert_eq!((data.gross, data.tare, data.scale), (None, None, None));
}
