//! Wrong passphrases: how often for whom, and who is locked for it. What happened is entered in
//! the book by whoever is signed in, so that a reload does not undo it.

use std::collections::BTreeMap;

use crate::book::{Entry, PassphraseFailed, Refusal, WRONG_TRIES};
use crate::people::{PersonId, Stamp};

use super::core::Desk;
use super::ports::{Effect, Env};

/// How long a key is locked, in seconds (common practice, no source).
const LOCKED_FOR: i64 = 5 * 60;

/// Wrong passphrases at this desk.
#[derive(Debug, Default)]
pub(super) struct Wrong {
    tries: BTreeMap<PersonId, u32>,
    /// Since when somebody is locked, as far as the book does not say it.
    locked: BTreeMap<PersonId, Stamp>,
    /// Not entered yet, because nobody was signed in.
    untold: Vec<PersonId>,
}

impl Wrong {
    /// The right passphrase was given: what was wrong before does not count any more.
    pub fn right(&mut self, person: PersonId) {
        self.tries.remove(&person);
    }
}

impl Desk {
    /// Until when somebody's key is locked, as a time of day.
    pub fn locked_until(&self, person: PersonId, now: &Stamp) -> Option<String> {
        let since = [
            self.wrong.locked.get(&person),
            self.state().failed_keys.get(&person),
        ];
        let last = since.into_iter().flatten().max()?;
        let passed = now.seconds_since(last);
        (0..LOCKED_FOR)
            .contains(&passed)
            .then(|| last.clock_after(LOCKED_FOR))
    }

    pub(super) fn wrong_passphrase(
        &mut self,
        person: PersonId,
        env: &mut Env,
    ) -> Result<Vec<Effect>, Refusal> {
        let tries = self.wrong.tries.entry(person).or_default();
        *tries += 1;
        if *tries < WRONG_TRIES {
            return Ok(Vec::new());
        }
        self.wrong.tries.remove(&person);
        self.wrong.locked.insert(person, env.now.clone());
        self.wrong.untold.push(person);
        self.tell_of_failed(env)
    }

    /// Enters what nobody could enter before.
    pub(super) fn tell_of_failed(&mut self, env: &mut Env) -> Result<Vec<Effect>, Refusal> {
        if self.signed_in.is_none() || self.is_saving() || self.wrong.untold.is_empty() {
            return Ok(Vec::new());
        }
        let failed = self.wrong.untold.iter().map(|person| {
            Entry::PassphraseFailed(PassphraseFailed {
                person: *person,
                tries: WRONG_TRIES,
            })
        });
        let effects = self.record(failed.collect(), Vec::new(), env)?;
        self.wrong.untold.clear();
        Ok(effects)
    }
}
