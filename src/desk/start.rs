//! How the book on the desk stays in step with its two homes, and goes from tab to tab.

use std::rc::Rc;

use crate::book::{Book, Refusal};

use super::action::Space;
use super::core::Desk;
use super::homes::{self, CopyRefused, Keep, Ledger, Reach, SecondState, Tab, may_take};
use super::ports::{Effect, StoreError};
use super::told::Startup;

/// Signatures checked in one go, so that the page stays quick.
const CHECKED_AT_ONCE: usize = 50;

impl Desk {
    /// Gives the second home what it lacks, once every signature holds: what was forged in the
    /// first must not get into the second.
    fn mend_second(&mut self) -> Option<Effect> {
        let second = self.homes.waiting.take()?;
        let budget = homes::budget(self.space);
        let first = self.book.first_seq();
        let (ledger, mut keeps) = Ledger::refill(first, self.book.texts(), &second.lines, budget);
        self.homes.ledger = ledger;
        let reach = self.reach();
        if second.reach != Some(reach) {
            keeps.push(Keep::Reach(reach));
        }
        self.to_second(keeps)
    }

    fn reach(&self) -> Reach {
        Reach {
            lines: self.book.len(),
            head: self.book.head(),
        }
    }

    pub(super) fn to_second(&self, keeps: Vec<Keep>) -> Option<Effect> {
        let space = self.space;
        let wanted = !keeps.is_empty() && self.homes.second != SecondState::Blocked;
        wanted.then_some(Effect::KeepSecond { space, keeps })
    }

    /// The lines from `first` on are recorded: the second home gets them too.
    pub(super) fn keep_second(&mut self, first: u64) -> Vec<Effect> {
        self.homes.in_first = self.book.len();
        let mut keeps = Vec::new();
        if !self.homes.to_enter.is_empty() {
            // The batch has entered them.
            self.homes.to_enter.clear();
            keeps.push(Keep::Healed(Vec::new()));
        }
        // While signatures are still being checked the second home waits for them all.
        if self.homes.waiting.is_none() {
            let texts = self.book.texts();
            for (seq, text) in (first..).zip(&texts[(first - self.book.first_seq()) as usize..]) {
                keeps.extend(self.homes.ledger.add(seq, text));
            }
            keeps.push(Keep::Reach(self.reach()));
        }
        let mut effects: Vec<Effect> = self.to_second(keeps).into_iter().collect();
        if self.homes.measure_now() {
            effects.push(Effect::Measure);
        }
        effects
    }

    /// The browser has no room in local storage: older lines go, or it is said once.
    pub(super) fn second_full(&mut self, left: Vec<Keep>) -> Vec<Effect> {
        let small: Vec<Keep> = left
            .iter()
            .filter(|keep| !matches!(keep, Keep::Line { .. }))
            .cloned()
            .collect();
        let lines_failed = small.len() < left.len();
        if let Some(keeps) = self.homes.ledger.make_room(left) {
            return self.to_second(keeps).into_iter().collect();
        }
        if self.homes.second != SecondState::Full {
            self.homes.second = SecondState::Full;
            self.problem("Recorded. Local storage, the book's second home, is full: from now on it keeps only how far the book reached. Save a copy of the book (Day, Save the book) and keep it apart.".to_owned());
        }
        // How far the book reached takes no more room than before. Were even that refused, no more
        // is tried until the next entry.
        let again = lines_failed.then(|| self.to_second(small));
        again.flatten().into_iter().collect()
    }

    /// Lines from the second home are in the first.
    pub(super) fn healed(&mut self) -> Vec<Effect> {
        if std::mem::take(&mut self.homes.healing) {
            self.homes.in_first = self.book.len();
        }
        Vec::new()
    }

    /// The first home does not take its lines back: it is shown what is known, and nothing can be
    /// recorded.
    pub(super) fn not_healed(&mut self, why: StoreError) -> Vec<Effect> {
        self.homes.healing = false;
        self.homes.to_enter.clear();
        self.homes.healed.clear();
        self.problem(format!("The database could not be mended. {why}"));
        self.homes.first_lost = Some(why);
        Vec::new()
    }

    /// The screen comes first, the signatures of a long book behind it, the second home last.
    pub(super) fn check_later(&mut self) -> Option<Effect> {
        match self.book.unchecked() {
            0 => self.mend_second(),
            _ => Some(Effect::CheckSoon),
        }
    }

    /// A signature that does not hold stops work: both homes are read again, and no line is taken
    /// on trust.
    pub(super) fn check_signatures(&mut self) -> Vec<Effect> {
        if self.book.check_signatures(CHECKED_AT_ONCE).is_err() {
            self.homes.distrust = true;
            self.startup = Startup::Loading;
            return vec![Effect::Load(self.space)];
        }
        self.check_later().into_iter().collect()
    }

    /// A tab that only reads leaves the practice book to the one that writes.
    pub(super) fn leave_practice(&mut self) -> Vec<Effect> {
        let clear = self.homes.may_write().ok().map(|()| Effect::ClearPractice);
        let mut effects: Vec<Effect> = clear.into_iter().collect();
        effects.extend(self.start(Space::Real));
        effects
    }

    /// Stores a whole book: a new one, or one brought in.
    ///
    /// # Errors
    /// When another tab writes.
    pub(super) fn adopt(
        &mut self,
        space: Space,
        lines: Vec<Rc<str>>,
    ) -> Result<Vec<Effect>, Refusal> {
        if space == self.space {
            self.homes.may_write()?;
        }
        self.homes.adopting = true;
        // A practice book always starts afresh; a real one is never overwritten.
        let clear = (space == Space::Practice).then_some(Effect::ClearPractice);
        let append = Effect::Append {
            space,
            expected_seq: 0,
            lines,
        };
        let effects = clear.into_iter().chain([append, Effect::Load(space)]);
        Ok(effects.collect())
    }

    /// Puts a saved copy in the place of a book that cannot be opened.
    pub(super) fn bring_in(&mut self, copy: Vec<Rc<str>>) -> Vec<Effect> {
        let Startup::Broken { lines, second, .. } = &self.startup else {
            return Vec::new();
        };
        let space = self.space;
        let may = self.homes.may_write().map_err(|why| why.to_string());
        let taken = may.and_then(|()| {
            let book = may_take(lines, second, &copy).map_err(|why| why.to_string())?;
            not_for_practice(space, &book).map_err(|why| why.to_string())
        });
        match taken {
            Err(why) => {
                self.problem(why);
                Vec::new()
            }
            Ok(()) => {
                self.notice = None;
                let lines = copy;
                vec![Effect::Rewrite { space, lines }, Effect::Load(space)]
            }
        }
    }

    /// Another tab has recorded: this one reads it.
    pub(super) fn other_tab_wrote(&mut self, space: Space, lines: u64) -> Vec<Effect> {
        if self.homes.tab != Tab::Reads || space != self.space {
            return Vec::new();
        }
        let from = self.book.len();
        if lines == from {
            return Vec::new();
        }
        // A first book, a practice book thrown away, a copy brought in: all is read again.
        let follows = self.startup == Startup::Ready && lines > from;
        match follows {
            true => vec![Effect::Follow { space, from }],
            false => vec![Effect::Load(space)],
        }
    }

    pub(super) fn followed(&mut self, from: u64, lines: Vec<String>) -> Vec<Effect> {
        if from != self.book.len() {
            return Vec::new();
        }
        for line in &lines {
            if self.book.push_text(line).is_err() {
                // Whatever it is, reading both homes again finds and names it.
                return vec![Effect::Load(self.space)];
            }
        }
        self.homes.in_first = self.book.len();
        self.bench.after_recorded(self.book.state());
        Vec::new()
    }

    /// The tab that wrote is gone. The store is read again before anything is built on it.
    pub(super) fn lock_freed(&mut self, space: Space) -> Vec<Effect> {
        // While the store is read, what this tab may do is known but not yet in force.
        let waits = self.homes.tab == Tab::Reads || self.reading.is_some();
        let ours = space == self.space && waits;
        ours.then_some(Effect::Load(space)).into_iter().collect()
    }

    pub(super) fn outdated(&mut self) -> Vec<Effect> {
        self.homes.tab = Tab::Outdated;
        if let Some(reading) = &mut self.reading {
            reading.stored.tab = Tab::Outdated;
        }
        self.problem(Refusal::OutdatedTab.to_string());
        Vec::new()
    }
}

fn not_for_practice(space: Space, book: &Book) -> Result<(), CopyRefused> {
    let opened = book.state().opened.as_ref();
    match opened.is_some_and(|opened| opened.practice) && space == Space::Real {
        true => Err(CopyRefused::Practice),
        false => Ok(()),
    }
}
