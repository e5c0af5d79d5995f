//! What is wrong with the book on this machine, or soon will be: each with what to do.

use crate::people::Stamp;

use super::action::Space;
use super::core::Desk;
use super::head_out::{DUE_ENTRIES, DUE_HOURS, head_out};
use super::homes::{Room, SecondState};
use super::told::Saved;

/// Something to be looked after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alarm {
    /// The last entry is not on disk.
    NotRecorded,
    /// The browser's database cannot be reached.
    DatabaseMissing,
    /// Local storage is blocked or full.
    OneHome,
    /// Little room is left, in percent used.
    Room { percent: u64 },
    /// No head left for too long.
    HeadDue { entries: u64 },
    /// No copy of the whole book ever left.
    NeverCopied,
    /// Enrolled people whose key is not on this machine.
    KeysMissing { people: usize },
}

impl std::fmt::Display for Alarm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Alarm::NotRecorded => f.write_str(
                "The last entry could not be recorded. What the bar says about it comes first.",
            ),
            Alarm::DatabaseMissing => f.write_str(
                "The browser's database is missing: what is shown comes from local storage, and nothing can be recorded. Allow site data for this address, then reload the page.",
            ),
            Alarm::OneHome => f.write_str(
                "The book has one home only, because local storage is blocked or full: a loss would not be noticed on this machine. Let a head and a copy leave more often.",
            ),
            Alarm::Room { percent } => write!(
                f,
                "{percent} % of the room that the browser gives this address is used. Save a copy of the book, then free space on this machine."
            ),
            Alarm::HeadDue { entries } => write!(
                f,
                "It is time for a head to leave this machine: {entries} entries are covered by none that is kept elsewhere. Print one, save one or read one out every {DUE_ENTRIES} entries or {DUE_HOURS} hours."
            ),
            Alarm::NeverCopied => f.write_str(
                "No copy of the entries that are here has left this machine. Save the book from the Day screen and keep it on another machine.",
            ),
            Alarm::KeysMissing { people: 1 } => f.write_str(
                "The key of 1 enrolled person is not on this machine: they cannot sign here. Bring in the saved keys when they sign in, or give a new key in the Office.",
            ),
            Alarm::KeysMissing { people } => write!(
                f,
                "The keys of {people} enrolled people are not on this machine: they cannot sign here. Bring in the saved keys when they sign in, or give new keys in the Office."
            ),
        }
    }
}

/// Everything to be looked after, the most pressing first. A practice book has nothing to lose.
pub fn alarms(desk: &Desk, now: &Stamp) -> Vec<Alarm> {
    let out = head_out(&desk.book, now);
    let real = desk.space == Space::Real;
    let people = desk.state().people.values();
    let missing = people.filter(|person| !desk.keys.contains_key(&person.key));
    let missing = missing.count();
    let mut alarms = Vec::new();
    if matches!(desk.saved, Saved::Failed(_)) {
        alarms.push(Alarm::NotRecorded);
    }
    let homes = &desk.homes;
    if homes.first_lost.is_some() {
        alarms.push(Alarm::DatabaseMissing);
    }
    if homes.second != SecondState::Serves {
        alarms.push(Alarm::OneHome);
    }
    if let Some(room) = homes.room.filter(Room::is_due) {
        let percent = room.percent();
        alarms.push(Alarm::Room { percent });
    }
    if out.is_due() {
        let entries = out.entries;
        alarms.push(Alarm::HeadDue { entries });
    }
    if real && desk.state().last_book_copy.is_none() {
        alarms.push(Alarm::NeverCopied);
    }
    if real && missing > 0 {
        alarms.push(Alarm::KeysMissing { people: missing });
    }
    alarms
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Copied, CopyTaken, Entry};
    use crate::desk::StoreError;
    use crate::export::sample::{Works, id};

    fn desk(works: &Works) -> Desk {
        Desk {
            book: works.book.clone(),
            ..Desk::default()
        }
    }

    #[test]
    fn each_alarm_sounds_for_its_own_reason_and_says_what_to_do() {
        let mut works = Works::new();
        let people = works.state().people.len();
        let late: Stamp = id("2026-11-25T23:00:00+01:00");
        let mut fresh = desk(&works);
        let entries = works.book.len();
        let expected = [
            Alarm::HeadDue { entries },
            Alarm::NeverCopied,
            Alarm::KeysMissing { people },
        ];
        assert_eq!(alarms(&fresh, &late), expected);
        fresh.saved = Saved::Failed(StoreError::Quota);
        assert_eq!(alarms(&fresh, &late)[0], Alarm::NotRecorded);
        fresh.space = Space::Practice;
        assert_eq!(
            alarms(&fresh, &late),
            [Alarm::NotRecorded, Alarm::HeadDue { entries }]
        );
        let copy = CopyTaken::new(Copied::Book, works.book.head());
        works.write("sue", vec![Entry::CopyTaken(copy)]);
        assert_eq!(
            alarms(&desk(&works), &late),
            [Alarm::KeysMissing { people }]
        );
        let mut cramped = desk(&works);
        cramped.homes.first_lost = Some(StoreError::Blocked);
        cramped.homes.second = SecondState::Full;
        cramped.homes.room = Some(Room {
            used: 9,
            allowed: 10,
            promised: true,
        });
        let homes = [
            Alarm::DatabaseMissing,
            Alarm::OneHome,
            Alarm::Room { percent: 90 },
        ];
        assert_eq!(alarms(&cramped, &late)[..3], homes);
        for alarm in [Alarm::NotRecorded, Alarm::KeysMissing { people: 1 }]
            .into_iter()
            .chain(homes)
            .chain(expected)
        {
            assert!(alarm.to_string().ends_with('.'), "{alarm}");
        }
    }
}
