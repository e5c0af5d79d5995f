//! The two homes as the desk sees them: what is kept twice, what is mended and said, what stops
//! work, which tab writes.

use std::rc::Rc;

use cullbook::book::{
    ContainerFilled, ContainerOpened, ContainerSealed, Entry, Hash, Home, Line, Refusal,
    StoreHealed,
};
use cullbook::custody::ContainerId;
use cullbook::desk::bench::Command;
use cullbook::desk::homes::{Room, SecondState, Tab};
use cullbook::desk::{Action, Effect, Saved, Space, Startup, StoreError, Stored};

use crate::machine::{Bench, sheet};

fn healed(home: Home, from: u64, to: u64) -> StoreHealed {
    StoreHealed { home, from, to }
}

/// Everything forgotten but what is stored; nobody is signed in.
fn reopen(bench: &mut Bench) {
    bench.desk = Default::default();
    bench.act(Action::Start(Space::Real)).expect("starts");
}

fn recorded(bench: &Bench) -> u64 {
    bench.desk.book.len()
}

fn said(bench: &Bench) -> &str {
    bench.desk.notice.as_ref().map_or("", |said| &said.text)
}

/// The sentence that stopped work.
fn alarm(bench: &Bench) -> &str {
    match &bench.desk.startup {
        Startup::Broken { why, .. } => why,
        other => panic!("work goes on: {other:?}"),
    }
}

fn kinds(bench: &Bench, from: usize) -> Vec<&'static str> {
    let lines = bench.stored[from..].iter();
    lines
        .map(|text| Line::read(text).expect("a line").entry.kind())
        .collect()
}

#[test]
fn every_line_and_the_head_are_kept_twice() {
    let mut bench = Bench::new();
    bench.keys(&["Enter", "o", "s", "Enter"]);
    let pocket = bench.pocket.clone().expect("a second home");
    for (seq, text) in bench.stored.iter().enumerate() {
        assert_eq!(
            pocket.get(&format!("line/{seq:08}")).map(String::as_str),
            Some(&**text)
        );
    }
    let head = format!("{} {}", recorded(&bench), bench.desk.book.head());
    assert_eq!(pocket.get("head"), Some(&head));
    assert_eq!(bench.desk.homes.ledger.lines(), recorded(&bench));
    reopen(&mut bench);
    assert!(bench.desk.homes.healed.is_empty());
    assert_eq!(
        bench.desk.notice, None,
        "two homes that agree are not talked about"
    );
}

#[test]
fn a_second_home_that_was_wiped_is_filled_said_and_entered() {
    let mut bench = Bench::new();
    let last = recorded(&bench) - 1;
    bench.pocket = Some(Default::default());
    reopen(&mut bench);
    assert!(said(&bench).contains(&format!("Local storage lacked entries 0 to {last}")));
    assert_eq!(bench.desk.homes.healed, [healed(Home::Second, 0, last)]);
    assert_eq!(bench.desk.homes.ledger.lines(), recorded(&bench));
    bench.sign_in("ben");
    let before = bench.stored.len();
    let container = "C-1".parse().expect("an id");
    let opened = ContainerOpened {
        container,
        place: None,
    };
    bench
        .record(vec![Entry::ContainerOpened(opened)])
        .expect("a custodian may");
    assert_eq!(kinds(&bench, before), ["store.healed", "container.opened"]);
    reopen(&mut bench);
    assert_eq!(bench.desk.homes.to_enter, [], "entered once");
}

#[test]
fn a_healing_stays_to_be_entered_when_the_page_is_closed_before() {
    let mut bench = Bench::new();
    let last = recorded(&bench) - 1;
    bench.stored.truncate(last as usize);
    reopen(&mut bench);
    assert!(said(&bench).contains("put back from local storage"));
    reopen(&mut bench);
    assert_eq!(said(&bench), "", "said once");
    assert_eq!(bench.desk.homes.to_enter, [healed(Home::First, last, last)]);
    bench.sign_in("ida");
    bench.keys(&["Enter"]);
    let entered = bench.desk.state().healings.iter().map(|one| one.what);
    assert_eq!(
        entered.collect::<Vec<_>>(),
        [healed(Home::First, last, last)]
    );
    bench.stored_book();
}

/// The statement of a sealing names the line before it, so the healing stands behind it.
#[test]
fn what_others_sign_is_recorded_before_the_healing() {
    let mut bench = Bench::new();
    bench.keys(&["p", "t", "Enter"]);
    bench.sign_in("ben");
    let container: ContainerId = "C-1".parse().expect("an id");
    let sheets = vec![("T-1".parse().expect("an id"), sheet(1))];
    let filled = ContainerFilled {
        container,
        sheets,
        notes: Vec::new(),
        replacements: Vec::new(),
    };
    let opened = Entry::ContainerOpened(ContainerOpened {
        container,
        place: None,
    });
    bench
        .record(vec![opened, Entry::ContainerFilled(filled)])
        .expect("a spoiled sheet");
    bench.pocket = Some(Default::default());
    reopen(&mut bench);
    bench.sign_in("ben");
    let before = bench.stored.len();
    let sealed = Entry::ContainerSealed(ContainerSealed {
        container,
        seal: "S-1".parse().expect("an id"),
        second: "ada".parse().expect("an id"),
        gross: None,
        tare: None,
        scale: None,
    });
    bench.record_signed(sealed).expect("both have signed");
    assert_eq!(kinds(&bench, before), ["container.sealed", "store.healed"]);
    bench.stored_book();
}

#[test]
fn a_wiped_database_is_restored_from_a_short_book() {
    let mut bench = Bench::new();
    bench.keys(&["Enter", "Enter"]);
    let (lines, draft) = (bench.stored.clone(), bench.draft.clone());
    bench.stored.clear();
    reopen(&mut bench);
    assert_eq!(bench.desk.startup, Startup::Ready);
    assert!(bench.stored == lines && bench.draft == draft);
    assert_eq!(bench.desk.homes.in_first, recorded(&bench));
    bench.sign_in("ida");
    bench.keys(&["Enter"]);
    bench.stored_book();
}

#[test]
fn lines_that_neither_home_has_stop_work_until_a_copy_comes() {
    let mut bench = Bench::new();
    bench.keys(&["Enter", "Enter", "Enter"]);
    let copy = bench.stored.clone();
    let last = copy.len() - 1;
    bench.stored.truncate(last - 1);
    let pocket = bench.pocket.as_mut().expect("a second home");
    pocket.remove(&format!("line/{:08}", last - 1));
    reopen(&mut bench);
    let lost = format!("lost entries {} to {last}", last - 1);
    assert!(alarm(&bench).contains(&lost), "{}", alarm(&bench));
    let before = (bench.stored.clone(), bench.pocket.clone());

    let older: Vec<Rc<str>> = copy[..last - 2].to_vec();
    bench.act(Action::BringIn(older)).expect("answered");
    assert!(
        said(&bench).contains("Bring in a copy saved later"),
        "{}",
        said(&bench)
    );
    let mut other = copy.clone();
    other[3] = other[2].clone();
    bench.act(Action::BringIn(other)).expect("answered");
    assert!(said(&bench).contains("Line 3"), "{}", said(&bench));
    assert!(
        before == (bench.stored.clone(), bench.pocket.clone()),
        "nothing is touched"
    );

    // One line short: the second home has the last one.
    bench
        .act(Action::BringIn(copy[..last].to_vec()))
        .expect("answered");
    assert_eq!(bench.desk.startup, Startup::Ready);
    assert!(bench.stored == copy);
}

#[test]
fn a_fork_stops_work_and_names_the_entry() {
    let mut bench = Bench::new();
    let common = bench.stored.clone();
    bench.keys(&["Enter"]);
    let pocket = bench.pocket.clone();
    // The machine's clone goes on in another way.
    bench.stored = common.clone();
    bench.pocket = None;
    bench.reload();
    bench.keys(&["o", "s", "Enter"]);
    bench.pocket = pocket;
    let homes = (bench.stored.clone(), bench.pocket.clone());
    reopen(&mut bench);
    let forked = format!("different lines for entry {}", common.len());
    assert!(alarm(&bench).contains(&forked), "{}", alarm(&bench));
    assert!(homes == (bench.stored.clone(), bench.pocket.clone()));
    let Startup::Broken { lines, second, .. } = bench.desk.startup.clone() else {
        panic!("not stopped");
    };
    assert_eq!(lines.len(), second.texts().len(), "both can be saved");
    assert_ne!(lines.last(), second.texts().last());
    bench
        .act(Action::BringIn(homes.0.clone()))
        .expect("answered");
    assert!(
        said(&bench).contains("different lines"),
        "a branch is no remedy"
    );
}

/// Only the head tells when the second home kept no line of the time.
#[test]
fn a_head_that_the_book_does_not_have_is_a_fork() {
    let mut bench = Bench::new();
    let last = recorded(&bench) - 1;
    let pocket = bench.pocket.as_mut().expect("a second home");
    pocket.remove(&format!("line/{last:08}"));
    pocket.insert(
        "head".to_owned(),
        format!("{} {}", last + 1, Hash::of_line(b"another")),
    );
    reopen(&mut bench);
    assert!(alarm(&bench).contains(&format!("different lines for entry {last}")));
}

#[test]
fn a_damaged_second_home_is_mended_from_the_first() {
    let mut bench = Bench::new();
    let whole = bench.pocket.clone();
    let pocket = bench.pocket.as_mut().expect("a second home");
    pocket.insert("line/00000004".to_owned(), "no line at all".to_owned());
    pocket.insert("head".to_owned(), "three".to_owned());
    reopen(&mut bench);
    assert_eq!(bench.desk.homes.healed, [healed(Home::Second, 4, 4)]);
    let mut mended = bench.pocket.clone().expect("a second home");
    mended
        .remove("healed")
        .expect("the note waits to be entered");
    assert_eq!(Some(mended), whole);
}

/// A forged last line is known by its signature alone, which is checked last. It must not get into
/// the second home before.
#[test]
fn what_is_not_verified_never_gets_into_the_second_home() {
    let mut bench = Bench::new();
    bench.keys(&["Enter"]);
    let last = bench.stored.len() - 1;
    let forged = bench.stored[last].replace("\"from\":1,\"to\":1", "\"from\":1,\"to\":2");
    assert_ne!(forged, *bench.stored[last]);
    bench.stored[last] = forged.into();
    bench.pocket = Some(Default::default());
    reopen(&mut bench);
    assert!(alarm(&bench).contains("does not carry the signature of ida"));
    let pocket = bench.pocket.clone().expect("a second home");
    assert_eq!(pocket.keys().collect::<Vec<_>>(), ["healed"]);
}

#[test]
fn a_blocked_local_storage_leaves_one_home() {
    let mut bench = Bench::new();
    bench.pocket = None;
    reopen(&mut bench);
    assert_eq!(bench.desk.homes.second, SecondState::Blocked);
    assert_eq!(bench.desk.homes.healed, [], "nothing can be put there");
    bench.sign_in("ida");
    bench.keys(&["Enter"]);
    assert!(matches!(bench.desk.saved, Saved::At(_)));
}

#[test]
fn a_blocked_database_leaves_the_second_home_for_reading() {
    let mut bench = Bench::new();
    let lines = bench.stored.len() as u64;
    let second = bench
        .pocket
        .clone()
        .map(cullbook::desk::homes::Second::read);
    let blocked = |second| Action::Loaded {
        space: Space::Real,
        stored: Stored {
            lines: Err(StoreError::Blocked),
            second,
            keys: Vec::new(),
            tab: Tab::Writes,
        },
    };
    bench.act(blocked(second)).expect("loaded");
    assert_eq!(
        (bench.desk.startup.clone(), recorded(&bench)),
        (Startup::Ready, lines)
    );
    assert_eq!(bench.desk.homes.first_lost, Some(StoreError::Blocked));
    bench.fail_with = Some(StoreError::Blocked);
    bench.keys(&["Enter"]);
    assert!(said(&bench).starts_with("Not recorded."));
    bench.act(blocked(None)).expect("loaded");
    assert!(alarm(&bench).contains("does not hold the whole book either"));
}

#[test]
fn a_full_second_home_gives_up_its_oldest_lines_then_says_so_once() {
    let mut bench = Bench::new();
    bench.pocket_room = bench.pocket.as_ref().map_or(0, |pocket| pocket.len());
    bench.keys(&["Enter"]);
    assert_eq!(
        bench.desk.homes.second,
        SecondState::Serves,
        "older lines went"
    );
    assert_eq!(bench.desk.notice, None);
    let held = bench.pocket.as_ref().expect("a second home");
    let log = held
        .values()
        .filter(|text| text.contains("\"kind\":\"person.enrolled\""));
    assert_eq!(log.count(), 5, "the log stays");
    bench.pocket_room = 1;
    bench.sign_in("ben");
    let open = |number: u32| {
        let container = format!("C-{number}").parse().expect("an id");
        vec![Entry::ContainerOpened(ContainerOpened {
            container,
            place: None,
        })]
    };
    bench.record(open(1)).expect("recorded");
    assert_eq!(bench.desk.homes.second, SecondState::Full);
    assert!(said(&bench).contains("second home, is full"));
    bench.record(open(2)).expect("recorded");
    assert_eq!(said(&bench), "", "said once");
    let head = format!("{} {}", recorded(&bench), bench.desk.book.head());
    assert_eq!(
        bench.pocket.as_ref().and_then(|held| held.get("head")),
        Some(&head)
    );
}

#[test]
fn a_tab_that_only_reads_refuses_follows_and_takes_over() {
    let mut writer = Bench::new();
    let mut reader = Bench::new();
    (reader.tab, reader.stored) = (Tab::Reads, writer.stored.clone());
    (reader.pocket, reader.draft) = (writer.pocket.clone(), None);
    reader.reload();
    let untouched = (reader.stored.clone(), reader.pocket.clone());
    let refused = reader.command(Command::Enter);
    assert_eq!(refused, Err(Refusal::ReadingOnly));
    let leave = reader.desk.step(
        Action::LeavePractice,
        &mut cullbook::desk::Env {
            now: crate::machine::stamp(0),
            new_id: &mut uuid::Uuid::nil,
        },
    );
    assert_eq!(
        leave,
        Ok(vec![Effect::Load(Space::Real)]),
        "the practice book is not its own"
    );
    reader.reload();
    reader.keys(&["i", "w"]);
    assert_eq!(
        reader.draft, None,
        "the writer's unfinished sheet is left alone"
    );
    assert!(untouched == (reader.stored.clone(), reader.pocket.clone()));

    writer.keys(&["Enter", "Enter"]);
    reader.stored = writer.stored.clone();
    reader.pocket = writer.pocket.clone();
    let (space, lines) = (Space::Real, writer.stored.len() as u64);
    reader
        .act(Action::OtherTabWrote { space, lines })
        .expect("followed");
    assert_eq!(reader.desk.book.head(), writer.desk.book.head());

    reader.tab = Tab::Writes;
    reader.act(Action::LockFreed(space)).expect("taken over");
    reader.keys(&["Enter"]);
    assert_eq!(reader.stored.len(), writer.stored.len() + 1);
    reader.stored_book();
}

#[test]
fn a_tab_of_an_older_version_records_nothing_more() {
    let mut bench = Bench::new();
    bench.act(Action::Outdated).expect("heard");
    assert!(said(&bench).contains("Reload this tab"));
    let refused = bench.command(Command::Enter);
    assert_eq!(refused, Err(Refusal::OutdatedTab));
}

#[test]
fn the_room_is_measured_at_start_and_after_every_fifty_entries() {
    let mut bench = Bench::new();
    let room = Room {
        used: 81,
        allowed: 100,
        promised: false,
    };
    bench.room = Some(room);
    reopen(&mut bench);
    bench.sign_in("ida");
    let before = bench.measured;
    assert!(
        bench
            .desk
            .homes
            .room
            .is_some_and(|room| room.is_due() && room.percent() == 81)
    );
    (0..49).for_each(|_| bench.keys(&["Enter"]));
    assert_eq!(bench.measured, before);
    bench.keys(&["Enter"]);
    assert_eq!(bench.measured, before + 1);
    let full = Room { allowed: 0, ..room };
    assert_eq!(
        (full.percent(), Room { used: 80, ..room }.is_due()),
        (100, false)
    );
}
