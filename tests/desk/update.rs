//! A newer version of the app waits for what is unfinished, and says what that is.

use cullbook::desk::forms::DestructionDraft;
use cullbook::desk::{Action, Effect, Held, NotHeld, Space, Update};

use crate::machine::Bench;

/// Presses "Use it"; gives back the message, if the desk refuses.
fn use_it(bench: &mut Bench) -> Result<(), String> {
    bench.act(Action::UseUpdate).expect("answered on the page");
    match (bench.desk.update, bench.desk.notice.take()) {
        (Some(Update::Asked), None) => Ok(()),
        (_, Some(notice)) => Err(notice.text),
        (update, None) => panic!("neither used nor refused: {update:?}"),
    }
}

fn ready() -> Bench {
    let mut bench = Bench::new();
    bench.act(Action::UpdateReady).expect("heard");
    bench
}

#[test]
fn a_newer_version_is_used_when_nothing_is_unfinished() {
    let mut bench = ready();
    assert_eq!(bench.desk.update, Some(Update::Ready));
    let effects = bench.step(Action::UseUpdate).expect("allowed");
    assert_eq!(effects, vec![Effect::UseUpdate]);
    let again = bench.step(Action::UseUpdate).expect("heard");
    assert_eq!(again, vec![], "the page opens anew once");
}

#[test]
fn without_a_newer_version_there_is_nothing_to_use() {
    let mut bench = Bench::new();
    assert_eq!(bench.step(Action::UseUpdate).expect("heard"), vec![]);
    assert_eq!(bench.desk.update, None);
}

#[test]
fn an_unfinished_sheet_holds_it_back() {
    let mut bench = ready();
    bench.keys(&["o", "s"]);
    let why = use_it(&mut bench).expect_err("sheet 1 is unfinished");
    assert!(why.contains("sheet 1 is not finished"), "{why}");
    assert_eq!(bench.desk.update, Some(Update::Ready), "it still waits");
    bench.keys(&["Enter"]);
    assert_eq!(use_it(&mut bench), Ok(()));
}

#[test]
fn a_line_on_its_way_to_the_store_holds_it_back() {
    let mut bench = ready();
    bench.slow = true;
    bench.keys(&["Enter"]);
    let why = use_it(&mut bench).expect_err("a line is on its way");
    assert!(why.contains("on its way to the store"), "{why}");
    bench.answer();
    assert_eq!(use_it(&mut bench), Ok(()));
}

#[test]
fn a_half_typed_destruction_holds_it_back() {
    let mut bench = ready();
    let mut draft = DestructionDraft::default();
    draft.session.set("session", "D-1".to_owned());
    let typed = |draft: &DestructionDraft| Action::TypeDestruction(Box::new(draft.clone()));
    bench.act(typed(&draft)).expect("kept");
    assert_eq!(
        bench.desk.all_finished(),
        Ok(()),
        "a proposed number is nothing typed"
    );
    draft.session.set("place", "Boiler house".to_owned());
    bench.act(typed(&draft)).expect("kept");
    let why = use_it(&mut bench).expect_err("a place was typed");
    assert!(why.contains("a destruction is not finished"), "{why}");
    draft.session.set("place", " ".to_owned());
    bench.act(typed(&draft)).expect("kept");
    assert_eq!(use_it(&mut bench), Ok(()));
}

#[test]
fn what_is_known_of_the_app_outlives_a_change_of_book() {
    let mut bench = ready();
    bench.act(Action::AppHeld(Held::Yes)).expect("heard");
    bench.act(Action::Start(Space::Practice)).expect("starts");
    assert_eq!(bench.desk.held, Held::Yes);
    assert_eq!(bench.desk.update, Some(Update::Ready));
}

#[test]
fn why_the_app_is_not_held_is_a_sentence_with_a_remedy() {
    let refused = NotHeld::Refused("SecurityError".to_owned());
    for (why, part) in [
        (NotHeld::NotOffered, "over https"),
        (NotHeld::Incomplete, "Reload the page"),
        (refused, "(SecurityError). Allow site data"),
    ] {
        assert!(why.to_string().contains(part), "{why}");
    }
}
