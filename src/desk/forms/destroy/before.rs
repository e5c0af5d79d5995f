//! Before a session is begun: its number and place, its people, its containers.

use crate::book::{Entry, State};
use crate::custody::{DestructionError, SessionBegun, must_be_sealed};
use crate::people::Stamp;

use super::{DestructionDraft, Setting, Step};
use crate::desk::forms::{FieldErrors, Reader, Typed};

/// The first free session number of a day, like `D-2026-11-25-1`.
fn proposed_session(state: &State, now: &Stamp) -> String {
    let day = state.day_of(now);
    let used = |text: &str| text.parse().is_ok_and(|id| state.knows_session(id));
    (1..)
        .map(|n| format!("D-{day}-{n}"))
        .find(|text| !used(text))
        .unwrap_or_default()
}

impl DestructionDraft {
    /// A fresh draft with the session number proposed, and the place of the session before.
    pub fn new(state: &State, now: &Stamp) -> Self {
        let last = state.sessions.last();
        let place = last.map_or("", |last| &*last.as_corrected().place);
        let number = proposed_session(state, now);
        Self {
            session: Typed::with([("session", &number), ("place", place)]),
            ..Self::default()
        }
    }

    /// The people alone, while no container is chosen.
    ///
    /// # Errors
    /// What is missing or wrong, each at its field.
    pub fn people_right(&self, at: &Setting) -> Result<(), FieldErrors> {
        self.persons(at).map(drop)
    }

    pub(super) fn begun(&self, step: Step, at: &Setting) -> Result<Entry, FieldErrors> {
        let (session, place, operator) = self.persons(at)?;
        let mut form = Reader::new(&self.session);
        if step == Step::Containers {
            self.check_containers(&mut form, at);
        }
        form.finish(Some(Entry::SessionBegun(SessionBegun {
            session,
            place,
            operator,
            witnesses: self.witnesses.clone(),
            containers: self.found.keys().copied().collect(),
        })))
    }

    /// At least one container, every one sealed.
    fn check_containers(&self, form: &mut Reader, at: &Setting) {
        if self.found.is_empty() {
            form.wrong::<()>("containers", DestructionError::NoContainers);
        }
        for &id in self.found.keys() {
            if let Err(why) = must_be_sealed(id, at.state.cage.containers.get(&id)) {
                form.wrong::<()>("containers", why);
            }
        }
    }
}
