//! The end of a shift: what the next one signs for.

use cullbook::book::*;

use super::works::*;

fn handed(to: &str, told: &str) -> Entry {
    Entry::ShiftHandedOver(ShiftHandedOver {
        to: id(to),
        told: told.to_owned(),
    })
}

fn unfinished(works: &Works) -> Vec<String> {
    let found = works.state().unfinished();
    found.iter().map(ToString::to_string).collect()
}

#[test]
fn everything_unfinished_is_listed_where_it_is_finished() {
    let works = Works::with_lot();
    assert_eq!(unfinished(&works), ["Lot L1: 12 sheets not examined"]);
    let works = Works::examined();
    assert_eq!(
        unfinished(&works),
        [
            "Lot L1: 8 notes without a replacement",
            "Cage: 3 pieces loose, in no container"
        ]
    );
    let works = Works::sealed();
    let open = works.state().unfinished();
    assert_eq!(
        unfinished(&works),
        ["Container C1: sealed with 3 pieces, not destroyed"]
    );
    assert_eq!(open[0].at(), Finish::Destroy);
    assert!(unfinished(&Works::destroyed()).is_empty());
}

#[test]
fn the_next_shift_signs_for_the_list_as_it_stands() {
    let mut works = Works::examined();
    works.must("ida", handed("ivo", "Cal knows of the loose pieces"));
    let text = works.book.texts().last().unwrap().clone();
    let line = Line::read(&text).unwrap();
    let signed = line.countersigned.expect("a statement");
    assert_eq!(signed.also[0].by, id("ivo"));
    for says in [
        "Shift handed over to ivo of the works (ivo)",
        "Unfinished: Lot L1: 8 notes without a replacement",
        "Told: Cal knows of the loose pieces",
    ] {
        assert!(signed.statement.contains(says), "{}", signed.statement);
    }
    let last = works.state().handovers.last().unwrap();
    assert_eq!((last.by, last.to), (id("ida"), id("ivo")));
}

#[test]
fn a_shift_goes_to_somebody_else_who_may_take_it_and_with_a_word() {
    let mut works = Works::examined();
    let own = works.refused("ida", handed("ida", "nobody"));
    assert_eq!(own, Refusal::HandedToSelf(id("ida")));
    let witness = works.refused("ida", handed("wim", "nobody"));
    assert!(matches!(witness, Refusal::NotAllowed { .. }));
    let silent = works.refused("ida", handed("ivo", " "));
    assert_eq!(
        silent,
        Refusal::Empty {
            field: "Who was told"
        }
    );
    let by_witness = works.refused("wim", handed("ivo", "all"));
    assert!(matches!(by_witness, Refusal::NotAllowed { .. }));
}
