//! A destruction at the desk: it comes back after a reload with what was typed, and keys are
//! locked after three wrong passphrases.

use cullbook::book::Entry;
use cullbook::custody::{SessionBegun, Stage};
use cullbook::desk::forms::{DestructionDraft, Step, Typed};
use cullbook::desk::{Action, Screen};

use crate::machine::Bench;
use crate::whole_day::{draw_all, examine, fill_and_seal};

fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().expect("an id")
}

/// Everything spoiled lies under seal, and a session over both containers is begun by ben.
fn begun() -> Bench {
    let mut bench = Bench::new();
    examine(&mut bench);
    draw_all(&mut bench);
    fill_and_seal(&mut bench);
    let begun = SessionBegun {
        session: id("D-1"),
        place: "Hall 2".to_owned(),
        operator: id("ada"),
        witnesses: vec![id("wren"), id("osk")],
        containers: vec![id("C-1"), id("C-2")],
    };
    bench
        .record(vec![Entry::SessionBegun(begun)])
        .expect("begun");
    bench
}

fn type_in(bench: &mut Bench, draft: DestructionDraft) {
    let typed = Action::TypeDestruction(Box::new(draft));
    bench.act(typed).expect("kept");
}

#[test]
fn a_session_comes_back_after_a_reload_with_what_was_typed() {
    let mut bench = begun();
    let mut draft = DestructionDraft::default();
    let typed = Typed::with([("found-seal", "S-C-1")]);
    draft.type_in(id("C-1"), &typed);
    type_in(&mut bench, draft.clone());
    bench.reload();
    assert_eq!(bench.desk.screen, Screen::Destroy);
    assert_eq!(bench.desk.destruction, draft);
    assert_eq!(bench.desk.destruction.step(bench.desk.state()), Step::Seals);
    assert!(bench.desk.all_finished().is_err(), "a session is under way");
}

#[test]
fn what_was_typed_for_a_step_goes_once_it_is_recorded() {
    let mut bench = begun();
    let mut draft = DestructionDraft::default();
    for container in ["C-1", "C-2"] {
        let seal = format!("S-{container}");
        draft.type_in(id(container), &Typed::with([("found-seal", &*seal)]));
    }
    type_in(&mut bench, draft);
    let entry = {
        let now = id("2026-11-25T12:00:00+01:00");
        let at = cullbook::desk::forms::Setting {
            state: bench.desk.state(),
            lead: id("ben"),
            now: &now,
        };
        bench.desk.destruction.entry(&at).expect("both seals")
    };
    bench.record(vec![entry]).expect("recorded");
    assert_eq!(bench.desk.destruction, DestructionDraft::default());
    assert_eq!(bench.session, None, "nothing is kept any more");
    let log = bench.desk.state().session.as_ref().expect("under way");
    assert_eq!(log.next(), Stage::Count);
}

#[test]
fn three_wrong_passphrases_lock_and_are_entered() {
    let mut bench = begun();
    let lines = bench.stored.len();
    let locked = |bench: &Bench, at: &str| {
        let last = bench.desk.state().failed_keys.get(&id("wren")).cloned();
        let at = last.map_or_else(|| id(at), |last| last);
        bench.desk.locked_until(id("wren"), &at)
    };
    for _ in 0..2 {
        bench
            .act(Action::WrongPassphrase(id("wren")))
            .expect("noted");
    }
    assert_eq!(bench.stored.len(), lines, "two are no three");
    assert_eq!(locked(&bench, "2026-11-25T12:00:00+01:00"), None);
    bench
        .act(Action::WrongPassphrase(id("wren")))
        .expect("entered");
    assert_eq!(bench.stored.len(), lines + 1);
    assert!(bench.stored[lines].contains("\"kind\":\"passphrase.failed\""));
    assert!(locked(&bench, "").is_some());
    // A reload does not undo it.
    bench.reload();
    assert!(locked(&bench, "").is_some());
    let later = id("2026-12-01T12:00:00+01:00");
    assert_eq!(bench.desk.locked_until(id("wren"), &later), None);
}

#[test]
fn what_happened_before_anybody_signed_in_is_entered_afterwards() {
    let mut bench = begun();
    bench.act(Action::SignOut).expect("out");
    let lines = bench.stored.len();
    for _ in 0..3 {
        bench
            .act(Action::WrongPassphrase(id("ben")))
            .expect("noted");
    }
    assert_eq!(bench.stored.len(), lines, "nobody is here to write it");
    bench.sign_in("ada");
    assert_eq!(bench.stored.len(), lines + 1);
    assert!(bench.stored[lines].contains("\"by\":\"ada\""));
}
