//! The last steps; what is said anew, kept, corrected, or refused by the book.

use super::*;
use crate::export::sample::scale;

#[test]
fn a_step_is_recorded_anew_with_what_was_there_and_why() {
    let mut works = at_step(Step::Start);
    let mut anew = DestructionDraft::default();
    anew.open_anew(Some(Stage::Weigh), works.state());
    assert_eq!(anew.step(works.state()), Step::Weigh);
    assert_eq!(anew.found[&id("C-1")].get("found-gross"), "1004.5");
    let why = says_of(&works, anew.clone(), "why-anew", |_| {});
    assert!(why.contains("Reason is empty"));
    anew.session.set("why-anew", "the lid was on".to_owned());
    let again = entry(&works, &anew).expect("with a reason");
    works.write("sue", vec![again]);
    let log = works.state().session.as_ref().expect("under way");
    assert_eq!(log.steps.len(), 4);
    assert_eq!(log.steps[3].reason.as_deref(), Some("the lid was on"));
    anew.open_anew(Some(Stage::Count), works.state());
    assert!(anew.found.is_empty(), "a count stays blind");
}

#[test]
fn what_is_typed_is_kept_over_a_reload_until_the_step_is_recorded() {
    let mut works = at_step(Step::Weigh);
    let typed = c1(&[("found-gross", "1004.5")]);
    let kept = typed.kept(works.state()).expect("something is typed");
    assert_eq!(DestructionDraft::take_up(&kept, works.state()), typed);
    assert_eq!(DestructionDraft::default().kept(works.state()), None);
    let none = DestructionDraft::take_up("{}", works.state());
    assert_eq!(none, DestructionDraft::default());
    let weighed = entry(&works, &c1(&MASSES)).expect("weighed");
    works.write("sue", vec![weighed]);
    let old = DestructionDraft::take_up(&kept, works.state());
    assert_eq!(
        old,
        DestructionDraft::default(),
        "it was for the step before"
    );
}

#[test]
fn whoever_leaves_and_comes_is_named_with_a_reason() {
    let works = at_step(Step::Count);
    let log = works.state().session.as_ref().expect("under way");
    let read = |texts: &[(&'static str, &str)]| team_change(&of_session(texts).session, log);
    let says = |texts: &[(&'static str, &str)], field: &str| {
        let errors = read(texts).expect_err("something is missing");
        errors.of(field).unwrap_or_default().to_owned()
    };
    assert!(says(&[], TeamForm::WHAT).contains("Choose what changes"));
    let left = (TeamForm::WHAT, "left");
    assert!(says(&[left], TeamForm::WHO).contains("Choose who leaves"));
    assert!(says(&[left, (TeamForm::WHO, "wren")], TeamForm::REASON).contains("empty"));
    let reason = (TeamForm::REASON, "taken ill");
    let stranger = [left, (TeamForm::WHO, "ines"), reason];
    assert!(says(&stranger, TeamForm::WHO).contains("not a witness of this session"));
    assert!(read(&[left, (TeamForm::WHO, "wren"), reason]).is_ok());
    let came = (TeamForm::WHAT, "came");
    assert!(says(&[came], TeamForm::INSTEAD).contains("Choose who comes"));
    let operator = (TeamForm::WHAT, "operator");
    assert!(says(&[operator], TeamForm::INSTEAD).contains("Choose who works it now"));
    assert!(read(&[operator, (TeamForm::INSTEAD, "ben"), reason]).is_ok());
}

fn paper() -> Entry {
    Entry::PaperSet(crate::book::PaperSet {
        product: id("M20"),
        paper: crate::custody::Paper {
            bias: 0,
            spread: 800,
            ink: 0,
            ink_bias: 0,
        },
    })
}

/// 3 kg where a sheet of paper should lie.
const OFF: [(&str, &str); 3] = [
    ("found-gross", "4000"),
    ("found-tare", "1000"),
    ("found-scale", "W-1"),
];

#[test]
fn a_mass_that_differs_takes_a_reason_that_everybody_signs() {
    let mut works = at_step(Step::Weigh);
    works.write("sue", vec![Entry::ScaleSet(scale("W-1")), paper()]);
    let mut typed = c1(&OFF);
    assert!(typed.is_off(id("C-1"), works.state()));
    assert!(!c1(&MASSES).is_off(id("C-1"), works.state()));
    let why = says_of(&works, typed.clone(), OFF_BECAUSE, |_| {});
    assert!(
        why.contains("Container C-1: why its mass differs is empty"),
        "{why}"
    );
    let mut text = typed.found[&id("C-1")].clone();
    text.set(OFF_BECAUSE, "wet paper".to_owned());
    typed.weigh(id("C-1"), &text);
    let step = entry(&works, &typed).expect("with a reason");
    works.write("sue", vec![step]);
    for step in [Step::Start, Step::End, Step::Residue] {
        let step = entry(&works, &right(step)).expect("all is right");
        works.write("sue", vec![step]);
    }
    let record = entry(&works, &right(Step::Sign)).expect("all is right");
    works.write("sue", vec![record]);
    let session = &works.state().sessions[0];
    let signed = "Its mass is not that of its count: wet paper";
    assert!(session.statement.contains(signed), "{}", session.statement);
    let certificate = crate::export::certificate(works.state(), session);
    let notes = certificate.notes().join(" ");
    let off = "differs in mass from its count by +2995.6 g (± 1.2 g): wet paper.";
    assert!(notes.contains(off), "{notes}");
}

#[test]
fn readings_are_those_of_the_people_who_are_here() {
    let mut works = at_step(Step::Weigh);
    let mut typed = c1(&MASSES);
    let before = progress(works.state());
    let left = [
        (TeamForm::WHAT, "left"),
        (TeamForm::WHO, "wren"),
        (TeamForm::REASON, "taken ill"),
    ];
    let log = works.state().session.clone().expect("under way");
    let left = team_change(&of_session(&left).session, &log).expect("told");
    works.write("sue", vec![left]);
    let waits = entry(&works, &typed).expect_err("a witness is missing");
    assert!(
        waits
            .of("")
            .expect("said")
            .contains("1 of 2 witnesses are here")
    );
    typed.after_recorded(before, works.state());
    assert!(typed.found.is_empty(), "they are read again");
    let came = [(TeamForm::WHAT, "came"), (TeamForm::INSTEAD, "wren")];
    let log = works.state().session.clone().expect("under way");
    let came = team_change(&of_session(&came).session, &log).expect("told");
    works.write("sue", vec![came]);
    for step in [Step::Weigh, Step::Start, Step::End, Step::Residue] {
        let step = entry(&works, &right(step)).expect("all is right");
        works.write("sue", vec![step]);
    }
    let Ok(Entry::SpoilsDestroyed(record)) = entry(&works, &right(Step::Sign)) else {
        panic!("all is right");
    };
    // Nobody states that they saw what was done while they were away.
    assert_eq!(record.statement, PART_STATEMENT);
}

#[test]
fn what_was_mistyped_is_read_as_a_correction() {
    let mut works = at_step(Step::Sign);
    let record = entry(&works, &right(Step::Sign)).expect("all is right");
    works.write("sue", vec![record]);
    let session = &works.state().sessions[0];
    let read = |texts: &[(&'static str, &str)]| correction(&of_session(texts).session, session);
    let (reason, second) = (("fact-reason", "mistyped"), ("fact-second", "ben"));
    let says = |texts: &[(&'static str, &str)], field: &str| {
        let errors = read(texts).expect_err("something is missing");
        errors.of(field).unwrap_or_default().to_owned()
    };
    assert!(says(&[], "fact").contains("Choose what is wrong"));
    assert!(says(&[], "fact-second").contains("Choose who answers"));
    assert!(says(&[], "fact-reason").contains("empty"));
    let masses = ("fact", "masses");
    assert!(says(&[masses], "fact-container").contains("Choose the container"));
    let text = |fact, text| [("fact", fact), ("fact-text", text), reason, second];
    assert!(says(&text("started", "soon"), "fact-text").contains("not a date and time"));
    assert!(says(&text("particle", "0"), "fact-text").contains("Give 1 to"));
    let now = fact_as_it_is(&session.record, "machine");
    assert_eq!(now, "Granulator 2");
    let entry = read(&text("machine", "Granulator 3")).expect("all is told");
    let written = works.try_write("sue", vec![entry]);
    assert!(written.is_ok(), "{written:?}");
    assert_eq!(
        works.state().sessions[0].as_corrected().machine,
        "Granulator 3"
    );
}

#[test]
fn a_lead_who_may_not_lead_is_refused_by_the_book() {
    let mut works = works();
    let begun = entry(&works, &draft()).expect("the form does not ask who is signed in");
    let refused = works.try_write("ida", vec![begun]);
    assert!(matches!(refused, Err(Refusal::NotAllowed { .. })));
}

#[test]
fn how_and_when_are_told() {
    let works = at_step(Step::Start);
    let wrong = |field: &'static str, text: &str| {
        says_of(&works, of_session(&RUN), field, |draft| {
            draft.session.set(field, text.to_owned())
        })
    };
    assert!(wrong("machine", &"x".repeat(201)).contains("longer than 200"));
    assert!(wrong("method", "").contains("Choose how"));
    assert!(wrong("class", "P-9").contains("Choose the particle class"));
    assert!(wrong("started", "").contains("Start is empty"));
    assert!(wrong("started", "2026-11-25T10:01").contains("lies in the future"));
    assert!(wrong("started", "2026-11-25T09:01").contains("The session was begun at 09:"));
    let works = at_step(Step::End);
    let ended = |text: &str| says_of(&works, of_session(&[("ended", text)]), "ended", |_| {});
    assert!(ended("soon").contains("End is not a date and time"));
    assert!(ended("2026-11-25T09:40").contains("The end is not after the start"));
    assert!(ended("2026-11-25T10:01").contains("lies in the future"));
}

#[test]
fn the_residue_is_as_fine_as_its_class() {
    let works = at_step(Step::Residue);
    let wrong = |field: &'static str, text: &str| {
        says_of(&works, right(Step::Residue), field, |draft| {
            draft.session.set(field, text.to_owned())
        })
    };
    assert!(wrong("particle", "").contains("Measure a sample"));
    assert!(wrong("particle", "0").contains("is 0 mm²"));
    let coarse = wrong("particle", "91");
    assert!(coarse.contains("The largest particle is 91 mm² but P-5 allows 90 mm²"));
    assert!(wrong("particle", "fine").contains("not a whole number"));
    assert!(wrong("remarks", &"x".repeat(201)).contains("longer than 200"));
}

#[test]
fn burning_and_pulping_ask_for_no_particle_class() {
    for method in ["burning", "pulping"] {
        let mut works = at_step(Step::Start);
        let mut run = of_session(&RUN);
        run.session.set("method", method.to_owned());
        run.session.set("class", String::new());
        let started = entry(&works, &run).expect("nothing more is asked");
        works.write("sue", vec![started]);
        let ended = entry(&works, &right(Step::End)).expect("an end");
        works.write("sue", vec![ended]);
        // What is typed for another method does not get into the record.
        let residue = entry(&works, &of_session(&[("particle", "9999")])).expect("inspected");
        works.write("sue", vec![residue]);
        let Ok(Entry::SpoilsDestroyed(record)) = entry(&works, &right(Step::Sign)) else {
            panic!("all is right");
        };
        assert_eq!(
            (record.particle_class, record.largest_particle_mm2),
            (None, None)
        );
    }
}

/// Once the works has registered a scale, the one that was read is named.
#[test]
fn the_scale_is_named_where_there_is_one() {
    let mut works = at_step(Step::Weigh);
    works.write("sue", vec![Entry::ScaleSet(scale("W-2"))]);
    let says = |scale: &str| {
        says_of(&works, right(Step::Weigh), "found-scale", |draft| {
            let typed = draft.found.entry(id("C-1")).or_default();
            typed.set("found-scale", scale.to_owned());
        })
    };
    assert!(says("").contains("The scale is not named"));
    assert!(says("W-3").contains("W-3 is not registered"));
    let mut named = right(Step::Weigh);
    let typed = named.found.entry(id("C-1")).or_default();
    typed.set("found-scale", "W-2".to_owned());
    let weighed = entry(&works, &named).expect("all is right");
    works.write("sue", vec![weighed]);
    let mut anew = DestructionDraft::default();
    anew.open_anew(Some(Stage::Weigh), works.state());
    assert_eq!(anew.found[&id("C-1")].get("found-scale"), "W-2");
    for step in [Step::Start, Step::End, Step::Residue] {
        let done = entry(&works, &right(step)).expect("the next step");
        works.write("sue", vec![done]);
    }
    anew.open_anew(Some(Stage::Residue), works.state());
    assert_eq!(anew.session.get("particles-measured"), "40");
    assert_eq!(anew.session.get("particles-above"), "0");
    let Ok(Entry::SpoilsDestroyed(record)) = entry(&works, &right(Step::Sign)) else {
        panic!("all is right");
    };
    assert_eq!(record.containers[0].scale, Some(id("W-2")));
    assert_eq!(record.sample.map(|sample| sample.measured), Some(40));
}

#[test]
fn a_sample_is_counted_against_its_class() {
    let works = at_step(Step::Residue);
    let typed = |[measured, largest, above]: [&str; 3]| {
        of_session(&[
            ("particles-measured", measured),
            ("particle", largest),
            ("particles-above", above),
        ])
    };
    let wrong =
        |field: &'static str, texts: [&str; 3]| says_of(&works, typed(texts), field, |_| {});
    assert!(wrong("particles-measured", ["0", "28", "0"]).contains("no particle"));
    assert!(wrong("particles-measured", ["", "28", "0"]).contains("is empty"));
    assert!(wrong("particles-above", ["40", "28", ""]).contains("0 if there are none"));
    assert!(wrong("particles-above", ["40", "31", "0"]).contains("Correct the count"));
    assert!(wrong("particles-above", ["40", "90", "5"]).contains("allows 4 of them"));
    assert!(wrong("particles-above", ["40", "90", "41"]).contains("only 40 were measured"));
    let Ok(Entry::SessionStep(step)) = entry(&works, &typed(["40", "90", "4"])) else {
        panic!("a tenth may be larger");
    };
    let crate::custody::Done::Residue(residue) = step.done else {
        panic!("the residue");
    };
    let sample = residue.sample.expect("a sample");
    assert_eq!((sample.measured, sample.above), (40, 4));
}

#[test]
fn every_container_is_weighed() {
    let works = at_step(Step::Weigh);
    let wrong = |field: &'static str, text: &str| {
        says_of(&works, c1(&MASSES), field, |draft| {
            let typed = draft.found.get_mut(&id("C-1")).expect("C-1 is chosen");
            typed.set(field, text.to_owned());
        })
    };
    assert!(wrong("found-gross", "").contains("gross mass is empty"));
    assert!(wrong("found-tare", "").contains("tare mass is empty"));
    assert!(wrong("found-gross", "much").contains("is not a mass"));
    assert!(wrong("found-gross", "999").contains("below the tare"));
    let net = c1(&MASSES).net(id("C-1")).map(|net| net.milligrams());
    assert_eq!(net, Some(4_500));
}

#[test]
fn the_statements_fit_their_record() {
    assert!(STATEMENT.chars().count() <= 200);
    assert!(SAMPLE_STATEMENT.chars().count() <= 200);
    assert!(PART_STATEMENT.chars().count() <= 200);
    assert!(PART_SAMPLE_STATEMENT.chars().count() <= 200);
}
