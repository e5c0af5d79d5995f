//! The life of a container: moved, held, counted again, sealed anew, corrected, retired; and
//! spoils that are missing, found and given up.

use cullbook::book::*;
use cullbook::custody::{HeldFor, Item, Mass, Seal};
use cullbook::inspect::Rules;
use cullbook::people::{Duty, Meaning};

use super::works::*;

fn torn() -> Item {
    Item::Sheet(id("L1"), sheet(5))
}

fn pulled() -> [Item; 2] {
    [Item::Note(id("KA000001")), Item::Note(id("KA000013"))]
}

#[track_caller]
fn cage(why: Refusal) -> CageRefusal {
    match why {
        Refusal::Cage(why) => why,
        other => panic!("refused for something else: {other}"),
    }
}

fn seal_of<'a>(works: &'a Works, container: &str) -> &'a Seal {
    &works.state().container(id(container)).unwrap().seal
}

/// Sealed, and then found with another seal.
fn held_works() -> Works {
    let mut works = Works::sealed();
    works.must("cas", seal_found("C1", Some("S-9"), false));
    works
}

fn spoils(works: &Works) -> cullbook::account::SpoilFigures {
    lot_account(works.state(), works.lot("L1")).spoil_figures
}

#[test]
fn a_container_stands_where_it_was_put_last() {
    let mut works = Works::replaced();
    works.must(
        "cal",
        Entry::ContainerOpened(ContainerOpened {
            container: id("C1"),
            place: Some(id("cage, shelf 1")),
        }),
    );
    let stands = |works: &Works| {
        let (place, act) = works
            .state()
            .container(id("C1"))
            .unwrap()
            .place
            .clone()
            .unwrap();
        (place.to_string(), act.by.to_string())
    };
    assert_eq!(
        stands(&works),
        ("cage, shelf 1".to_owned(), "cal".to_owned())
    );
    let why = works.refused("cas", moved("C1", "cage, shelf 1"));
    assert_eq!(cage(why), CageRefusal::SamePlace(id("C1")));
    works.must("cas", moved("C1", "hall 3"));
    assert_eq!(stands(&works), ("hall 3".to_owned(), "cas".to_owned()));
    let (person, duty) = (id("ida"), Duty::FillContainers);
    let why = works.refused("ida", moved("C1", "the bench"));
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let why = works.refused("cal", moved("C9", "hall 3"));
    assert_eq!(why, Refusal::UnknownContainer(id("C9")));
}

#[test]
fn a_line_from_before_places_and_seal_forms_is_read_and_written_as_it_was() {
    let old = r#"{"container":"C1"}"#;
    let read: ContainerOpened = serde_json::from_str(old).unwrap();
    assert_eq!(read.place, None);
    assert_eq!(serde_json::to_string(&read).unwrap(), old);
    let written = serde_json::to_string(&rules()).unwrap();
    assert!(!written.contains("seal_form"), "{written}");
    assert_eq!(serde_json::from_str::<Rules>(&written).unwrap(), rules());
}

#[test]
fn a_seal_as_it_should_be_is_noted_and_any_other_holds_the_container() {
    let mut works = Works::sealed();
    works.must("cas", seal_found("C1", Some("S-1"), false));
    let checked = works.state().container(id("C1")).unwrap().checked.clone();
    assert_eq!(checked.unwrap().by, id("cas"));
    assert!(matches!(seal_of(&works, "C1"), Seal::Sealed(_)));
    let found: [(Option<&str>, bool, HeldFor); 4] = [
        (Some("S-9"), false, HeldFor::OtherSeal(id("S-9"))),
        (Some("S-1"), true, HeldFor::BrokenSeal(Some(id("S-1")))),
        (None, true, HeldFor::BrokenSeal(None)),
        (None, false, HeldFor::NoSeal),
    ];
    for (number, broken, why) in found {
        let mut works = Works::sealed();
        works.must("cas", seal_found("C1", number, broken));
        let hold = works.state().container(id("C1")).unwrap().hold().cloned();
        assert_eq!(hold.map(|hold| hold.why), Some(why));
        let line = Line::read(works.book.texts().last().unwrap()).unwrap();
        let says = says(&line, &works.book);
        let told = match (number, broken) {
            (None, false) => "No seal",
            (None, true) => "broken and could not be read",
            (Some(_), true) => "found broken",
            (Some(_), false) => "found whole",
        };
        assert!(says.contains(told), "{says}");
    }
    works.must("cal", container("C2"));
    let why = works.refused("cas", seal_found("C2", None, false));
    assert_eq!(cage(why), CageRefusal::NotSealed(id("C2")));
    assert_eq!(
        works.refused("cas", held("C1", " ")),
        Refusal::Empty { field: "Reason" }
    );
}

#[test]
fn a_held_container_is_left_alone_until_it_is_counted_and_sealed_anew() {
    let mut works = held_works();
    let why = HeldFor::OtherSeal(id("S-9"));
    let container = id("C1");
    let is_held = CageRefusal::Held { container, why };
    assert_eq!(cage(works.refused("cal", moved("C1", "hall 3"))), is_held);
    assert_eq!(cage(works.refused("cal", filled("C1", [torn()]))), is_held);
    assert_eq!(cage(works.refused("cal", held("C1", "again"))), is_held);
    assert_eq!(cage(works.refused("cal", retired("C1"))), is_held);
    let sealing = corrected_sealing(&works, "C1", "S-9", None);
    assert_eq!(cage(works.refused("cal", sealing)), is_held);
    let destruction = works.destruction("D1", &["C1"]);
    let why = works.refused("cal", Entry::SpoilsDestroyed(destruction));
    assert!(
        why.to_string()
            .contains("C1 is held: the seal found on it was S-9"),
        "{why}"
    );
    let why = works.refused("cal", resealed("C1", "S-2"));
    assert_eq!(cage(why), CageRefusal::NotRecounted(id("C1")));
    assert_eq!((spoils(&works).held, spoils(&works).sealed), (3, 0));
    let counted = recounted(&works, "C1", &[], &[]);
    works.must("cal", counted);
    let why = works.refused("cal", resealed("C1", "S-1"));
    let (seal, container) = (id("S-1"), id("C1"));
    assert_eq!(why, Refusal::SealUsed { seal, container });
    works.must("cal", resealed("C1", "S-2"));
    assert_eq!((spoils(&works).held, spoils(&works).sealed), (0, 3));
    let known = works.state().container(id("C1")).unwrap();
    let numbers: Vec<_> = known.sealings().map(|one| one.number.to_string()).collect();
    assert_eq!(numbers, ["S-1", "S-2"]);
    let destruction = works.destruction("D1", &["C1"]);
    works.must("cal", Entry::SpoilsDestroyed(destruction));
}

#[test]
fn who_counted_a_container_again_does_not_witness_its_end() {
    let mut works = Works::sealed();
    let both = [
        cullbook::people::Role::Custodian,
        cullbook::people::Role::Witness,
    ];
    works.must("sue", Entry::PersonEnrolled(person("cow", &both, true)));
    works.must("cas", held("C1", "its lid is bent"));
    let counted = recounted(&works, "C1", &[], &[]);
    works.must("cow", counted);
    works.must("cal", resealed("C1", "S-2"));
    let mut destruction = works.destruction("D1", &["C1"]);
    destruction.witnesses = vec![id("wim"), id("cow")];
    let why = works
        .refused("cal", Entry::SpoilsDestroyed(destruction))
        .to_string();
    assert!(
        why.contains("counted a container again that is being destroyed"),
        "{why}"
    );
}

#[test]
fn a_recount_names_what_is_missing_and_it_stays_a_difference() {
    let mut works = held_works();
    let note = pulled()[0];
    let counted = recounted(&works, "C1", &[note], &[]);
    works.must("cal", counted);
    let (account, f) = (lot_account(works.state(), works.lot("L1")), spoils(&works));
    assert_eq!((f.made, f.held, f.missing), (3, 2, 1));
    let spoils_account = &account.identities[3];
    assert_eq!(
        (spoils_account.name, spoils_account.difference()),
        ("Spoils", -1)
    );
    let place = works.state().cage.spoils[&note];
    assert_eq!(place, Place::Missing(id("C1")));
    let obstacles = works.state().stands_in_the_way(works.lot("L1"));
    let (identity, by) = ("Spoils", -1);
    assert!(
        obstacles.contains(&Obstacle::Differs { identity, by }),
        "{obstacles:?}"
    );
    // Found again where it was; then nothing differs.
    let counted = recounted(&works, "C1", &[], &[note]);
    works.must("cal", counted);
    assert_eq!((spoils(&works).held, spoils(&works).missing), (3, 0));
    works.must("cal", resealed("C1", "S-2"));
}

#[test]
fn a_recount_that_does_not_add_up_is_refused() {
    let mut works = held_works();
    let with =
        |works: &Works, missing: &[Item], found: &[Item], change: fn(&mut ContainerRecounted)| {
            let Entry::ContainerRecounted(mut data) = recounted(works, "C1", missing, found) else {
                unreachable!("it is one")
            };
            change(&mut data);
            Entry::ContainerRecounted(data)
        };
    let short = with(&works, &[], &[], |data| data.notes = 1);
    let differs = CageRefusal::RecountDiffers {
        kind: "notes",
        counted: 1,
        expected: 2,
        declared: 2,
    };
    assert_eq!(cage(works.refused("cal", short)), differs);
    let (item, container) = (Item::Sheet(id("L1"), sheet(6)), id("C1"));
    let strange = with(&works, &[item], &[], |data| data.sheets = 0);
    assert_eq!(
        cage(works.refused("cal", strange)),
        CageRefusal::NotInIt { item, container }
    );
    let there = with(&works, &[], &[torn()], |_| {});
    assert_eq!(
        cage(works.refused("cal", there)),
        CageRefusal::NotMissing(torn())
    );
    let no_spoil = with(&works, &[], &[item], |_| {});
    assert_eq!(works.refused("cal", no_spoil), Refusal::NotASpoil(item));
    let twice = with(&works, &[torn(), torn()], &[], |_| {});
    assert_eq!(
        cage(works.refused("cal", twice)),
        CageRefusal::NamedTwice(torn())
    );
    let unexplained = with(&works, &[], &[], |data| data.explanation.clear());
    assert_eq!(
        works.refused("cal", unexplained),
        Refusal::Empty {
            field: "Explanation"
        }
    );
    let alone = with(&works, &[], &[], |data| data.second = id("cal"));
    assert_eq!(works.refused("cal", alone), Refusal::SamePerson(id("cal")));
    let (person, duty) = (id("ida"), Duty::Seal);
    let untrusted = with(&works, &[], &[], |data| data.second = id("ida"));
    assert_eq!(
        works.refused("cal", untrusted),
        Refusal::NotAllowed { person, duty }
    );
    let mut works = Works::sealed();
    let not_held = with(&works, &[], &[], |_| {});
    assert_eq!(
        cage(works.refused("cal", not_held)),
        CageRefusal::NotHeld(id("C1"))
    );
}

#[test]
fn the_second_person_reads_every_missing_piece() {
    let works = held_works();
    let entry = recounted(&works, "C1", &pulled(), &[]);
    let statement = works.book.statement(id("cal"), &entry).unwrap();
    for said in [
        "held since entry",
        "the seal found on it was S-9",
        "Declared: 1 sheet and 2 notes",
        "Counted again: 1 sheet and 0 notes",
        "Missing: note KA000001\nMissing: note KA000013",
        "Explanation: the lid was open in the lift",
    ] {
        assert!(statement.contains(said), "{said} in\n{statement}");
    }
    assert_eq!(cosigners(&entry), [(id("sue"), Meaning::SecondPerson)]);
}

#[test]
fn an_emptied_container_is_retired_and_never_used_again() {
    let mut works = Works::replaced();
    works.must("cal", container("C1"));
    works.must("cal", filled("C1", [torn()]));
    let why = works.refused("cal", retired("C1"));
    assert_eq!(cage(why), CageRefusal::NotEmpty(id("C1")));
    let filling = works.book.len() - 1;
    works.must("cal", taken_out("C1", None, &[torn()], filling));
    works.must("cal", retired("C1"));
    let gone = CageRefusal::Retired(id("C1"));
    assert_eq!(cage(works.refused("cal", filled("C1", [torn()]))), gone);
    assert_eq!(cage(works.refused("cal", moved("C1", "hall 3"))), gone);
    assert_eq!(
        works.refused("cal", container("C1")),
        Refusal::ContainerTaken(id("C1"))
    );
    // Held and found empty by two: nothing is left to seal.
    let mut works = held_works();
    let all = [torn(), pulled()[0], pulled()[1]];
    let counted = recounted(&works, "C1", &all, &[]);
    works.must("cal", counted);
    assert_eq!(
        works.refused("cal", resealed("C1", "S-2")),
        Refusal::ContainerEmpty(id("C1"))
    );
    works.must("cal", retired("C1"));
    assert_eq!(spoils(&works).missing, 3);
}

#[test]
fn a_piece_in_the_wrong_container_is_taken_out_by_naming_the_entry_that_put_it_in() {
    let mut works = Works::replaced();
    for name in ["C1", "C2", "C3"] {
        works.must("cal", container(name));
    }
    let [one, two] = pulled();
    works.must("cal", filled("C1", [torn(), one]));
    let filling = works.book.len() - 1;
    works.must("cal", filled("C1", [two]));
    works.must("cal", taken_out("C1", Some("C2"), &[one], filling));
    assert_eq!(works.state().cage.spoils[&one], Place::In(id("C2")));
    works.must("cal", taken_out("C1", None, &[torn()], filling));
    assert_eq!(works.state().cage.spoils[&torn()], Place::Loose);
    let (item, container, corrects) = (two, id("C1"), filling);
    let why = works.refused("cal", taken_out("C1", None, &[two], filling));
    assert_eq!(
        cage(why),
        CageRefusal::OtherFilling {
            item,
            container,
            corrects
        }
    );
    let item = one;
    let why = works.refused("cal", taken_out("C1", None, &[one], filling));
    assert_eq!(cage(why), CageRefusal::NotInIt { item, container });
    let why = works.refused("cal", taken_out("C1", Some("C1"), &[two], filling + 1));
    assert_eq!(cage(why), CageRefusal::SameContainer(id("C1")));
    works.must("cal", sealed("C2", "S-1", "cas"));
    let why = works.refused("cal", taken_out("C1", Some("C2"), &[two], filling + 1));
    assert_eq!(why, Refusal::ContainerSealed(id("C2")));
    let why = works.refused("cal", taken_out("C2", None, &[one], filling + 2));
    assert_eq!(why, Refusal::ContainerSealed(id("C2")));
}

#[test]
fn a_sealing_written_amiss_is_corrected_and_keeps_what_stood_there() {
    let mut works = Works::sealed();
    let seq = works.book.len() - 1;
    let entry = corrected_sealing(&works, "C1", "S-11", Some(1_250_500));
    let statement = works.book.statement(id("cal"), &entry).unwrap();
    assert!(
        statement.contains("Seal number S-11 (before: S-1)"),
        "{statement}"
    );
    assert!(
        statement.contains("Gross mass 1250.5 g (before: not weighed)"),
        "{statement}"
    );
    works.must("cal", entry.clone());
    let Seal::Sealed(sealing) = seal_of(&works, "C1") else {
        panic!("it is sealed")
    };
    assert_eq!((sealing.seq, sealing.number), (seq, id("S-11")));
    assert_eq!(sealing.gross, Some(Mass::from_milligrams(1_250_500)));
    let before = &sealing.corrections[0];
    assert_eq!((before.number_was, before.gross_was), (id("S-1"), None));
    let why = works.refused("cal", entry);
    assert!(matches!(cage(why), CageRefusal::OtherSealing { corrects, .. } if corrects == seq));
    let same = corrected_sealing(&works, "C1", "S-11", Some(1_250_500));
    assert_eq!(
        cage(works.refused("cal", same)),
        CageRefusal::NothingCorrected
    );
    // S-1 was never on C1, so it is still to be used; S-11 is.
    works.must("sue", lot("L2", 4, None));
    works.must("ida", examined("L2", 1, 1, &["- PT"]));
    works.must("cal", container("C2"));
    let fill = works.fill("C2");
    works.must("cal", fill);
    let (seal, container) = (id("S-11"), id("C1"));
    let why = works.refused("cal", sealed("C2", "S-11", "cas"));
    assert_eq!(why, Refusal::SealUsed { seal, container });
    works.must("cal", sealed("C2", "S-1", "cas"));
    let mut works = Works::destroyed();
    let late = corrected_sealing(&works, "C1", "S-11", None);
    assert_eq!(
        cage(works.refused("cal", late)),
        CageRefusal::Destroyed(id("C1"))
    );
}

#[test]
fn seal_numbers_have_the_form_of_the_rules() {
    let mut works = Works::replaced();
    let seal_form = Some("CB-####".parse().unwrap());
    works.must(
        "sue",
        Entry::RulesSet(Rules {
            seal_form,
            ..rules()
        }),
    );
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    let why = works.refused("cal", sealed("C1", "S-1", "cas")).to_string();
    assert!(why.contains("\"CB-\", then 4 digits"), "{why}");
    works.must("cal", sealed("C1", "CB-0412", "cas"));
    let amiss = corrected_sealing(&works, "C1", "S-1", None);
    let why = cage(works.refused("cal", amiss));
    assert!(matches!(why, CageRefusal::SealForm { .. }), "{why}");
}

#[test]
fn a_loss_is_declared_by_a_supervisor_with_a_second_and_stays_on_record() {
    let mut works = held_works();
    let note = pulled()[0];
    let why = works.refused("sue", lost_spoils([note]));
    assert_eq!(cage(why), CageRefusal::StillContained(note));
    let counted = recounted(&works, "C1", &[note], &[]);
    works.must("cal", counted);
    let (person, duty) = (id("cal"), Duty::DeclareLost);
    let why = works.refused("cal", lost_spoils([note]));
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let Entry::SpoilsLost(mut alone) = lost_spoils([note]) else {
        unreachable!("it is one")
    };
    alone.second = id("sue");
    let why = works.refused("sue", Entry::SpoilsLost(alone.clone()));
    assert_eq!(why, Refusal::SamePerson(id("sue")));
    (alone.second, alone.reason) = (id("cas"), String::new());
    let why = works.refused("sue", Entry::SpoilsLost(alone));
    assert_eq!(why, Refusal::Empty { field: "Reason" });
    works.must("sue", lost_spoils([note]));
    let seq = works.book.len() - 1;
    let account = lot_account(works.state(), works.lot("L1"));
    assert!(account.holds(), "{:?}", account.identities);
    assert_eq!(account.spoil_figures.declared_lost, 1);
    let why = works.refused("sue", lost_spoils([note]));
    assert_eq!(cage(why), CageRefusal::DeclaredLost { item: note, seq });
    works.must("cal", resealed("C1", "S-2"));
    let destruction = works.destruction("D1", &["C1"]);
    works.must("cal", Entry::SpoilsDestroyed(destruction));
    works.must("sue", lot_closed("L1"));
    // It turns up after all: loose, and the loss is still told.
    works.must("cal", found_spoils([note]));
    assert_eq!(works.state().cage.spoils[&note], Place::Loose);
    assert_eq!(works.state().cage.losses[0].items, [note]);
    let why = works.refused("cal", found_spoils([note]));
    assert_eq!(cage(why), CageRefusal::NotGone(note));
    let fit = Item::Note(id("KA000000"));
    assert_eq!(
        works.refused("sue", lost_spoils([fit])),
        Refusal::NotASpoil(fit)
    );
}

#[test]
fn a_life_tells_of_every_container_and_of_the_loss() {
    let mut works = Works::replaced();
    works.must("sue", lot("L2", 4, None));
    works.must("ida", examined("L2", 1, 4, &["- PT"]));
    works.trouble([1, 2, 3, 4].map(|number| Item::Sheet(id("L2"), sheet(number))));
    let life = |number| -> Vec<String> {
        let steps = works.book.life(&Subject::Sheet(id("L2"), sheet(number)));
        steps.into_iter().map(|step| step.says).skip(2).collect()
    };
    let gone = [
        "sheet 1 of lot L2 put into container T1",
        "container T1 sealed with T-1, second person cas of the works",
        "sealing of container T1 corrected, seal T-11: read wrongly",
        "container T1 looked at: seal T-12, whole",
        "container T1 counted again with sue of the works, sheet 1 of lot L2 was missing: the lid was open in the lift",
        "sheet 1 of lot L2 declared lost, second person cas of the works: swept up with the trimmings",
        "sheet 1 of lot L2 found: under the guillotine",
    ];
    assert_eq!(life(1), gone);
    let moved = [
        "sheet 2 of lot L2 put into container T1",
        "sheet 2 of lot L2 taken out of container T1: wrong container",
        "container T2 counted again with sue of the works, sheet 2 of lot L2 was found in it: the lid was open in the lift",
        "container T2 sealed anew with T-3, second person cas of the works",
    ];
    assert_eq!(life(2), moved);
}
