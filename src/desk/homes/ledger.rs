//! What the second home has room for. The destruction log always stays; of the other lines the
//! most recent ones stay, as many as the budget allows.

use std::collections::{BTreeMap, VecDeque};
use std::rc::Rc;

use crate::book::{Entry, Line};

use super::second::Keep;

/// Other lines of a real book, in UTF-16 units, the measure of local storage: of about 5,242,880
/// units an origin, this leaves two fifths to the destruction log and the rest.
pub const BUDGET: usize = 3 << 20;
/// Of a practice book, which shares the origin's room.
pub const PRACTICE_BUDGET: usize = 1 << 18;
/// Local storage of one origin in Chromium, in UTF-16 units, names included.
pub const ROOM: usize = 5_242_880;

/// What a name takes beside its value.
const NAME_UNITS: usize = 32;
/// Room made at one time, so that a full storage is not met again at once.
const ROOM_STEP: usize = 1 << 16;

/// The lines in the second home and what they take.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    budget: usize,
    log_lines: usize,
    log_units: usize,
    /// Other lines, the oldest first, with what each takes.
    others: VecDeque<(u64, usize)>,
    other_units: usize,
}

impl Ledger {
    pub fn new(budget: usize) -> Self {
        Self {
            budget,
            ..Self::default()
        }
    }

    /// What must be written so that the second home holds what it should of a book, given what it
    /// holds; and the ledger afterwards. Makes room first.
    pub fn refill(
        first: u64,
        texts: &[Rc<str>],
        held: &BTreeMap<u64, String>,
        budget: usize,
    ) -> (Self, Vec<Keep>) {
        let mut ledger = Self::new(budget);
        let from = first + ledger.first_other(texts);
        let (mut forget, mut write) = (Vec::new(), Vec::new());
        forget.extend(held.range(..first).map(|(seq, _)| Keep::Forget(*seq)));
        for (seq, text) in (first..).zip(texts) {
            if is_of_log(text) || seq >= from {
                ledger.enter(seq, text);
                let held = held.get(&seq);
                if held.is_none_or(|held| **held != **text) {
                    // Not even where there is no room for the right one does a wrong one stay.
                    forget.extend(held.map(|_| Keep::Forget(seq)));
                    let text = Rc::clone(text);
                    write.push(Keep::Line { seq, text });
                }
            } else if held.contains_key(&seq) {
                forget.push(Keep::Forget(seq));
            }
        }
        forget.extend(write);
        (ledger, forget)
    }

    /// The oldest line from which on all other lines fit.
    fn first_other(&self, texts: &[Rc<str>]) -> u64 {
        let mut left = self.budget;
        for (seq, text) in texts.iter().enumerate().rev() {
            if is_of_log(text) {
                continue;
            }
            match left.checked_sub(units(text)) {
                Some(less) => left = less,
                None => return seq as u64 + 1,
            }
        }
        0
    }

    /// Takes in one more line of the book; the oldest other lines go when there is no room.
    pub fn add(&mut self, seq: u64, text: &Rc<str>) -> Vec<Keep> {
        self.enter(seq, text);
        let mut keeps = self.cut_to(self.budget);
        if !keeps.contains(&Keep::Forget(seq)) {
            let text = Rc::clone(text);
            keeps.push(Keep::Line { seq, text });
        }
        keeps
    }

    fn enter(&mut self, seq: u64, text: &str) {
        let units = units(text);
        if is_of_log(text) {
            self.log_lines += 1;
            self.log_units += units;
        } else {
            self.others.push_back((seq, units));
            self.other_units += units;
        }
    }

    /// The browser had no room for `left`: the oldest other lines go, and the rest is tried again.
    /// Nothing when there are no other lines to give up; the log alone is too long then.
    pub fn make_room(&mut self, left: Vec<Keep>) -> Option<Vec<Keep>> {
        let wanted = left.iter().filter_map(Keep::value);
        let wanted: usize = wanted.map(|value| units(&value)).sum();
        let goal = self.other_units.saturating_sub(wanted.max(ROOM_STEP));
        let mut keeps = self.cut_to(goal);
        if keeps.is_empty() {
            return None;
        }
        // The storage is smaller than was thought; it stays so.
        self.budget = goal;
        let gone: Vec<u64> = keeps.iter().filter_map(forgotten).collect();
        let stays = |keep: &Keep| !matches!(keep, Keep::Line { seq, .. } if gone.contains(seq));
        keeps.extend(left.into_iter().filter(stays));
        Some(keeps)
    }

    fn cut_to(&mut self, units: usize) -> Vec<Keep> {
        let mut gone = Vec::new();
        while self.other_units > units
            && let Some((seq, less)) = self.others.pop_front()
        {
            self.other_units -= less;
            gone.push(Keep::Forget(seq));
        }
        gone
    }

    /// Lines in the second home.
    pub fn lines(&self) -> u64 {
        (self.log_lines + self.others.len()) as u64
    }

    /// UTF-16 units that they take.
    pub fn units(&self) -> usize {
        self.log_units + self.other_units
    }
}

fn forgotten(keep: &Keep) -> Option<u64> {
    match keep {
        Keep::Forget(seq) => Some(*seq),
        _ => None,
    }
}

fn is_of_log(text: &str) -> bool {
    Line::kind_of(text).is_some_and(Entry::belongs_to_destruction_log)
}

fn units(text: &str) -> usize {
    NAME_UNITS + text.encode_utf16().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The beginning of a line, padded to 100 units with its name.
    fn line(kind: &str) -> Rc<str> {
        format!("{:<68}", format!(r#"{{"v":2,"kind":"{kind}","#)).into()
    }

    fn log() -> Rc<str> {
        line("container.sealed")
    }

    fn other() -> Rc<str> {
        line("sheets.examined")
    }

    fn kept(keeps: &[Keep]) -> Vec<u64> {
        let lines = keeps.iter().filter_map(|keep| match keep {
            Keep::Line { seq, .. } => Some(*seq),
            _ => None,
        });
        lines.collect()
    }

    #[test]
    fn the_oldest_other_lines_go_and_the_log_stays() {
        let mut ledger = Ledger::new(200);
        for (seq, text) in (0..).zip([log(), other(), log(), other()]) {
            assert_eq!(kept(&ledger.add(seq, &text)), [seq]);
        }
        assert_eq!((ledger.lines(), ledger.units()), (4, 400));
        let keeps = ledger.add(4, &other());
        assert_eq!(keeps[0], Keep::Forget(1), "room is made first");
        assert_eq!(kept(&keeps), [4]);
        assert_eq!(kept(&ledger.add(5, &log())), [5]);
        assert_eq!((ledger.lines(), ledger.units()), (5, 500));
    }

    #[test]
    fn a_line_larger_than_the_budget_is_not_kept() {
        let mut ledger = Ledger::new(99);
        assert_eq!(ledger.add(0, &other()), [Keep::Forget(0)]);
        assert_eq!(kept(&ledger.add(1, &log())), [1]);
        assert_eq!(ledger.lines(), 1);
    }

    #[test]
    fn a_refill_writes_only_what_lacks() {
        let texts = [log(), other(), other(), log(), other()];
        let held = BTreeMap::from([(1, other().to_string()), (3, log().to_string())]);
        let (ledger, keeps) = Ledger::refill(0, &texts, &held, 200);
        assert_eq!(keeps[0], Keep::Forget(1), "too old for the budget");
        assert_eq!(kept(&keeps), [0, 2, 4]);
        assert_eq!(ledger.lines(), 4);
        let held = (0..).zip(texts.iter().map(ToString::to_string)).skip(1);
        let (_, keeps) = Ledger::refill(0, &texts, &held.collect(), 1000);
        assert_eq!(kept(&keeps), [0]);
        assert_eq!(keeps.len(), 1);
    }

    #[test]
    fn a_wrong_line_goes_before_the_right_one_comes() {
        let texts = [log(), log()];
        let held = BTreeMap::from([(0, other().to_string()), (1, log().to_string())]);
        let (_, keeps) = Ledger::refill(0, &texts, &held, 1000);
        let right = Keep::Line {
            seq: 0,
            text: log(),
        };
        assert_eq!(keeps, [Keep::Forget(0), right]);
    }

    #[test]
    fn a_full_storage_makes_the_oldest_others_go() {
        let texts: Vec<_> = (0..2000).map(|_| other()).collect();
        let (mut ledger, _) = Ledger::refill(0, &texts, &BTreeMap::new(), BUDGET);
        let left = vec![Keep::Line {
            seq: 2000,
            text: log(),
        }];
        let keeps = ledger.make_room(left).expect("others go");
        assert_eq!(keeps[0], Keep::Forget(0));
        assert_eq!(kept(&keeps), [2000]);
        assert!(ledger.units() <= 200_000 - ROOM_STEP);
        let before = ledger.lines();
        ledger.add(2001, &other());
        assert_eq!(ledger.lines(), before, "it is not filled up again");
    }

    #[test]
    fn lines_that_go_are_not_tried_again() {
        let texts: Vec<_> = (0..1000).map(|_| other()).collect();
        let (mut ledger, keeps) = Ledger::refill(0, &texts, &BTreeMap::new(), BUDGET);
        assert_eq!(keeps.len(), 1000);
        let keeps = ledger.make_room(keeps).expect("others go");
        assert!(kept(&keeps).is_empty(), "all of them had to go");
        assert_eq!(ledger.lines(), 0);
    }

    #[test]
    fn a_log_too_long_for_the_storage_has_nothing_to_give_up() {
        let mut ledger = Ledger::new(BUDGET);
        let keeps = ledger.add(0, &log());
        assert_eq!(ledger.make_room(keeps), None);
        assert_eq!(ledger.lines(), 1);
    }
}
