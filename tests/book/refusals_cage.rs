//! What the cage and a destruction are refused for, and what keeps a lot from being closed.

use cullbook::book::*;
use cullbook::custody::{
    Destruction, DestructionError as Not, Item, Mass, Method, ParticleClass, ParticleError,
};
use cullbook::people::{Duty, Part, Role};

use super::works::*;

#[test]
fn containers_are_opened_once_filled_while_open_and_sealed_full() {
    let mut works = Works::replaced();
    works.must("cal", container("C1"));
    assert_eq!(
        works.refused("cal", container("C1")),
        Refusal::ContainerTaken(id("C1"))
    );
    let sheet_5 = Item::Sheet(id("L1"), sheet(5));
    let why = works.refused("cal", filled("C9", [sheet_5]));
    assert_eq!(why, Refusal::UnknownContainer(id("C9")));
    assert_eq!(works.refused("cal", filled("C1", [])), Refusal::EmptyList);
    let why = works.refused("cal", sealed("C1", "S-1", "cas"));
    assert_eq!(why, Refusal::ContainerEmpty(id("C1")));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "cas"));
    let why = works.refused("cal", filled("C1", [sheet_5]));
    assert_eq!(why, Refusal::ContainerSealed(id("C1")));
    let why = works.refused("cal", sealed("C1", "S-2", "cas"));
    assert_eq!(why, Refusal::ContainerSealed(id("C1")));
}

#[test]
fn a_spoil_is_in_one_place() {
    let mut works = Works::replaced();
    works.must("cal", container("C1"));
    works.must("cal", container("C2"));
    let (item, container) = (Item::Sheet(id("L1"), sheet(5)), id("C1"));
    let already = Refusal::AlreadyIn { item, container };
    assert_eq!(works.refused("cal", filled("C1", [item, item])), already);
    works.must("cal", filled("C1", [item]));
    assert_eq!(works.refused("cal", filled("C2", [item])), already);
    let fit = [
        Item::Sheet(id("L1"), sheet(1)),
        Item::Sheet(id("L1"), sheet(2)),
        Item::Note(id("KA000000")),
        Item::Replacement(id("ZR000000")),
    ];
    for item in fit {
        assert_eq!(
            works.refused("cal", filled("C2", [item])),
            Refusal::NotASpoil(item)
        );
    }
    let mut works = Works::destroyed();
    works.must("cal", super::works::container("C2"));
    let why = works.refused("cal", filled("C2", [item]));
    let session = id("D1");
    assert_eq!(why, Refusal::AlreadyDestroyed { item, session });
}

#[test]
fn a_seal_is_used_once_by_two_people_who_may() {
    let mut works = Works::sealed();
    works.must("sue", lot("L2", 4, None));
    works.must("ida", examined("L2", 1, 1, &["- PT"]));
    works.must("cal", container("C2"));
    let fill = works.fill("C2");
    works.must("cal", fill);
    let (seal, container) = (id("S-1"), id("C1"));
    let why = works.refused("cal", sealed("C2", "S-1", "cas"));
    assert_eq!(why, Refusal::SealUsed { seal, container });
    let why = works.refused("cal", sealed("C2", "S-2", "cal"));
    assert_eq!(why, Refusal::SamePerson(id("cal")));
    let (person, duty) = (id("ida"), Duty::Seal);
    let why = works.refused("cal", sealed("C2", "S-2", "ida"));
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let why = works.refused("cal", sealed("C2", "S-2", "zoe"));
    assert_eq!(why, Refusal::UnknownPerson(id("zoe")));
    let why = works.refused("cal", sealed("C9", "S-2", "cas"));
    assert_eq!(why, Refusal::UnknownContainer(id("C9")));
}

/// The refusal of session `D1` with one thing changed.
#[track_caller]
fn not(works: &mut Works, change: impl FnOnce(&mut Destruction)) -> Not {
    let mut record = works.destruction("D1", &["C1"]);
    change(&mut record);
    match works.refused("cal", Entry::SpoilsDestroyed(record)) {
        Refusal::Destruction(why) => why,
        other => panic!("refused for something else: {other}"),
    }
}

#[test]
fn a_destruction_finds_the_containers_as_they_were_sealed() {
    let mut works = Works::sealed();
    works.must("cal", container("C2"));
    let c1 = id("C1");
    assert_eq!(not(&mut works, |d| d.containers.clear()), Not::NoContainers);
    assert_eq!(
        not(&mut works, |d| d.containers[0].container = id("C9")),
        Not::Unknown(id("C9"))
    );
    assert_eq!(
        not(&mut works, |d| d.containers[0].container = id("C2")),
        Not::NotSealed(id("C2"))
    );
    let twice = not(&mut works, |d| d.containers.push(d.containers[0].clone()));
    assert_eq!(twice, Not::ContainerTwice(c1));
    let (found, sealed) = (id("S-7"), id("S-1"));
    let wrong = not(&mut works, |d| d.containers[0].seal = found);
    assert_eq!(
        wrong,
        Not::WrongSeal {
            container: c1,
            found,
            sealed
        }
    );
    let light = not(&mut works, |d| {
        d.containers[0].gross = Mass::from_milligrams(1)
    });
    assert_eq!(light, Not::BelowTare(c1));
}

#[test]
fn a_destruction_is_refused_while_a_count_differs() {
    let mut works = Works::sealed();
    // One whole sheet and the two notes of the mixed sheet lie in it.
    let differs = |kind, counted, declared| Not::CountDiffers {
        container: id("C1"),
        kind,
        counted,
        declared,
    };
    let less = not(&mut works, |d| d.containers[0].sheets = 0);
    assert_eq!(less, differs("sheets", 0, 1));
    let more = not(&mut works, |d| d.containers[0].notes = 3);
    assert_eq!(more, differs("notes", 3, 2));
}

#[test]
fn who_witnesses_neither_tagged_nor_sealed_nor_operates() {
    let mut works = Works::staffed();
    let all = [Role::Inspector, Role::Custodian, Role::Witness];
    works.must("sue", Entry::PersonEnrolled(person("max", &all, false)));
    works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    works.must("max", examined("L1", 1, 1, &["- PT"]));
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "cas"));
    let tagged = not(&mut works, |d| d.witnesses[0] = id("max"));
    assert!(
        matches!(tagged, Not::Conflict(ref c) if c.person == id("max") && c.first.max(c.second) == Part::Witnessed)
    );
    assert!(
        tagged
            .to_string()
            .contains("tagged sheets that are being destroyed")
    );
    let operated = not(&mut works, |d| {
        (d.operator, d.witnesses[0]) = (id("max"), id("max"))
    });
    assert!(operated.to_string().starts_with("max "), "{operated}");
    let twice = not(&mut works, |d| d.witnesses = vec![id("wes"), id("wes")]);
    assert!(matches!(twice, Not::Conflict(_)), "{twice}");

    let mut works = Works::replaced();
    let both = [Role::Custodian, Role::Witness];
    works.must("sue", Entry::PersonEnrolled(person("max", &both, false)));
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works.must("cal", sealed("C1", "S-1", "max"));
    let sealed = not(&mut works, |d| d.witnesses[0] = id("max"));
    assert!(
        sealed
            .to_string()
            .contains("sealed a container that is being destroyed"),
        "{sealed}"
    );
}

#[test]
fn a_destruction_has_two_witnesses_one_from_outside_and_an_operator() {
    let mut works = Works::sealed();
    let few = not(&mut works, |d| d.witnesses.truncate(1));
    assert_eq!(few, Not::TooFewWitnesses { have: 1, need: 2 });
    let (person, duty) = (id("ivo"), Duty::Witness);
    let untrusted = not(&mut works, |d| d.witnesses[0] = person);
    assert_eq!(untrusted, Not::NotAllowed { person, duty });
    let (person, duty) = (id("wim"), Duty::OperateDestruction);
    let untrusted = not(&mut works, |d| d.operator = person);
    assert_eq!(untrusted, Not::NotAllowed { person, duty });
    let inside = [Role::Witness];
    works.must(
        "sue",
        Entry::PersonEnrolled(super::works::person("wal", &inside, false)),
    );
    let inside = not(&mut works, |d| d.witnesses = vec![id("wim"), id("wal")]);
    assert_eq!(inside, Not::NoOutsideWitness);
}

#[test]
fn a_destruction_says_where_how_when_and_how_fine() {
    let mut works = Works::sealed();
    assert_eq!(not(&mut works, |d| d.place.clear()), Not::Empty("Place"));
    assert_eq!(
        not(&mut works, |d| d.machine = " ".to_owned()),
        Not::Empty("Machine")
    );
    assert_eq!(
        not(&mut works, |d| d.statement.clear()),
        Not::Empty("Statement")
    );
    assert_eq!(
        not(&mut works, |d| d.remarks = "x".repeat(201)),
        Not::TooLong("Remarks")
    );
    assert_eq!(
        not(&mut works, |d| d.ended = d.started.clone()),
        Not::EndBeforeStart
    );
    assert_eq!(
        not(&mut works, |d| d.largest_particle_mm2 = Some(0)),
        Not::Particles(ParticleError::NoSize)
    );
    let coarse = not(&mut works, |d| {
        (d.particle_class, d.largest_particle_mm2) = (Some(ParticleClass::P6), Some(11));
    });
    let (found, allowed) = (11, 10);
    assert_eq!(
        coarse,
        Not::Particles(ParticleError::TooLarge {
            found,
            class: "P-6",
            allowed
        })
    );
}

#[test]
fn only_methods_that_leave_particles_ask_for_their_class() {
    let mut works = Works::sealed();
    let no_class = |works: &mut Works, method, found| {
        not(works, |d| {
            (d.method, d.particle_class, d.largest_particle_mm2) = (method, None, found);
        })
    };
    let shredded = no_class(&mut works, Method::Shredding, Some(28));
    assert_eq!(shredded, Not::NoParticleClass("shredding"));
    assert_eq!(
        no_class(&mut works, Method::Burning, Some(28)),
        Not::ParticleWithoutClass
    );
    let unmeasured = not(&mut works, |d| d.largest_particle_mm2 = None);
    assert_eq!(unmeasured, Not::NotMeasured);
    let mut burnt = works.destruction("D1", &["C1"]);
    burnt.method = Method::Burning;
    // A line written before this was so: burnt, and yet a class. It is still read.
    let old = serde_json::to_string(&burnt).unwrap();
    assert!(old.contains("\"particle_class\":\"P-5\""));
    assert_eq!(serde_json::from_str::<Destruction>(&old).unwrap(), burnt);
    (burnt.particle_class, burnt.largest_particle_mm2) = (None, None);
    assert!(!serde_json::to_string(&burnt).unwrap().contains("particle"));
    works.must("cal", Entry::SpoilsDestroyed(burnt));
    assert_eq!(works.state().sessions.len(), 1);
}

#[test]
fn a_destroyed_container_and_a_used_session_number_are_refused() {
    let mut works = Works::destroyed();
    let mut record = works.destruction("D1", &["C1"]);
    let why = works.refused("cal", Entry::SpoilsDestroyed(record.clone()));
    assert_eq!(why, Refusal::SessionTaken(id("D1")));
    record.session = id("D2");
    let why = works.refused("cal", Entry::SpoilsDestroyed(record));
    let (container, session) = (id("C1"), id("D1"));
    let destroyed = Not::AlreadyDestroyed { container, session };
    assert_eq!(why, Refusal::Destruction(destroyed));
}

#[test]
fn each_obstacle_keeps_a_lot_from_being_closed_until_it_is_gone() {
    let close = |works: &mut Works| match works.refused("sue", lot_closed("L1")) {
        Refusal::LotNotDone { why, .. } => why,
        other => panic!("refused for something else: {other}"),
    };
    let mut works = Works::with_lot();
    assert_eq!(
        works.refused("sue", lot_closed("L9")),
        Refusal::UnknownLot(id("L9"))
    );
    assert_eq!(close(&mut works), Obstacle::NotExamined { sheets: 12 });
    let mut works = Works::examined();
    assert_eq!(close(&mut works), Obstacle::NoReplacement { notes: 8 });
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    assert_eq!(close(&mut works), Obstacle::NotInserted { notes: 8 });
    let mut works = Works::replaced();
    assert_eq!(close(&mut works), Obstacle::NotDestroyed { spoils: 3 });
    let mut works = Works::sealed();
    assert_eq!(close(&mut works), Obstacle::NotDestroyed { spoils: 3 });
    let mut works = Works::destroyed();
    let lot = works.lot("L1");
    assert_eq!(works.state().stands_in_the_way(lot), Vec::new());
    works.must("sue", lot_closed("L1"));
    assert_eq!(works.lot("L1").closed, Some(works.book.len() - 1));
}

/// The fold never makes a difference, so one is planted: a spoil that lies nowhere.
#[test]
fn a_difference_keeps_a_lot_from_being_closed() {
    let works = Works::destroyed();
    let mut state = works.state().clone();
    state.cage.spoils.pop_first();
    let lot = state.lot(id("L1")).unwrap();
    let (identity, by) = ("Spoils", -1);
    let obstacles = state.stands_in_the_way(lot);
    assert_eq!(obstacles, [Obstacle::Differs { identity, by }]);
    let header = Header {
        seq: works.book.len(),
        id: uuid::Uuid::from_u128(0x7000_8000_0000_0000_0009),
        bench: id("B1"),
        at: works.now(),
        by: id("sue"),
        prev: works.book.head(),
    };
    let line = Line::write(header, lot_closed("L1"), None, &key("sue")).unwrap();
    let refused = state.plan(&line).err();
    let expected = "Lot L1 cannot be closed: spoils differ by -1.";
    assert_eq!(refused.unwrap().to_string(), expected);
}
