//! The destruction session as entries: its order, what it is refused for, how it goes on after
//! every fault, and what is corrected afterwards.

use cullbook::book::*;
use cullbook::custody::{DestructionError as Not, SessionError as No, *};
use cullbook::inspect::{Count, Rules};
use cullbook::people::{Duty, Part, Role};

use super::session_steps::*;
use super::works::*;

/// C1 with a whole sheet, C2 with two notes, both sealed; `max` may witness too, from outside.
fn two_containers() -> Works {
    let mut works = Works::replaced();
    let witness = person("max", &[Role::Witness], true);
    works.must("sue", Entry::PersonEnrolled(witness));
    for (name, seal, sheets) in [("C1", "S-1", true), ("C2", "S-2", false)] {
        works.must("cal", container(name));
        let spoils = works.state().cage.spoils.iter();
        let loose = spoils.filter(|(_, place)| **place == Place::Loose);
        let items = loose.map(|(item, _)| *item);
        let items: Vec<_> = items
            .filter(|item| matches!(item, Item::Sheet(..)) == sheets)
            .collect();
        works.must("cal", filled(name, items));
        works.must("cal", sealed(name, seal, "cas"));
    }
    works
}

fn begun_with_two() -> Works {
    let mut works = two_containers();
    works.must("cal", begin("D1", &["C1", "C2"]));
    works
}

#[track_caller]
fn no(works: &mut Works, by: &str, entry: Entry) -> No {
    match works.refused(by, entry) {
        Refusal::Session(why) => why,
        other => panic!("refused for something else: {other}"),
    }
}

#[track_caller]
fn not(works: &mut Works, by: &str, entry: Entry) -> Not {
    match works.refused(by, entry) {
        Refusal::Destruction(why) => why,
        other => panic!("refused for something else: {other}"),
    }
}

#[track_caller]
fn no_step(works: &mut Works, done: Done) -> No {
    let step = works.step(done);
    no(works, "cal", Entry::SessionStep(step))
}

#[test]
fn a_session_goes_step_by_step_to_its_record() {
    let mut works = begun_with_two();
    assert_eq!(works.log().next(), Stage::Seals);
    works.up_to(Stage::Statement);
    let record = works.record();
    let containers: Vec<_> = record.containers.iter().map(|one| one.container).collect();
    assert_eq!(containers, [id("C1"), id("C2")]);
    assert_eq!(
        (record.containers[0].sheets, record.containers[1].notes),
        (1, 2)
    );
    // Whoever has the duty goes on: sue records what cal began.
    works.must("sue", Entry::SpoilsDestroyed(record.clone()));
    let state = works.state();
    assert_eq!(state.session, None);
    assert_eq!(state.sessions[0].record, record);
    assert_eq!(
        state.sessions[0].log.as_ref().map(|log| log.steps.len()),
        Some(6)
    );
    let destroyed = |name| {
        matches!(
            state.container(id(name)).unwrap().seal,
            Seal::Destroyed { .. }
        )
    };
    assert!(destroyed("C1") && destroyed("C2"));
}

#[test]
fn lines_of_a_session_are_read_back_as_they_were() {
    let mut works = begun_with_two();
    works.must("cal", left("D1", "wim", None));
    works.must("cal", came("D1", "max"));
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("cal", Entry::SpoilsDestroyed(record));
    let texts = works.book.texts();
    let read = Book::read(texts.iter().map(|line| &**line)).unwrap();
    assert_eq!(read.head(), works.book.head());
    assert_eq!(
        format!("{:?}", read.state()),
        format!("{:?}", works.state())
    );
}

#[test]
fn what_a_session_begins_with_is_checked_at_once() {
    let mut works = two_containers();
    let began = |change: fn(&mut SessionBegun)| {
        let mut data = begun("D1", &["C1"]);
        change(&mut data);
        Entry::SessionBegun(data)
    };
    let (field, max) = ("Place", 200);
    let empty = works.refused("cal", began(|d| d.place = " ".to_owned()));
    assert_eq!(empty, Refusal::Empty { field });
    let long = works.refused("cal", began(|d| d.place = "x".repeat(201)));
    assert_eq!(long, Refusal::TooLong { field, max });
    let none = works.refused("cal", began(|d| d.containers.clear()));
    assert_eq!(none, Refusal::EmptyList);
    let twice = not(&mut works, "cal", begin("D1", &["C1", "C1"]));
    assert_eq!(twice, Not::ContainerTwice(id("C1")));
    let unknown = not(&mut works, "cal", begin("D1", &["C9"]));
    assert_eq!(unknown, Not::Unknown(id("C9")));
    works.must("cal", container("C3"));
    let open = not(&mut works, "cal", begin("D1", &["C3"]));
    assert_eq!(open, Not::NotSealed(id("C3")));
    let one = not(&mut works, "cal", began(|d| d.witnesses.truncate(1)));
    assert_eq!(one, Not::TooFewWitnesses { have: 1, need: 2 });
    let twice = not(&mut works, "cal", began(|d| d.witnesses[0] = id("wes")));
    assert!(matches!(twice, Not::Conflict(_)), "{twice}");
    let (person, duty) = (id("ivo"), Duty::Witness);
    let role = not(&mut works, "cal", began(|d| d.witnesses[0] = id("ivo")));
    assert_eq!(role, Not::NotAllowed { person, duty });
    let (person, duty) = (id("wim"), Duty::OperateDestruction);
    let role = not(&mut works, "cal", began(|d| d.operator = id("wim")));
    assert_eq!(role, Not::NotAllowed { person, duty });
    let (person, duty) = (id("ida"), Duty::LeadDestruction);
    let lead = works.refused("ida", begin("D1", &["C1"]));
    assert_eq!(lead, Refusal::NotAllowed { person, duty });
    works.must("cal", begin("D1", &["C1"]));
    let second = no(&mut works, "cal", begin("D2", &["C2"]));
    assert_eq!(second, No::UnderWay(id("D1")));
}

#[test]
fn whoever_leads_does_not_witness() {
    let mut works = two_containers();
    let both = person("sam", &[Role::Supervisor, Role::Witness], true);
    works.must("sue", Entry::PersonEnrolled(both));
    let mut data = begun("D1", &["C1"]);
    data.witnesses[1] = id("sam");
    let leads = not(&mut works, "sam", Entry::SessionBegun(data.clone()));
    assert!(
        matches!(leads, Not::Conflict(ref c) if c.person == id("sam")),
        "{leads}"
    );
    works.must("cal", Entry::SessionBegun(data));
    // A witness who records a step would lead it.
    let step = works.step(works.right(Stage::Seals));
    let leads = not(&mut works, "sam", Entry::SessionStep(step));
    assert!(
        leads.to_string().contains("leads the destruction"),
        "{leads}"
    );
    works.up_to(Stage::Statement);
    let record = works.record();
    let leads = not(&mut works, "sam", Entry::SpoilsDestroyed(record));
    assert!(
        leads.to_string().contains("leads the destruction"),
        "{leads}"
    );
}

#[test]
fn no_step_is_skipped_or_recorded_twice_unsaid() {
    let mut works = begun_with_two();
    for given in Stage::RECORDED {
        for later in Stage::RECORDED.into_iter().filter(|later| *later > given) {
            let done = works.right(later);
            let out_of_order = no_step(&mut works, done);
            let (given, next) = (later, works.log().next());
            assert_eq!(out_of_order, No::OutOfOrder { given, next });
        }
        let unknown = SessionStep {
            corrects: Some(1),
            reason: Some("?".to_owned()),
            ..works.step(works.right(given))
        };
        let corrects = 1;
        assert_eq!(
            no(&mut works, "cal", Entry::SessionStep(unknown)),
            No::NothingToCorrect { corrects }
        );
        let step = works.step(works.right(given));
        works.must("cal", Entry::SessionStep(step.clone()));
        let (stage, seq) = (given, works.book.len() - 1);
        assert_eq!(
            no(&mut works, "cal", Entry::SessionStep(step)),
            No::Recorded { stage, seq }
        );
    }
    let mut anew = works.step(works.right(Stage::Residue));
    anew.reason = Some(" ".to_owned());
    let field = "Reason";
    let unsaid = works.refused("cal", Entry::SessionStep(anew));
    assert_eq!(unsaid, Refusal::Empty { field });
    let session = id("D9");
    let other = SessionStep {
        session,
        ..works.step(works.right(Stage::Residue))
    };
    assert_eq!(
        no(&mut works, "cal", Entry::SessionStep(other)),
        No::NotUnderWay(session)
    );
}

#[test]
fn a_record_that_does_not_agree_with_the_steps_is_refused() {
    let mut works = begun_with_two();
    let statement = SAW.to_owned();
    let too_soon = Entry::SpoilsDestroyed(Destruction {
        statement,
        ..works.destruction("D1", &["C1", "C2"])
    });
    let (given, next) = (Stage::Statement, Stage::Seals);
    assert_eq!(
        no(&mut works, "cal", too_soon),
        No::OutOfOrder { given, next }
    );
    works.up_to(Stage::Statement);
    type Change = fn(&mut Destruction);
    let changes: [(&str, Change); 13] = [
        ("Place", |d| d.place = "Hall 4".to_owned()),
        ("Machine", |d| d.machine = "Shredder 1".to_owned()),
        ("Method", |d| d.method = Method::Granulating),
        ("Particle class", |d| {
            d.particle_class = Some(ParticleClass::P4)
        }),
        ("Containers", |d| d.containers.truncate(1)),
        ("Operator", |d| d.operator = id("sue")),
        ("Witnesses", |d| d.witnesses.swap(0, 1)),
        ("Start", |d| d.started = id("2026-11-25T13:01:00+01:00")),
        ("End", |d| d.ended = id("2026-11-25T13:21:00+01:00")),
        ("Largest particle", |d| d.largest_particle_mm2 = Some(27)),
        ("Residue sample", |d| d.sample = None),
        ("Remarks", |d| d.remarks = "none".to_owned()),
        ("What was left out", |d| {
            d.left_out.push(LeftOut {
                container: id("C3"),
                why: Differs::NotFound,
            });
        }),
    ];
    for (what, change) in changes {
        let mut record = works.record();
        change(&mut record);
        let refused = no(&mut works, "cal", Entry::SpoilsDestroyed(record));
        assert_eq!(refused, No::NotAsRecorded(what));
    }
    let mut record = works.record();
    record.session = id("D2");
    let other = no(&mut works, "cal", Entry::SpoilsDestroyed(record));
    assert_eq!(other, No::UnderWay(id("D1")));
}

/// Old books have records without steps; a book that has begun a session has none such any more.
#[test]
fn once_sessions_are_begun_none_goes_without_steps() {
    let mut works = two_containers();
    let mut early = works.destruction("D0", &["C1"]);
    early.left_out.push(LeftOut {
        container: id("C2"),
        why: Differs::NotFound,
    });
    let unproved = no(&mut works, "cal", Entry::SpoilsDestroyed(early));
    assert_eq!(unproved, No::NotBegun(id("D0")));
    let old = works.destruction("D0", &["C1"]);
    works.must("cal", Entry::SpoilsDestroyed(old));
    works.must("cal", begin("D1", &["C2"]));
    works.must("cal", abandoned("D1"));
    let bare = works.destruction("D2", &["C2"]);
    let bare = no(&mut works, "cal", Entry::SpoilsDestroyed(bare));
    assert_eq!(bare, No::NotBegun(id("D2")));
    let used = works.refused("cal", begin("D1", &["C2"]));
    assert_eq!(used, Refusal::SessionTaken(id("D1")));
    works.hold_session("D2", &["C2"]);
}

#[test]
fn every_container_is_dealt_with_once_at_every_step() {
    let mut works = begun_with_two();
    let seal = |name: &str, seal: &str| SealFound {
        container: id(name),
        seal: Some(id(seal)),
        broken: false,
    };
    let missing = no_step(&mut works, Done::Seals(vec![seal("C1", "S-1")]));
    assert_eq!(missing, No::Missing(id("C2")));
    let strange = vec![seal("C1", "S-1"), seal("C2", "S-2"), seal("C3", "S-3")];
    assert_eq!(
        no_step(&mut works, Done::Seals(strange)),
        No::NotHere(id("C3"))
    );
    let twice = Done::Seals(vec![seal("C1", "S-1"), seal("C1", "S-1")]);
    let step = works.step(twice);
    let twice = not(&mut works, "cal", Entry::SessionStep(step));
    assert_eq!(twice, Not::ContainerTwice(id("C1")));
    works.up_to(Stage::Weigh);
    let mut light = works.right(Stage::Weigh);
    if let Done::Weigh(list) = &mut light {
        list[1].gross = Mass::from_milligrams(1);
    }
    let step = works.step(light);
    let light = not(&mut works, "cal", Entry::SessionStep(step));
    assert_eq!(light, Not::BelowTare(id("C2")));
}

#[test]
fn a_container_that_differs_leaves_the_session_and_stays_in_the_book() {
    let mut works = begun_with_two();
    let seals = vec![
        SealFound {
            container: id("C1"),
            seal: None,
            broken: false,
        },
        SealFound {
            container: id("C2"),
            seal: Some(id("S-2")),
            broken: false,
        },
    ];
    works.try_step("cal", Done::Seals(seals)).unwrap();
    assert_eq!(works.log().fit(Stage::Count), [id("C2")]);
    let gone = no_step(
        &mut works,
        Done::Count(vec![Counted {
            container: id("C1"),
            counted: Counting::All {
                sheets: 1,
                notes: 0,
            },
        }]),
    );
    assert_eq!(gone, No::NotHere(id("C1")));
    works.up_to(Stage::Statement);
    let record = works.record();
    let left_out = [LeftOut {
        container: id("C1"),
        why: Differs::NotFound,
    }];
    assert_eq!(record.left_out, left_out);
    let statement = works
        .book
        .statement(id("cal"), &Entry::SpoilsDestroyed(record.clone()));
    let says = "Container C1 is not destroyed: it was not found";
    assert!(statement.unwrap().contains(says));
    works.must("cal", Entry::SpoilsDestroyed(record));
    let line = Line::read(works.book.texts().last().unwrap()).unwrap();
    let said = cullbook::book::says(&line, &works.book);
    assert!(said.contains(": C2 destroyed by "), "{said}");
    assert!(said.ends_with("; left out: C1."), "{said}");
    let still = &works.state().container(id("C1")).unwrap().seal;
    let Seal::Held(_, hold) = still else {
        panic!("{still:?}");
    };
    assert_eq!(hold.why.to_string(), "it was not found, session D1");
}

/// A container with a broken seal is there, and is not destroyed.
#[test]
fn a_broken_seal_keeps_its_container_out() {
    for (seal, says) in [
        (Some(id("S-1")), "its seal S-1 was broken"),
        (None, "its seal was broken or gone"),
    ] {
        let mut works = begun_with_two();
        let broken = SealFound {
            container: id("C1"),
            seal,
            broken: true,
        };
        let whole = SealFound {
            container: id("C2"),
            seal: Some(id("S-2")),
            broken: false,
        };
        works
            .try_step("cal", Done::Seals(vec![broken, whole]))
            .unwrap();
        assert_eq!(works.log().fit(Stage::Count), [id("C2")]);
        works.up_to(Stage::Statement);
        let record = works.record();
        works.must("cal", Entry::SpoilsDestroyed(record));
        let signed = &works.state().sessions[0].statement;
        assert!(signed.contains(&format!("Container C1 is not destroyed: {says}")));
        let Seal::Held(_, hold) = &works.state().container(id("C1")).unwrap().seal else {
            panic!("it is held");
        };
        assert_eq!(hold.why.to_string(), format!("{says}, session D1"));
    }
}

#[test]
fn what_was_opened_and_not_destroyed_is_held() {
    let held = |works: &Works, name: &str| match &works.state().container(id(name)).unwrap().seal {
        Seal::Held(_, hold) => hold.why.to_string(),
        other => format!("{other:?}"),
    };
    let mut works = begun_with_two();
    works.up_to(Stage::Count);
    works.must("cal", abandoned("D1"));
    let sealed = &works.state().container(id("C1")).unwrap().seal;
    assert!(matches!(sealed, Seal::Sealed(_)), "nothing was opened");
    works.must("cal", begin("D2", &["C1", "C2"]));
    works.up_to(Stage::Weigh);
    works.must("cal", abandoned("D2"));
    let why = "it was opened in session D2, which was abandoned";
    assert_eq!(
        (held(&works, "C1"), held(&works, "C2")),
        (why.into(), why.into())
    );
    let refused = not(&mut works, "cal", begin("D3", &["C1"]));
    assert!(matches!(refused, Not::Held { .. }), "{refused}");
}

#[test]
fn in_a_session_only_the_session_says_what_is_found() {
    let mut works = begun_with_two();
    let (container, session) = (id("C1"), id("D1"));
    let checked = no(&mut works, "cal", seal_found("C1", None, false));
    assert_eq!(checked, No::InSession { container, session });
}

#[test]
fn when_every_container_differs_only_giving_up_is_left() {
    let mut works = begun_with_two();
    let other = |name: &str| SealFound {
        container: id(name),
        seal: Some(id("S-9")),
        broken: false,
    };
    works
        .try_step("cal", Done::Seals(vec![other("C1"), other("C2")]))
        .unwrap();
    let nothing = no_step(&mut works, Done::Count(Vec::new()));
    assert_eq!(nothing, No::NothingLeft);
    works.must("cal", abandoned("D1"));
    let given_up = &works.state().abandoned[0];
    assert_eq!(given_up.log.left_out().len(), 2);
    assert_eq!(given_up.reason, "the shredder does not start");
}

#[test]
fn a_count_that_was_wrong_is_recorded_anew_and_brings_the_container_back() {
    let mut works = begun_with_two();
    works.up_to(Stage::Count);
    let mut wrong = works.right(Stage::Count);
    if let Done::Count(list) = &mut wrong {
        list[1].counted = Counting::All {
            sheets: 0,
            notes: 1,
        };
    }
    works.try_step("cal", wrong).unwrap();
    works.up_to(Stage::Start);
    assert_eq!(works.log().fit(Stage::Start), [id("C1")]);
    let count = works.right(Stage::Count);
    works.try_step("sue", count).unwrap();
    // C2 is back, and was not weighed.
    assert_eq!(works.log().next(), Stage::Weigh);
    works.up_to(Stage::Statement);
    assert_eq!(works.record().left_out, []);
    let counts = works.log().steps.iter();
    let counts: Vec<_> = counts
        .filter(|step| step.done.stage() == Stage::Count)
        .map(|step| step.reason.as_deref())
        .collect();
    assert_eq!(counts, [None, Some("looked again")]);
}

#[test]
fn once_the_machine_was_started_there_is_no_way_back() {
    let mut works = begun_with_two();
    works.up_to(Stage::End);
    assert_eq!(no(&mut works, "cal", abandoned("D1")), No::CannotAbandon);
    for stage in [Stage::Seals, Stage::Count, Stage::Weigh] {
        let done = works.right(stage);
        let late = no_step(&mut works, done);
        assert_eq!(late, No::TooLate(stage));
    }
    let mut run = started();
    run.machine = "Shredder 3".to_owned();
    works.try_step("cal", Done::Start(run.clone())).unwrap();
    works.up_to(Stage::Statement);
    assert_eq!(works.record().machine, "Shredder 3");
    run.started = id("2026-11-25T13:20:00+01:00");
    let step = works.step(Done::Start(run.clone()));
    let backwards = not(&mut works, "cal", Entry::SessionStep(step));
    assert_eq!(backwards, Not::EndBeforeStart);
    // A finer class than the residue was measured for asks for the residue again.
    run.started = id("2026-11-25T13:00:00+01:00");
    run.particle_class = Some(ParticleClass::P6);
    works.try_step("cal", Done::Start(run)).unwrap();
    assert_eq!(works.log().next(), Stage::Residue);
}

#[test]
fn the_machine_and_its_residue_are_told_in_full() {
    let mut works = begun_with_two();
    works.up_to(Stage::Start);
    let start = |works: &mut Works, change: fn(&mut Started)| {
        let mut run = started();
        change(&mut run);
        let step = works.step(Done::Start(run));
        not(works, "cal", Entry::SessionStep(step))
    };
    let nameless = start(&mut works, |run| run.machine.clear());
    assert_eq!(nameless, Not::Empty("Machine"));
    let classless = start(&mut works, |run| run.particle_class = None);
    assert_eq!(classless, Not::NoParticleClass("shredding"));
    works.up_to(Stage::End);
    let early = Done::End(Ended {
        ended: id("2026-11-25T13:00:00+01:00"),
    });
    let step = works.step(early);
    let early = not(&mut works, "cal", Entry::SessionStep(step));
    assert_eq!(early, Not::EndBeforeStart);
    works.up_to(Stage::Residue);
    let residue = |works: &mut Works, largest_particle_mm2, remarks: String| {
        let step = works.step(Done::Residue(Residue {
            largest_particle_mm2,
            sample: None,
            remarks,
        }));
        not(works, "cal", Entry::SessionStep(step))
    };
    let unmeasured = residue(&mut works, None, String::new());
    assert_eq!(unmeasured, Not::NotMeasured);
    let nothing = residue(&mut works, Some(0), String::new());
    assert_eq!(nothing, Not::Particles(ParticleError::NoSize));
    let coarse = residue(&mut works, Some(31), String::new());
    assert!(
        coarse.to_string().contains("31 mm² but P-5 allows 30 mm²"),
        "{coarse}"
    );
    let long = residue(&mut works, Some(3), "x".repeat(201));
    assert_eq!(long, Not::TooLong("Remarks"));
}

#[test]
fn a_witness_who_leaves_is_replaced_and_what_they_saw_stays() {
    let mut works = begun_with_two();
    works.up_to(Stage::Weigh);
    assert_eq!(
        no(&mut works, "cal", left("D1", "max", None)),
        No::NotAWitness(id("max"))
    );
    assert_eq!(
        no(&mut works, "cal", came("D1", "wim")),
        No::HereAlready(id("wim"))
    );
    assert_eq!(
        no(&mut works, "cal", left("D1", "wes", Some("wes"))),
        No::HereAlready(id("wes"))
    );
    works.must("cal", left("D1", "wes", None));
    // The session waits: too few are here, and none from outside.
    let step = works.step(works.right(Stage::Weigh));
    let waits = not(&mut works, "cal", Entry::SessionStep(step));
    assert_eq!(waits, Not::TooFewWitnesses { have: 1, need: 2 });
    let (person, duty) = (id("ivo"), Duty::Witness);
    let role = not(&mut works, "cal", came("D1", "ivo"));
    assert_eq!(role, Not::NotAllowed { person, duty });
    works.must("cal", came("D1", "max"));
    works.up_to(Stage::Statement);
    let record = works.record();
    assert_eq!(record.witnesses, [id("wim"), id("max")]);
    let says: Vec<_> = record.presence.iter().map(ToString::to_string).collect();
    assert_eq!(
        says,
        ["left before the weighing", "came before the weighing"]
    );
    let entry = Entry::SpoilsDestroyed(record);
    let statement = works.book.statement(id("cal"), &entry).unwrap();
    assert!(statement.contains("wes of the works, witness, left before the weighing"));
    // Whoever is not here any more does not sign.
    let signers: Vec<_> = cosigners(&entry).into_iter().map(|(who, _)| who).collect();
    assert_eq!(signers, [id("cas"), id("wim"), id("max")]);
    works.must("cal", entry);
}

#[test]
fn the_operator_is_replaced_by_somebody_independent() {
    let mut works = begun_with_two();
    let replaced = |instead: &str, reason: &str| {
        let change = TeamChange::OperatorReplaced {
            instead: id(instead),
            reason: reason.to_owned(),
        };
        team("D1", change)
    };
    assert_eq!(
        no(&mut works, "cal", replaced("cas", "ill")),
        No::HereAlready(id("cas"))
    );
    let field = "Reason";
    assert_eq!(
        works.refused("cal", replaced("sue", "")),
        Refusal::Empty { field }
    );
    let both = person("bea", &[Role::Custodian, Role::Witness], true);
    works.must("sue", Entry::PersonEnrolled(both));
    works.must("cal", left("D1", "wes", Some("bea")));
    works.must("cal", left("D1", "bea", Some("max")));
    // Bea has witnessed, so she cannot operate, and the operator of before cannot witness.
    let witnessed = not(&mut works, "cal", replaced("bea", "ill"));
    assert!(matches!(witnessed, Not::Conflict(_)), "{witnessed}");
    works.must("cal", replaced("sue", "ill"));
    works.up_to(Stage::Statement);
    assert_eq!(works.record().operator, id("sue"));
    assert_eq!(works.record().presence.len(), 5);
}

#[test]
fn three_wrong_passphrases_are_entered_by_whoever_is_here() {
    let mut works = begun_with_two();
    assert_eq!(
        no(&mut works, "cal", failed_key("wim", 2)),
        No::TooFewTries(2)
    );
    let unknown = works.refused("cal", failed_key("zoe", 3));
    assert_eq!(unknown, Refusal::UnknownPerson(id("zoe")));
    works.must("ida", failed_key("wim", 3));
    assert_eq!(works.log().failed_keys[0].0, id("wim"));
    assert!(works.state().failed_keys.contains_key(&id("wim")));
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("cal", Entry::SpoilsDestroyed(record));
}

fn sampling(missing: u32, risk_percent: u8) -> Entry {
    let count = Count::Sample {
        missing,
        risk_percent,
    };
    Entry::RulesSet(Rules { count, ..rules() })
}

/// A lot of 60 spoiled sheets in C1, counted by a sample sized for 5 missing at 5 %. With exact
/// fractions in Python: C(55,n)/C(60,n) is 0.0509 at n 26 and 0.0435 at n 27.
#[test]
fn a_sample_is_drawn_from_what_is_declared_and_from_the_line_that_began() {
    let mut works = Works::staffed();
    works.must("sue", lot("L1", 60, None));
    works.must("ida", examined("L1", 1, 60, &["- PT"]));
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "cas"));
    works.must("sue", sampling(5, 5));
    works.must("cal", begin("D1", &["C1"]));
    works.up_to(Stage::Count);
    let drawn = works.log().declared[0].drawn.clone().unwrap();
    assert_eq!(drawn.len(), 27);
    let line = &works.book.texts()[works.log().seq as usize];
    let seed = format!("{} C1", Line::read(line).unwrap().hash);
    let again = cullbook::quality::sampling::draw(&seed, 60, 27);
    let items: Vec<_> = again
        .iter()
        .map(|place| Item::Sheet(id("L1"), sheet(*place as u32 + 1)))
        .collect();
    assert_eq!(drawn, items);
    let sample = |pieces, absent| {
        Done::Count(vec![Counted {
            container: id("C1"),
            counted: Counting::Sample { pieces, absent },
        }])
    };
    let not_drawn = (1..=60).map(|number| Item::Sheet(id("L1"), sheet(number)));
    let not_drawn = not_drawn.into_iter().find(|item| !drawn.contains(item));
    for (pieces, absent) in [
        (26, vec![]),
        (27, vec![drawn[0], drawn[0]]),
        (27, vec![not_drawn.unwrap()]),
    ] {
        let otherwise = no_step(&mut works, sample(pieces, absent));
        assert_eq!(otherwise, No::CountedOtherwise(id("C1")));
    }
    works.try_step("cal", sample(27, vec![drawn[3]])).unwrap();
    assert_eq!(works.log().fit(Stage::Weigh), []);
    works.try_step("cal", sample(27, vec![])).unwrap();
    works.up_to(Stage::Statement);
    let record = works.record();
    let statement = works
        .book
        .statement(id("cal"), &Entry::SpoilsDestroyed(record.clone()));
    let says = "Of 60 pieces declared, 27 were drawn and found; 5 missing would have been overlooked in 4.3 % of such draws";
    assert!(statement.as_ref().unwrap().contains(says), "{statement:?}");
    works.must("cal", Entry::SpoilsDestroyed(record));
}

#[test]
fn without_a_rule_for_it_no_sample_counts() {
    let mut works = begun_with_two();
    works.up_to(Stage::Count);
    let mut sampled = works.right(Stage::Count);
    if let Done::Count(list) = &mut sampled {
        list[0].counted = Counting::Sample {
            pieces: 1,
            absent: Vec::new(),
        };
    }
    let otherwise = no_step(&mut works, sampled);
    assert_eq!(otherwise, No::CountedOtherwise(id("C1")));
}

/// A session keeps the rules it began under: a stricter rule cannot strand one that is past return.
#[test]
fn a_session_keeps_its_rules() {
    let mut works = begun_with_two();
    works.up_to(Stage::End);
    let witnesses = 3;
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            witnesses,
            ..rules()
        }),
    );
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("cal", Entry::SpoilsDestroyed(record));
}

#[test]
fn facts_are_corrected_by_a_supervisor_and_a_second_person() {
    let mut works = two_containers();
    works.hold_session("D1", &["C1", "C2"]);
    let machine = || Fact::Machine("Shredder 5".to_owned());
    let (person, duty) = (id("cal"), Duty::CorrectSession);
    let role = works.refused("cal", fact_corrected("D1", machine(), "cas"));
    assert_eq!(role, Refusal::NotAllowed { person, duty });
    let same = works.refused("sue", fact_corrected("D1", machine(), "sue"));
    assert_eq!(same, Refusal::SamePerson(id("sue")));
    let (person, duty) = (id("wim"), Duty::LeadDestruction);
    let role = works.refused("sue", fact_corrected("D1", machine(), "wim"));
    assert_eq!(role, Refusal::NotAllowed { person, duty });
    let unknown = no(&mut works, "sue", fact_corrected("D7", machine(), "cal"));
    assert_eq!(unknown, No::NotDone(id("D7")));
    let as_it_is = Fact::Machine("Shredder 2".to_owned());
    let same = no(&mut works, "sue", fact_corrected("D1", as_it_is, "cal"));
    assert_eq!(same, No::SameFact("machine"));
    let masses = |container: &str, gross| {
        Fact::Masses(Weighed {
            container: id(container),
            gross: Mass::from_milligrams(gross),
            tare: Mass::from_milligrams(4_000_000),
            scale: None,
            off_because: None,
        })
    };
    let (session, container) = (id("D1"), id("C9"));
    let strange = no(
        &mut works,
        "sue",
        fact_corrected("D1", masses("C9", 1), "cal"),
    );
    assert_eq!(strange, No::NoContainer { session, container });
    for (fact, why) in [
        (masses("C1", 1), Not::BelowTare(id("C1"))),
        (Fact::Place(" ".to_owned()), Not::Empty("Place")),
        (Fact::Remarks("x".repeat(201)), Not::TooLong("Remarks")),
        (
            Fact::Ended(id("2026-11-25T13:00:00+01:00")),
            Not::EndBeforeStart,
        ),
        (
            Fact::LargestParticle(0),
            Not::Particles(ParticleError::NoSize),
        ),
    ] {
        assert_eq!(
            not(&mut works, "sue", fact_corrected("D1", fact, "cal")),
            why
        );
    }
    works.must("sue", fact_corrected("D1", machine(), "cal"));
    works.must("sue", fact_corrected("D1", masses("C1", 5_100_000), "cal"));
    let session = &works.state().sessions[0];
    assert_eq!(session.record.machine, "Shredder 2");
    let now = session.as_corrected();
    assert_eq!(now.machine, "Shredder 5");
    assert_eq!(now.containers[0].gross.milligrams(), 5_100_000);
    let was = Fact::Machine("Shredder 2".to_owned());
    assert_eq!(session.corrections[0].was, was);
}

#[test]
fn a_correction_needs_the_second_persons_signature() {
    let mut works = two_containers();
    works.hold_session("D1", &["C1"]);
    let entry = fact_corrected("D1", Fact::Place("Hall 4".to_owned()), "cal");
    let book = works.book.clone();
    let refused = works.author("sue", |author| book.prepare(author, vec![entry.clone()]));
    let expected = Refusal::Line(LineError::HalfCountersigned);
    assert_eq!(refused.err(), Some(expected));
    let statement = works.book.statement(id("sue"), &entry).unwrap();
    assert!(
        statement.contains("Destruction D1, place: Hall 4"),
        "{statement}"
    );
    assert!(statement.contains("It was written down as: Hall 3"));
}

#[test]
fn the_same_pair_is_warned_of_and_not_refused() {
    let mut works = Works::replaced();
    let witness = person("max", &[Role::Witness], true);
    works.must("sue", Entry::PersonEnrolled(witness));
    works.must("sue", lot("L2", 8, None));
    let pair = [id("wes"), id("wim")];
    for number in 1..=4_u32 {
        let warned = works.state().same_pair(&pair);
        assert_eq!(warned, (number > 3).then_some((id("wes"), id("wim"))));
        works.must("ida", examined("L2", number, number, &["- PT"]));
        let name = format!("C{number}");
        works.must("cal", container(&name));
        let fill = works.fill(&name);
        works.must("cal", fill);
        works.must("cal", sealed(&name, &format!("S-{number}"), "cas"));
        works.hold_session(&format!("D{number}"), &[&name]);
    }
    assert_eq!(works.state().same_pair(&[id("wes"), id("max")]), None);
    assert_eq!(
        works.state().same_pair(&[id("max"), id("wes"), id("wim")]),
        Some((id("wes"), id("wim")))
    );
    let never = Rules {
        same_pair_after: 0,
        ..rules()
    };
    works.must("sue", Entry::RulesSet(never));
    assert_eq!(works.state().same_pair(&pair), None);
}

#[test]
fn a_tagger_who_comes_later_is_refused() {
    let mut works = Works::staffed();
    let all = [Role::Inspector, Role::Witness];
    works.must("sue", Entry::PersonEnrolled(person("mia", &all, true)));
    works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    works.must("mia", examined("L1", 1, 1, &["- PT"]));
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "cas"));
    works.must("cal", begin("D1", &["C1"]));
    let tagged = not(&mut works, "cal", left("D1", "wes", Some("mia")));
    assert!(
        matches!(tagged, Not::Conflict(ref c) if c.first == Part::Tagged || c.second == Part::Tagged),
        "{tagged}"
    );
}

/// The scale of a weighing must be registered, stands in the record with the check of that day, and
/// is not changed by a correction of the masses.
#[test]
fn a_weighing_names_a_registered_scale() {
    let mut works = begun_with_two();
    works.up_to(Stage::Weigh);
    let Done::Weigh(mut list) = works.right(Stage::Weigh) else {
        panic!("masses");
    };
    list[1].scale = Some(id("W1"));
    let step = works.step(Done::Weigh(list.clone()));
    let (container, scale) = (list[1].container, id("W1"));
    assert_eq!(
        not(&mut works, "cal", Entry::SessionStep(step)),
        Not::UnknownScale { container, scale }
    );
    works.must("sue", Entry::ScaleSet(super::works::scale("W1")));
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("cal", Entry::SpoilsDestroyed(record));
    let session = &works.state().sessions[0];
    let (found, checked) = (&session.record.containers[0], &session.weighed[0]);
    assert_eq!(found.scale, Some(scale));
    assert_eq!(checked.scale.as_ref().map(|scale| scale.scale), found.scale);
    let mut masses = Weighed {
        container: found.container,
        gross: Mass::from_milligrams(5_100_000),
        tare: found.tare,
        scale: None,
        off_because: None,
    };
    let fact = |masses: &Weighed| fact_corrected("D1", Fact::Masses(masses.clone()), "cal");
    let other = no(&mut works, "sue", fact(&masses));
    assert_eq!(other, No::OtherScale(masses.container));
    masses.scale = Some(scale);
    works.must("sue", fact(&masses));
}

/// What the particles of a step must satisfy is what those of the whole record must.
#[test]
fn the_residue_of_a_step_is_measured_as_its_class_asks() {
    let mut works = begun_with_two();
    works.up_to(Stage::Residue);
    let mut residue = |largest, sample| {
        let step = works.step(Done::Residue(Residue {
            largest_particle_mm2: Some(largest),
            sample,
            remarks: String::new(),
        }));
        not(&mut works, "cal", Entry::SessionStep(step))
    };
    let of = |measured, above| Some(ResidueSample { measured, above });
    let coarse = residue(91, of(60, 3));
    assert!(matches!(
        coarse,
        Not::Particles(ParticleError::TooLarge { .. })
    ));
    let many = residue(60, of(60, 7));
    assert!(matches!(
        many,
        Not::Particles(ParticleError::TooManyAbove { .. })
    ));
    let none = residue(60, of(60, 0));
    assert!(matches!(
        none,
        Not::Particles(ParticleError::Contradiction { .. })
    ));
}

/// Each beginning draws another sample. Whoever begins until one is convenient is named for it.
#[test]
fn what_was_begun_before_and_abandoned_is_signed_for() {
    let mut works = begun_with_two();
    works.up_to(Stage::Count);
    works.must("cal", abandoned("D1"));
    let first = works.book.len() - 1;
    works.must("cal", begin("D2", &["C2"]));
    works.must("cal", abandoned("D2"));
    let second = works.book.len() - 1;
    let before = "Begun before with any of these containers: session";
    let reason = "the shredder does not start";
    let says = |session: &str, step: &str, entry: u64| {
        format!("{before} {session}, abandoned before {step} in entry {entry}: {reason}")
    };
    let both = [
        says("D1", "the count", first),
        says("D2", "the seals as found", second),
    ];
    let named = |statement: &str| -> Vec<String> {
        let lines = statement.lines().filter(|line| line.starts_with(before));
        lines.map(str::to_owned).collect()
    };
    // D2 had no C1.
    works.hold_session("D3", &["C1"]);
    assert_eq!(named(&works.state().sessions[0].statement), both[..1]);
    works.hold_session("D4", &["C2"]);
    let session = &works.state().sessions[1];
    assert_eq!(named(&session.statement), both);
    let certificate = cullbook::export::certificate(works.state(), session);
    let certified = certificate.begun_before.iter();
    let certified: Vec<_> = certified
        .map(|one| format!("{before} {}", one.session))
        .collect();
    assert_eq!(certified, both);
    assert!(
        certificate
            .notes()
            .iter()
            .any(|note| note.contains("D2, abandoned before"))
    );
}

/// What a witness has in hand stays the book's own; what was corrected is told beside it.
#[test]
fn a_certificate_is_the_same_after_a_correction() {
    let mut works = begun_with_two();
    works.must("cal", left("D1", "wim", Some("max")));
    works.must("ivo", failed_key("max", 3));
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("sue", Entry::SpoilsDestroyed(record));
    let made = |works: &Works| {
        let session = &works.state().sessions[0];
        let made = cullbook::export::certificate(works.state(), session);
        (made.to_json().unwrap(), made.notes().join(" "))
    };
    let (before, notes) = made(&works);
    let machine = Fact::Machine("Shredder 9".to_owned());
    works.must("sue", fact_corrected("D1", machine, "cal"));
    assert_eq!(made(&works).0, before);
    let checked = cullbook::export::check_certificate(works.state(), before.as_bytes()).unwrap();
    assert_eq!(checked.certificate.machine, "Shredder 2");
    let [one] = &checked.corrections[..] else {
        panic!("{:?}", checked.corrections);
    };
    let machine = |name: &str| Fact::Machine(name.to_owned());
    assert_eq!(
        (&one.was, &one.now),
        (&machine("Shredder 2"), &machine("Shredder 9"))
    );
    // Who was there, which steps were recorded by whom, and the locked key.
    for says in [
        "left before the seals as found (taken ill), and signed nothing; left 08:00:26 (entry 26).",
        "Nobody else is recorded as leaving.",
        "gave a wrong passphrase three times at",
        "each piece was counted",
        "Recorded step by step: the beginning ",
    ] {
        assert!(notes.contains(says), "{says}: {notes}");
    }
    assert_eq!(checked.certificate.steps.len(), 7);
}
