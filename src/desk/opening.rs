//! How a book comes to the desk: what is stored is read, slice by slice, its two homes are laid
//! side by side, and each gets what it lacks.

use crate::book::{Book, BookError, Home, StoreHealed};

use super::action::Space;
use super::bench::Bench;
use super::core::Desk;
use super::homes::{Check, Homes, Keep, Ledger, Opening, Reading, Second, SecondState, compare};
use super::ports::{Effect, Part, Stored};
use super::told::{Notice, Startup, Tone};
use super::visit::Visit;

impl Desk {
    pub(super) fn start(&mut self, space: Space) -> Vec<Effect> {
        *self = Desk {
            lamp: self.lamp,
            space,
            held: std::mem::take(&mut self.held),
            update: self.update,
            wrong: std::mem::take(&mut self.wrong),
            ..Desk::default()
        };
        vec![Effect::Load(space)]
    }

    /// Some of what is stored has come. Where signatures are checked as well, all waits for them.
    pub(super) fn arrived(&mut self, part: &Part) {
        if !self.homes.distrust {
            self.ahead.take(part);
        }
    }

    /// What is stored has come. It is read first; until all of it is, the desk stays as it was.
    pub(super) fn loaded(&mut self, space: Space, stored: Stored) -> Vec<Effect> {
        self.space = space;
        let check = match self.homes.distrust {
            true => Check::Now,
            false => Check::Later,
        };
        let ahead = std::mem::take(&mut self.ahead);
        self.reading = Some(match check {
            Check::Now => Reading::new(stored, check),
            Check::Later => Reading::after(ahead, stored),
        });
        self.read_on()
    }

    /// Reads the next slice, and takes the book to the desk behind the last.
    pub(super) fn read_on(&mut self) -> Vec<Effect> {
        let Some(mut reading) = self.reading.take() else {
            return Vec::new();
        };
        if !reading.go_on() {
            self.reading = Some(reading);
            return vec![Effect::ReadSoon];
        }
        let (stored, read) = reading.into_parts();
        self.opened(stored, read)
    }

    fn opened(&mut self, stored: Stored, read: Result<Book, BookError>) -> Vec<Effect> {
        let Stored {
            lines,
            second,
            keys,
            tab,
        } = stored;
        let before = std::mem::take(&mut self.homes);
        self.keys = keys.into_iter().map(|key| (key.key, key)).collect();
        self.homes = Homes {
            tab,
            room: before.room,
            ..Homes::default()
        };
        if second.is_none() {
            self.homes.second = SecondState::Blocked;
        }
        let second = second.unwrap_or_default();
        match compare(&lines, read, &second) {
            Ok(None) => {
                self.startup = Startup::NoBook;
                Vec::new()
            }
            Ok(Some(opening)) => {
                self.homes.first_lost = lines.err();
                self.open(opening, second, before.adopting)
            }
            Err(why) => {
                self.startup = Startup::Broken {
                    why: why.to_string(),
                    lines: lines.unwrap_or_default(),
                    second: Box::new(second),
                };
                Vec::new()
            }
        }
    }

    /// Takes the book to the desk and brings both homes up to it.
    fn open(&mut self, opening: Opening, second: Second, adopting: bool) -> Vec<Effect> {
        let Opening {
            book,
            in_first,
            mut healed,
        } = opening;
        self.take_book(book);
        self.startup = Startup::Ready;
        if let Some(draft) = &second.draft {
            self.bench.take_up(draft, self.book.state());
        }
        self.resume_session(second.session.as_deref());
        self.homes.in_first = in_first;
        let mut effects = vec![Effect::Measure];
        // Only the tab that writes mends anything; an unreachable first home cannot be mended.
        if self.homes.may_write().is_err() || self.homes.first_lost.is_some() {
            self.homes.ledger = {
                let first = self.book.first_seq();
                Ledger::refill(first, self.book.texts(), &second.lines, 0).0
            };
            effects.extend(self.check_later());
            return effects;
        }
        // A new second home was not behind, and a blocked one cannot be healed.
        if adopting || self.homes.second == SecondState::Blocked {
            healed.retain(|one| one.home == Home::First);
        }
        self.say_healed(&healed);
        self.homes.to_enter = self.still_to_enter(&second.healed, &healed);
        self.homes.healed = healed;
        effects.extend(self.mend_first(in_first, &second));
        self.homes.waiting = Some(second);
        effects.extend(self.check_later());
        effects
    }

    /// Healings that the book does not know of yet. Those of an earlier start may be in it.
    fn still_to_enter(&self, kept: &[StoreHealed], new: &[StoreHealed]) -> Vec<StoreHealed> {
        let mut list: Vec<StoreHealed> = Vec::new();
        for one in kept.iter().chain(new) {
            let entered = self.state().healings.iter().any(|known| known.what == *one);
            let possible = one.from <= one.to && one.to < self.book.len();
            if !entered && possible && !list.contains(one) {
                list.push(*one);
            }
        }
        list
    }

    /// Gives the first home what it lacks: the note of it first, so that no healing is forgotten.
    fn mend_first(&mut self, in_first: u64, second: &Second) -> Vec<Effect> {
        let (space, texts) = (self.space, self.book.texts());
        let mut effects = Vec::new();
        if second.healed != self.homes.to_enter {
            let note = vec![Keep::Healed(self.homes.to_enter.clone())];
            effects.extend(self.to_second(note));
        }
        if in_first < self.book.len() {
            effects.push(Effect::Append {
                space,
                expected_seq: in_first,
                lines: texts[in_first.saturating_sub(self.book.first_seq()) as usize..].to_vec(),
            });
            self.homes.healing = true;
        }
        effects
    }

    /// Says once what was healed.
    fn say_healed(&mut self, healed: &[StoreHealed]) {
        let say = |one: &StoreHealed| {
            let StoreHealed { from, to, .. } = one;
            match one.home {
                Home::First => format!(
                    "The browser's database had lost entries {from} to {to}. They were put back from local storage, every line checked."
                ),
                Home::Second => format!(
                    "Local storage lacked entries {from} to {to}, as after a browser that did not close properly. It was filled from the database; nothing recorded is lost."
                ),
            }
        };
        let said: Vec<String> = healed.iter().map(say).collect();
        if !said.is_empty() {
            let text = said.join(" ");
            let tone = Tone::Done;
            self.notice = Some(Notice { tone, text });
        }
    }

    fn take_book(&mut self, book: Book) {
        self.book = book;
        self.visit = Visit::default();
        self.bench = Bench::default();
        let state = self.book.state();
        let open = |lot: &&crate::book::Lot| lot.closed.is_none();
        let last = state.lots.values().filter(open).max_by_key(|lot| lot.seq);
        if let Some(lot) = last.map(|lot| lot.id) {
            self.bench.choose_lot(lot, self.book.state());
        }
    }
}
