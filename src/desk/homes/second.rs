//! The second home as it lies in local storage: small values, each under a name of its own, since
//! rewriting one growing value would make the browser put its writing off.
//!
//! | name | value |
//! |---|---|
//! | `line/00000012` | line 12, its exact bytes |
//! | `head` | how many lines the book has, a space, the hash of the last |
//! | `key/` and the public half | a sealed key |
//! | `healed` | healings that are not entered in the book yet, one a line: home, first, last |
//! | `draft` | the unfinished sheet |
//! | `session` | what is typed at the open step of a destruction |

use std::collections::BTreeMap;
use std::fmt;
use std::rc::Rc;
use std::str::FromStr;

use crate::book::{Hash, Home, StoreHealed};
use crate::people::SealedKey;

const LINE: &str = "line/";
const HEAD: &str = "head";
const KEY: &str = "key/";
const HEALED: &str = "healed";
/// The name of the unfinished sheet.
pub const DRAFT: &str = "draft";
/// The name of what is typed at the open step of a destruction.
pub const SESSION: &str = "session";

/// How far a book reached: the number of its lines and the hash of the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reach {
    pub lines: u64,
    pub head: Hash,
}

impl fmt::Display for Reach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.lines, self.head)
    }
}

impl FromStr for Reach {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (lines, head) = text.split_once(' ').ok_or(())?;
        let (lines, head) = (lines.parse().ok(), head.parse().ok());
        let (lines, head) = lines.zip(head).ok_or(())?;
        // No book is known to reach nowhere.
        if lines == 0 {
            return Err(());
        }
        Ok(Self { lines, head })
    }
}

/// What the second home holds of a space.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Second {
    pub reach: Option<Reach>,
    pub lines: BTreeMap<u64, String>,
    pub keys: Vec<SealedKey>,
    pub healed: Vec<StoreHealed>,
    pub draft: Option<String>,
    pub session: Option<String>,
    /// Values that nothing can be made of. They are left where they are.
    pub unreadable: usize,
}

impl Second {
    /// Reads names (without the space's own beginning) and values, in any order.
    pub fn read(values: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut second = Self::default();
        for (name, value) in values {
            if second.take(&name, value).is_none() {
                second.unreadable += 1;
            }
        }
        second
    }

    fn take(&mut self, name: &str, value: String) -> Option<()> {
        if let Some(seq) = name.strip_prefix(LINE) {
            self.lines.insert(seq.parse().ok()?, value);
        } else if name.starts_with(KEY) {
            self.keys.push(serde_json::from_str(&value).ok()?);
        } else {
            match name {
                HEAD => self.reach = Some(value.parse().ok()?),
                HEALED => self.healed = value.lines().map(read_healed).collect::<Option<_>>()?,
                DRAFT => self.draft = Some(value),
                SESSION => self.session = Some(value),
                _ => return None,
            }
        }
        Some(())
    }

    /// Lines that the book had at least, as far as this home knows.
    pub fn lines_known(&self) -> u64 {
        let last = self.lines.keys().next_back().map_or(0, |seq| seq + 1);
        self.reach.map_or(0, |reach| reach.lines).max(last)
    }

    /// The lines that are here, in order, for saving.
    pub fn texts(&self) -> Vec<String> {
        self.lines.values().cloned().collect()
    }
}

/// One thing to write to the second home. Each is whole or not there.
#[derive(Clone, Debug, PartialEq)]
pub enum Keep {
    Line { seq: u64, text: Rc<str> },
    Forget(u64),
    Reach(Reach),
    Healed(Vec<StoreHealed>),
}

impl Keep {
    pub fn name(&self) -> String {
        match self {
            Keep::Line { seq, .. } | Keep::Forget(seq) => format!("{LINE}{seq:08}"),
            Keep::Reach(_) => HEAD.to_owned(),
            Keep::Healed(_) => HEALED.to_owned(),
        }
    }

    /// What is written under the name; nothing forgets it.
    pub fn value(&self) -> Option<String> {
        match self {
            Keep::Line { text, .. } => Some(text.to_string()),
            Keep::Forget(_) => None,
            Keep::Reach(reach) => Some(reach.to_string()),
            Keep::Healed(list) if list.is_empty() => None,
            Keep::Healed(list) => {
                let lines = list.iter().map(write_healed).collect::<Vec<_>>();
                Some(lines.join("\n"))
            }
        }
    }
}

/// The name of a sealed key.
pub fn key_name(key: &SealedKey) -> String {
    format!("{KEY}{}", key.key)
}

/// The sealed keys of both homes together, and which home lacks which.
pub fn both(first: &[SealedKey], second: &[SealedKey]) -> (Vec<SealedKey>, Vec<(Home, SealedKey)>) {
    let lacks = |home: &[SealedKey], key: &SealedKey| home.iter().all(|own| own.key != key.key);
    let to_first = second.iter().filter(|key| lacks(first, key));
    let to_second = first.iter().filter(|key| lacks(second, key));
    let all = first.iter().chain(to_first.clone()).cloned().collect();
    let lacking = (to_first.map(|key| (Home::First, key.clone())))
        .chain(to_second.map(|key| (Home::Second, key.clone())));
    (all, lacking.collect())
}

fn write_healed(healed: &StoreHealed) -> String {
    let StoreHealed { home, from, to } = healed;
    format!("{} {from} {to}", home.name())
}

fn read_healed(text: &str) -> Option<StoreHealed> {
    let mut parts = text.split(' ');
    let name = parts.next()?;
    let mut homes = [Home::First, Home::Second].into_iter();
    let home = homes.find(|home| home.name() == name)?;
    let (from, to) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    parts
        .next()
        .is_none()
        .then_some(StoreHealed { home, from, to })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(keeps: &[Keep]) -> Vec<(String, String)> {
        let values = keeps.iter();
        let values = values.filter_map(|keep| Some((keep.name(), keep.value()?)));
        values.collect()
    }

    #[test]
    fn what_is_kept_is_read_back() {
        let reach = Reach {
            lines: 13,
            head: Hash::of_line(b"x"),
        };
        let healed = vec![
            StoreHealed {
                home: Home::First,
                from: 4,
                to: 9,
            },
            StoreHealed {
                home: Home::Second,
                from: 0,
                to: 2,
            },
        ];
        let line = Keep::Line {
            seq: 12,
            text: "x".into(),
        };
        let keeps = [line, Keep::Reach(reach), Keep::Healed(healed.clone())];
        let second = Second::read(values(&keeps));
        assert_eq!(second.reach, Some(reach));
        assert_eq!(second.healed, healed);
        assert_eq!(second.lines, BTreeMap::from([(12, "x".to_owned())]));
        assert_eq!((second.lines_known(), second.unreadable), (13, 0));
    }

    #[test]
    fn a_line_past_the_head_counts_as_known() {
        let reach = Reach {
            lines: 2,
            head: Hash::of_line(b"x"),
        };
        let line = Keep::Line {
            seq: 2,
            text: "y".into(),
        };
        assert_eq!(
            Second::read(values(&[Keep::Reach(reach), line])).lines_known(),
            3
        );
        assert_eq!(Second::default().lines_known(), 0);
    }

    #[test]
    fn what_cannot_be_read_is_counted() {
        let wrong = [
            ("head", "0 00"),
            ("head", "three"),
            ("line/x", "a line"),
            ("healed", "third 0 1"),
            ("healed", "first 0 1 2"),
            ("key/ab", "{}"),
            ("other", ""),
        ];
        let wrong = wrong.map(|(name, value)| (name.to_owned(), value.to_owned()));
        let second = Second::read(wrong);
        assert_eq!(second.unreadable, 7);
        assert_eq!(
            (second.reach, second.lines.len(), second.healed.len()),
            (None, 0, 0)
        );
    }

    #[test]
    fn forgetting_writes_nothing() {
        assert_eq!(Keep::Forget(3).name(), "line/00000003");
        assert_eq!(Keep::Forget(3).value(), None);
        assert_eq!(Keep::Healed(Vec::new()).value(), None);
    }
}
