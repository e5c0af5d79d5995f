use super::*;
use crate::book::{ContainerFilled, ContainerOpened, ContainerSealed, Entry, Refusal};
use crate::custody::{Counting, Method};
use crate::desk::forms::FieldErrors;
use crate::export::sample::{Works, id, lot};
use crate::people::PersonId;
use crate::sheet::SheetNo;

mod again;

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
        vec![Entry::ContainerOpened(ContainerOpened {
            container,
            place: None,
        })],
    );
    works
}

fn filled(container: &str, sheet: u32) -> Vec<Entry> {
    let container = id(container);
    let sheets = vec![(lot(), SheetNo::new(sheet).expect("from 1"))];
    vec![
        Entry::ContainerOpened(ContainerOpened {
            container,
            place: None,
        }),
        Entry::ContainerFilled(ContainerFilled {
            container,
            sheets,
            notes: Vec::new(),
            replacements: Vec::new(),
        }),
    ]
}

/// Everything right for beginning a session on C-1, led by sue, operated by ada.
fn draft() -> DestructionDraft {
    DestructionDraft {
        at_containers: true,
        session: Typed::with([
            ("session", "D-1"),
            ("operator", "ada"),
            ("place", "Boiler house"),
        ]),
        witnesses: vec![id("wren"), id("osk")],
        found: [(id("C-1"), Typed::default())].into(),
        ..DestructionDraft::default()
    }
}

const NOW: &str = "2026-11-25T10:00:00+01:00";

fn entry(works: &Works, draft: &DestructionDraft) -> Result<Entry, FieldErrors> {
    let now = id(NOW);
    draft.entry(&Setting {
        state: works.state(),
        lead: id("sue"),
        now: &now,
    })
}

/// What is said at a field of a draft that was changed somewhere.
fn says_of(
    works: &Works,
    mut draft: DestructionDraft,
    field: &str,
    change: impl FnOnce(&mut DestructionDraft),
) -> String {
    change(&mut draft);
    let errors = entry(works, &draft).expect_err("something is wrong");
    let said = errors.of(field);
    said.unwrap_or_else(|| panic!("nothing at {field}: {errors:?}"))
        .to_owned()
}

fn says(works: &Works, field: &str, change: impl FnOnce(&mut DestructionDraft)) -> String {
    says_of(works, draft(), field, change)
}

/// The fields of C-1 at one step.
fn c1(texts: &[(&'static str, &str)]) -> DestructionDraft {
    let mut typed = Typed::default();
    for (field, text) in texts {
        typed.set(field, (*text).to_owned());
    }
    DestructionDraft {
        found: [(id("C-1"), typed)].into(),
        ..DestructionDraft::default()
    }
}

/// The fields of the session at one step.
fn of_session(texts: &[(&'static str, &str)]) -> DestructionDraft {
    let mut draft = DestructionDraft::default();
    for (field, text) in texts {
        draft.session.set(field, (*text).to_owned());
    }
    draft
}

const COUNT: [(&str, &str); 3] = [
    ("found-sheets", "1"),
    ("found-notes", "0"),
    ("compared", "yes"),
];
const MASSES: [(&str, &str); 2] = [("found-gross", "1004.5"), ("found-tare", "1000")];
const RUN: [(&str, &str); 4] = [
    ("machine", "Granulator 2"),
    ("method", "granulating"),
    ("class", "P-5"),
    ("started", "2026-11-25T09:40"),
];

/// What is typed at each step of a session in which everything is right.
fn right(step: Step) -> DestructionDraft {
    match step {
        Step::Persons | Step::Containers => draft(),
        Step::Seals => c1(&[("found-seal", "S-2")]),
        Step::Count => c1(&COUNT),
        Step::Weigh => c1(&MASSES),
        Step::Start => of_session(&RUN),
        Step::End => of_session(&[("ended", "2026-11-25T09:50:30")]),
        Step::Residue => of_session(&[
            ("particles-measured", "40"),
            ("particle", "28"),
            ("particles-above", "0"),
        ]),
        Step::Sign => DestructionDraft::default(),
    }
}

/// A book in which the session stands at a step.
fn at_step(step: Step) -> Works {
    let mut works = works();
    let before = Step::ALL.into_iter().skip(1);
    for done in before.take_while(|one| *one < step) {
        let entry = entry(&works, &right(done)).unwrap_or_else(|why| panic!("{done:?}: {why:?}"));
        works.write("sue", vec![entry]);
    }
    assert_eq!(DestructionDraft::default().step(works.state()), step);
    works
}

#[test]
fn a_whole_session_makes_a_record_that_the_book_takes() {
    let mut works = at_step(Step::Sign);
    let Ok(Entry::SpoilsDestroyed(record)) = entry(&works, &right(Step::Sign)) else {
        panic!("all is right");
    };
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
fn the_session_number_and_the_place_before_are_proposed() {
    let mut works = works();
    let fresh = |works: &Works, now: &str| DestructionDraft::new(works.state(), &id(now)).session;
    assert_eq!(fresh(&works, NOW).get("session"), "D-2026-11-25-1");
    let mut first = draft();
    first.session.set("session", "D-2026-11-25-1".to_owned());
    let begun = entry(&works, &first).expect("all is right");
    works.write("sue", vec![begun]);
    let log = works.state().session.clone().expect("under way");
    let reason = Typed::with([("abandon-reason", "no power")]);
    let given_up = abandon(&reason, &log).expect("a reason");
    works.write("sue", vec![given_up]);
    // An abandoned session keeps its number.
    assert_eq!(fresh(&works, NOW).get("session"), "D-2026-11-25-2");
    let before_cut_over = fresh(&works, "2026-11-26T05:00:00+01:00");
    assert_eq!(before_cut_over.get("session"), "D-2026-11-25-2");
    let none = abandon(&Typed::default(), &log).expect_err("no reason");
    assert!(none.of("abandon-reason").is_some());
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
    let place = says(&works, "place", |draft| {
        draft.session.set("place", " ".to_owned())
    });
    assert!(place.contains("Place is empty"));
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
    works = at_step(Step::Sign);
    let record = entry(&works, &right(Step::Sign)).expect("all is right");
    works.write("sue", vec![record]);
    let gone = says(&works, "containers", |draft| {
        draft.session.set("session", "D-2".into())
    });
    assert!(gone.contains("was destroyed in session D-1"), "{gone}");
}

#[test]
fn a_seal_that_differs_has_to_be_said_so() {
    let works = at_step(Step::Seals);
    let seal = |text: &str| says_of(&works, c1(&[("found-seal", text)]), "found-seal", |_| {});
    assert!(seal("S-3").contains("the seal found is S-3, but it was sealed with S-2"));
    assert!(seal("").contains("its seal is not read yet"));
    let small = entry(&works, &c1(&[("found-seal", "s-2")]));
    assert_eq!(small, entry(&works, &c1(&[("found-seal", "S-2")])));
    assert!(small.is_ok());
    let mut other = c1(&[("found-seal", "S-3")]);
    other.say_differs(id("C-1"));
    assert!(entry(&works, &other).is_ok());
    // A seal typed otherwise has to be said again.
    let typed = Typed::with([("found-seal", "S-4"), ("differs", "yes")]);
    other.type_in(id("C-1"), &typed);
    assert!(entry(&works, &other).is_err());
    assert!(entry(&works, &c1(&[("not-found", "yes")])).is_ok());
    // A torn seal may be past reading; a whole one is read.
    for read in ["", "S-2"] {
        let torn = c1(&[("seal-broken", "yes"), ("found-seal", read)]);
        let Ok(Entry::SessionStep(step)) = entry(&works, &torn) else {
            panic!("a broken seal is told");
        };
        let Done::Seals(seals) = step.done else {
            panic!("seals");
        };
        assert!(seals[0].broken);
        assert_eq!(seals[0].seal.is_some(), !read.is_empty());
    }
}

#[test]
fn counts_must_agree_or_be_said_to_differ() {
    let works = at_step(Step::Count);
    let wrong = |field: &'static str, text: &str| {
        says_of(&works, c1(&COUNT), field, |draft| {
            let typed = draft.found.get_mut(&id("C-1")).expect("C-1 is chosen");
            typed.set(field, text.to_owned());
        })
    };
    assert!(wrong("found-sheets", "2").contains("2 sheets counted, 1 declared"));
    assert!(wrong("found-notes", "1").contains("1 notes counted, 0 declared"));
    assert!(wrong("found-sheets", "").contains("its sheets are not counted yet"));
    assert!(wrong("found-sheets", "two").contains("is not a whole number"));
    assert!(wrong("found-notes", "10000001").contains("Give 0 to 10000000"));
    assert!(wrong("compared", "").contains("not compared"));
    let mut less = c1(&COUNT);
    less.found
        .entry(id("C-1"))
        .or_default()
        .set("found-sheets", "0".to_owned());
    less.say_differs(id("C-1"));
    let Ok(Entry::SessionStep(step)) = entry(&works, &less) else {
        panic!("said to differ");
    };
    let Done::Count(list) = step.done else {
        panic!("a count");
    };
    let counted = Counting::All {
        sheets: 0,
        notes: 0,
    };
    assert_eq!(list[0].counted, counted);
}

#[test]
fn what_was_declared_stays_hidden_until_it_is_counted() {
    let works = at_step(Step::Count);
    let now = id(NOW);
    let at = Setting {
        state: works.state(),
        lead: id("sue"),
        now: &now,
    };
    let mut draft = c1(&[("found-sheets", "5")]);
    assert_eq!(draft.declared(id("C-1"), &at), None);
    assert!(draft.compare(id("C-1"), &at).is_err(), "notes are missing");
    assert_eq!(draft.declared(id("C-1"), &at), None);
    let typed = Typed::with([("found-sheets", "5"), ("found-notes", "0")]);
    draft.type_in(id("C-1"), &typed);
    draft.compare(id("C-1"), &at).expect("all is typed");
    let contents = draft.declared(id("C-1"), &at).expect("uncovered");
    assert_eq!((contents.sheets, contents.notes), (1, 0));
    let wrong = draft.container_right(Step::Count, id("C-1"), &at);
    assert!(wrong.is_err(), "five are not one");
}
