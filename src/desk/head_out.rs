//! How long the head has stayed on this machine. What happened since the last head left could be
//! taken back unseen, so the bar always says it and speaks up past a limit.

use crate::book::Book;
use crate::people::Stamp;

/// Entries after which a head should leave the machine.
pub const DUE_ENTRIES: u64 = 25;
/// Hours after which it should as well.
pub const DUE_HOURS: i64 = 4;

/// What has happened since a head last left, in whatever copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeadOut {
    /// When one left; nothing if none ever did.
    pub left: Option<Stamp>,
    /// Entries that no head outside covers.
    pub entries: u64,
    /// Seconds since it left, or since the book was opened.
    pub seconds: i64,
}

/// As of the moment given.
pub fn head_out(book: &Book, now: &Stamp) -> HeadOut {
    let state = book.state();
    let last = state.last_copy.as_ref();
    let opened = state.opened.as_ref().map(|opened| &opened.at);
    let since = last.map(|copy| &copy.at).or(opened);
    HeadOut {
        left: last.map(|copy| copy.at.clone()),
        // The note of the copy is itself the first line behind it, and says nothing new.
        entries: last.map_or(book.len(), |copy| book.len() - copy.seq - 1),
        seconds: since.map_or(0, |since| now.seconds_since(since).max(0)),
    }
}

impl HeadOut {
    /// Whether it is time for a head to leave. Nothing new needs no new head, however old.
    pub fn is_due(&self) -> bool {
        self.entries > DUE_ENTRIES || self.entries > 0 && self.seconds >= DUE_HOURS * 3600
    }

    /// "never", "just now", "12 min ago", "5 h ago".
    pub fn ago(&self) -> String {
        match (&self.left, self.seconds) {
            (None, _) => "never".to_owned(),
            (_, 0..=59) => "just now".to_owned(),
            (_, seconds @ 60..=7199) => format!("{} min ago", seconds / 60),
            (_, seconds) => format!("{} h ago", seconds / 3600),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Copied, CopyTaken, Entry};
    use crate::export::sample::{Works, id};

    fn at(text: &str) -> Stamp {
        id(&format!("2026-11-25T{text}:00+01:00"))
    }

    #[test]
    fn it_is_due_past_25_entries_or_4_hours() {
        let out = |entries, seconds| HeadOut {
            left: None,
            entries,
            seconds,
        };
        assert!(!out(25, 4 * 3600 - 1).is_due());
        assert!(out(26, 0).is_due());
        assert!(out(1, 4 * 3600).is_due());
        assert!(!out(0, 400_000).is_due());
    }

    #[test]
    fn a_copy_starts_the_count_anew() {
        let mut works = Works::new();
        let never = head_out(&works.book, &at("23:00"));
        assert_eq!(
            (never.left.clone(), never.entries),
            (None, works.book.len())
        );
        assert!(never.is_due(), "{never:?}");
        assert_eq!(never.ago(), "never");
        let head = works.book.head();
        works.write(
            "sue",
            vec![Entry::CopyTaken(CopyTaken::new(Copied::Book, head))],
        );
        let left = works.state().last_copy.clone().unwrap().at;
        let now = head_out(&works.book, &left);
        assert_eq!((now.entries, now.seconds), (0, 0));
        assert_eq!(now.ago(), "just now");
        let later = head_out(&works.book, &at("23:59"));
        assert!(!later.is_due(), "nothing happened since");
        // A clock that was set back does not make time negative.
        assert_eq!(head_out(&works.book, &at("00:01")).seconds, 0);
    }

    #[test]
    fn time_is_told_in_minutes_then_in_hours() {
        let ago = |seconds| {
            let left = Some(at("09:00"));
            HeadOut {
                left,
                entries: 0,
                seconds,
            }
            .ago()
        };
        assert_eq!(
            [ago(59), ago(60), ago(7199), ago(7200)],
            ["just now", "1 min ago", "119 min ago", "2 h ago"]
        );
    }
}
