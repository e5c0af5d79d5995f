mod residue;

use super::*;
use crate::book::{ContainerFilled, ContainerOpened, ContainerSealed, Entry, Refusal};
use crate::custody::{Mass, Method};
use crate::export::sample::{Works, id, lot};
use crate::sheet::SheetNo;

/// C-1 with sheet 2, tagged by ida, sealed by ben and sue; C-2 with sheet 3, tagged by ines,
/// sealed by ben and ada; C-3 open. All before 09:30.
fn works() -> Works {
    let mut works = Works::new();
    works.examine("ida", 2, &[], true);
    works.examine("ines", 3, &[], true);
    for (container, sheet, second) in [("C-1", 2, "sue"), ("C-2", 3, "ada")] {
        works.write("ben", filled(container, sheet));
        let seal = Entry::ContainerSealed(ContainerSealed {
            container: id(container),
            seal: id(&format!("S-{sheet}")),
            second: id(second),
            gross: None,
            tare: None,
            scale: None,
        });
        works.write("ben", vec![seal]);
    }
    let container = id("C-3");
    works.write(
        "ben",
        vec![Entry::ContainerOpened(ContainerOpened { container })],
    );
    works
}

fn filled(container: &str, sheet: u32) -> Vec<Entry> {
    let container = id(container);
    let sheets = vec![(lot(), SheetNo::new(sheet).expect("from 1"))];
    vec![
        Entry::ContainerOpened(ContainerOpened { container }),
        Entry::ContainerFilled(ContainerFilled {
            container,
            sheets,
            notes: Vec::new(),
            replacements: Vec::new(),
        }),
    ]
}

/// Everything right for destroying C-1, led by sue, operated by ada.
fn draft() -> DestructionDraft {
    let found = Typed::with([
        ("found-seal", "S-2"),
        ("found-sheets", "1"),
        ("found-notes", "0"),
        ("compared", "yes"),
        ("found-gross", "1004.5"),
        ("found-tare", "1000"),
    ]);
    DestructionDraft {
        step: Step::Sign,
        session: Typed::with([
            ("session", "D-1"),
            ("operator", "ada"),
            ("place", "Boiler house"),
            ("machine", "Granulator 2"),
            ("method", "granulating"),
            ("class", "P-5"),
            ("started", "2026-11-25T09:40"),
            ("ended", "2026-11-25T09:50:30"),
            ("particles-measured", "40"),
            ("particle", "28"),
            ("particles-above", "0"),
        ]),
        witnesses: vec![id("wren"), id("osk")],
        found: [(id("C-1"), found)].into(),
        handed_in: None,
    }
}

const NOW: &str = "2026-11-25T10:00:00+01:00";

fn read(works: &Works, draft: &DestructionDraft) -> Result<Destruction, FieldErrors> {
    let now = id(NOW);
    draft.read(&Setting {
        state: works.state(),
        lead: id("sue"),
        now: &now,
    })
}

/// What is said at a field of a draft that was changed somewhere.
fn says(works: &Works, field: &str, change: impl FnOnce(&mut DestructionDraft)) -> String {
    let mut draft = draft();
    change(&mut draft);
    let errors = read(works, &draft).expect_err("something is wrong");
    let said = errors.of(field);
    said.unwrap_or_else(|| panic!("nothing at {field}: {errors:?}"))
        .to_owned()
}

fn found(draft: &mut DestructionDraft, field: &'static str, text: &str) {
    let typed = draft.found.get_mut(&id("C-1")).expect("C-1 is chosen");
    typed.set(field, text.to_owned());
}

#[test]
fn a_whole_session_makes_a_record_that_the_book_takes() {
    let mut works = works();
    let record = read(&works, &draft()).expect("all is right");
    assert_eq!(record.method, Method::Granulating);
    assert_eq!(record.ended.to_string(), "2026-11-25T09:50:30+01:00");
    assert_eq!(record.containers[0].gross.milligrams(), 1_004_500);
    assert_eq!(record.statement, STATEMENT);
    works.write("sue", vec![Entry::SpoilsDestroyed(record)]);
    let again = says(&works, "session", |_| {});
    assert!(
        again.starts_with("Session number D-1 is used by entry "),
        "{again}"
    );
}

/// The longest statement a record may carry has 200 characters.
#[test]
fn the_statement_fits_its_record() {
    assert!(STATEMENT.chars().count() <= 200);
}

#[test]
fn the_session_number_is_proposed() {
    let mut works = works();
    let now = id(NOW);
    assert_eq!(proposed_session(works.state(), &now), "D-2026-11-25-1");
    let mut first = draft();
    first.session.set("session", "D-2026-11-25-1".to_owned());
    let record = read(&works, &first).expect("all is right");
    works.write("sue", vec![Entry::SpoilsDestroyed(record)]);
    assert_eq!(proposed_session(works.state(), &now), "D-2026-11-25-2");
    let before_cut_over = id("2026-11-26T05:00:00+01:00");
    assert_eq!(
        proposed_session(works.state(), &before_cut_over),
        "D-2026-11-25-2"
    );
}

#[test]
fn whoever_must_be_here_is() {
    let works = works();
    let operator = |who: &str| {
        says(&works, "operator", |draft| {
            draft.session.set("operator", who.to_owned())
        })
    };
    assert!(operator("").starts_with("Choose who works the machine"));
    assert!(operator("wren").contains("may not operate a destruction"));
    assert!(operator("zoe").contains("is not enrolled"));
    assert!(
        says(&works, "session", |draft| draft
            .session
            .set("session", "D 1".into()))
        .contains("contains \" \"")
    );
    let witnesses = |list: &[&str]| {
        let list: Vec<PersonId> = list.iter().map(|who| id(who)).collect();
        says(&works, "witnesses", |draft| draft.witnesses = list)
    };
    assert!(witnesses(&["wren"]).starts_with("1 of 2 witnesses are named"));
    assert!(witnesses(&["wren", "ben"]).contains("may not witness a destruction"));
    assert!(witnesses(&["wren", "ada"]).starts_with("Ada Merrow operates the destruction"));
    assert!(
        witnesses(&["wren", "osk", "wren"])
            .contains("is named as a witness and is named as a witness")
    );
}

#[test]
fn nobody_witnesses_what_they_sealed_or_tagged_or_lead() {
    let mut works = works();
    let now = id(NOW);
    let barred = |works: &Works, draft: &DestructionDraft, lead: &str, who: &str| {
        let at = Setting {
            state: works.state(),
            lead: id(lead),
            now: &now,
        };
        let standing = draft
            .standings(&at)
            .into_iter()
            .find(|one| one.person == id(who));
        standing.expect("a witness by role")
    };
    let first = draft();
    assert_eq!(barred(&works, &first, "sue", "wren").barred, None);
    let ines = barred(&works, &first, "sue", "ines");
    assert_eq!(ines.barred, None, "C-2 is not chosen");
    assert_eq!(ines.not_for.len(), 1, "she tagged what lies in C-2");
    let mut both = draft();
    both.found.insert(id("C-2"), Typed::default());
    both.session.set("operator", "ben".to_owned());
    let why = |who| barred(&works, &both, "sue", who).barred.unwrap_or_default();
    assert!(
        why("ines").starts_with("Ines Varro tagged sheets"),
        "{}",
        why("ines")
    );
    assert!(
        why("ada").starts_with("Ada Merrow sealed a container"),
        "{}",
        why("ada")
    );
    assert!(
        barred(&works, &first, "wren", "wren")
            .barred
            .unwrap_or_default()
            .contains("leads this session")
    );
    let mut rules = (*works.state().rules).clone();
    rules.outside_witness = true;
    works.write("sue", vec![Entry::RulesSet(rules)]);
    let none_outside = says(&works, "witnesses", |draft| {
        draft.witnesses = vec![id("wren"), id("ines")]
    });
    assert!(none_outside.starts_with("No witness is from outside production"));
}

#[test]
fn only_sealed_containers_are_destroyed() {
    let mut works = works();
    let choose = |works: &Works, container: &'static str| {
        says(works, "containers", |draft| {
            draft.found = [(id(container), Typed::default())].into()
        })
    };
    assert!(
        says(&works, "containers", |draft| draft.found.clear())
            .starts_with("No container is named")
    );
    assert!(choose(&works, "C-9").contains("is not in the cage"));
    assert!(choose(&works, "C-3").contains("is not sealed"));
    let record = read(&works, &draft()).expect("all is right");
    works.write("sue", vec![Entry::SpoilsDestroyed(record)]);
    let gone = says(&works, "containers", |draft| {
        draft.session.set("session", "D-2".into())
    });
    assert!(gone.contains("was destroyed in session D-1"), "{gone}");
}

#[test]
fn seals_and_counts_must_agree() {
    let works = works();
    let wrong =
        |field: &'static str, text: &str| says(&works, field, |draft| found(draft, field, text));
    assert!(
        wrong("found-seal", "S-3").contains("the seal found is S-3, but it was sealed with S-2")
    );
    assert!(wrong("found-seal", "").contains("its seal is not read yet"));
    assert!(wrong("found-sheets", "2").contains("2 sheets counted, 1 declared"));
    assert!(wrong("found-notes", "1").contains("1 notes counted, 0 declared"));
    assert!(wrong("found-sheets", "").contains("its sheets are not counted yet"));
    assert!(wrong("found-sheets", "two").contains("is not a whole number"));
    assert!(wrong("found-notes", "10000001").contains("Give 0 to 10000000"));
    assert!(
        says(&works, "compared", |draft| found(draft, "compared", "")).contains("not compared")
    );
}

#[test]
fn what_was_declared_stays_hidden_until_it_is_counted() {
    let works = works();
    let now = id(NOW);
    let at = Setting {
        state: works.state(),
        lead: id("sue"),
        now: &now,
    };
    let mut draft = draft();
    found(&mut draft, "compared", "");
    found(&mut draft, "found-notes", "");
    assert_eq!(draft.declared(id("C-1"), &at), None);
    assert!(draft.compare(id("C-1")).is_err(), "nothing is counted yet");
    assert_eq!(draft.declared(id("C-1"), &at), None);
    found(&mut draft, "found-notes", "5");
    draft.compare(id("C-1")).expect("all is typed");
    let (seal, contents) = draft.declared(id("C-1"), &at).expect("uncovered");
    assert_eq!(
        (seal.as_str(), contents.sheets, contents.notes),
        ("S-2", 1, 0)
    );
    assert!(draft.check(Step::Count, &at).is_err(), "five are not none");
}

#[test]
fn every_container_is_weighed() {
    let works = works();
    let wrong =
        |field: &'static str, text: &str| says(&works, field, |draft| found(draft, field, text));
    assert!(wrong("found-gross", "").contains("gross mass is empty"));
    assert!(wrong("found-tare", "").contains("tare mass is empty"));
    assert!(wrong("found-gross", "much").contains("is not a mass"));
    assert!(wrong("found-gross", "999").contains("below the tare"));
    assert_eq!(draft().net(id("C-1")), Some(Mass::from_milligrams(4_500)));
}

#[test]
fn how_where_and_when_are_told() {
    let works = works();
    let wrong = |field: &'static str, text: &str| {
        says(&works, field, |draft| {
            draft.session.set(field, text.to_owned())
        })
    };
    assert!(wrong("place", " ").contains("Place is empty"));
    assert!(wrong("machine", &"x".repeat(201)).contains("longer than 200"));
    assert!(wrong("method", "").contains("Choose how"));
    assert!(wrong("class", "P-9").contains("Choose the particle class"));
    assert!(wrong("started", "").contains("Start is empty"));
    assert!(wrong("ended", "soon").contains("End is not a date and time"));
    assert!(wrong("ended", "2026-11-25T09:40").contains("The end is not after the start"));
    assert!(wrong("ended", "2026-11-25T10:01").contains("lies in the future"));
    assert!(wrong("started", "2026-11-25T09:01").contains("was sealed at 09:"));
}

#[test]
fn a_step_that_is_wrong_again_is_shown_again() {
    let works = works();
    let now = id(NOW);
    let at = Setting {
        state: works.state(),
        lead: id("sue"),
        now: &now,
    };
    let mut draft = draft();
    assert_eq!(draft.shown(&at), Step::Sign);
    draft.session.set("place", String::new());
    assert_eq!(draft.shown(&at), Step::Destroy);
    draft.witnesses.clear();
    assert_eq!(draft.shown(&at), Step::Persons);
    assert_eq!(Step::Sign.next(), Step::Sign);
}

#[test]
fn a_lead_who_may_not_lead_is_refused_by_the_book() {
    let mut works = works();
    let record = read(&works, &draft()).expect("the form does not ask who is signed in");
    let refused = works.try_write("ida", vec![Entry::SpoilsDestroyed(record)]);
    assert!(matches!(refused, Err(Refusal::NotAllowed { .. })));
}

/// Once the works has registered a scale, the one that was read is named.
#[test]
fn the_scale_is_named_where_there_is_one() {
    let mut works = works();
    let scale = crate::custody::Scale {
        scale: id("W-2"),
        resolution: Mass::from_milligrams(500),
        repeatability: Mass::from_milligrams(400),
        error: None,
        calibrated: id("2026-01-15"),
        interval_days: 365,
    };
    works.write("sue", vec![Entry::ScaleSet(scale)]);
    let missing = says(&works, "found-scale", |_| {});
    assert!(missing.contains("The scale is not named"), "{missing}");
    let other = says(&works, "found-scale", |draft| {
        found(draft, "found-scale", "W-3")
    });
    assert!(other.contains("W-3 is not registered"), "{other}");
    let mut named = draft();
    found(&mut named, "found-scale", "W-2");
    let record = read(&works, &named).expect("all is right");
    assert_eq!(record.containers[0].scale, Some(id("W-2")));
}
