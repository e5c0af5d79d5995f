//! The witnessed destruction, step by step: what is typed at each, what is still missing, and the
//! record it makes in the end. The book checks the record again by its own rules.

mod persons;
mod residue;
mod steps;
mod weighed;

use std::collections::BTreeMap;

use crate::book::State;
use crate::custody::{ContainerId, Destruction, Found, SealNumber, SessionId};
use crate::people::{PersonId, Stamp};

use super::{FieldErrors, Typed};

pub use persons::Standing;
pub use steps::{local_text, offset_of};
pub use weighed::scale_of;

/// What each witness signs, word for word.
pub const STATEMENT: &str = "I saw the seals unbroken, the counts agree, and all that these containers held destroyed as recorded here, and I inspected the residue. I did not tag, seal or operate.";

/// The steps of a session, in order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    #[default]
    Persons,
    Containers,
    Count,
    Weigh,
    Destroy,
    Residue,
    Sign,
}

impl Step {
    pub const ALL: [Step; 7] = [
        Step::Persons,
        Step::Containers,
        Step::Count,
        Step::Weigh,
        Step::Destroy,
        Step::Residue,
        Step::Sign,
    ];

    pub fn title(self) -> &'static str {
        match self {
            Step::Persons => "Who is here",
            Step::Containers => "Containers",
            Step::Count => "Seals and counts",
            Step::Weigh => "Weigh",
            Step::Destroy => "Destroy",
            Step::Residue => "Residue",
            Step::Sign => "Statement and signatures",
        }
    }

    /// From 1.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// The step after this one; the last is its own next.
    pub fn next(self) -> Step {
        Step::ALL[(self as usize + 1).min(Step::ALL.len() - 1)]
    }
}

/// What has been typed for a session that is not recorded yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DestructionDraft {
    /// The step that is open.
    pub step: Step,
    /// `session`, `operator`; `place`, `machine`, `method`, `class`, `started`, `ended`;
    /// `particles-measured`, `particle`, `particles-above`, `remarks`.
    pub session: Typed,
    pub witnesses: Vec<PersonId>,
    /// The chosen containers, each with `found-seal`, `found-sheets`, `found-notes`, `compared`,
    /// `found-gross`, `found-tare`, `found-scale`.
    pub found: BTreeMap<ContainerId, Typed>,
    /// The session handed to the book.
    pub handed_in: Option<SessionId>,
}

/// What a draft is read against.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    pub state: &'a State,
    /// Who leads: the person who is signed in.
    pub lead: PersonId,
    pub now: &'a Stamp,
}

/// A container's seal and counts, before it is weighed.
struct Counted {
    seal: SealNumber,
    sheets: u32,
    notes: u32,
}

/// The first free session number of a day, like `D-2026-11-25-1`.
pub fn proposed_session(state: &State, now: &Stamp) -> String {
    let day = state.day_of(now);
    let used = |text: &str| {
        let mut sessions = state.sessions.iter();
        sessions.any(|session| session.record.session.as_str() == text)
    };
    (1..)
        .map(|n| format!("D-{day}-{n}"))
        .find(|text| !used(text))
        .unwrap_or_default()
}

impl DestructionDraft {
    /// A fresh draft with the session number proposed.
    pub fn new(state: &State, now: &Stamp) -> Self {
        Self {
            session: Typed::with([("session", &proposed_session(state, now))]),
            ..Self::default()
        }
    }

    /// Whether anything beyond the proposed number was typed or chosen for a session that is not
    /// in the book yet.
    pub fn is_under_way(&self, state: &State) -> bool {
        let in_book = |id| {
            state
                .sessions
                .iter()
                .any(|session| session.record.session == id)
        };
        let mut texts = self.session.0.iter();
        let typed = texts.any(|(field, text)| *field != "session" && !text.trim().is_empty());
        let begun = typed || !self.witnesses.is_empty() || !self.found.is_empty();
        begun && !self.handed_in.is_some_and(in_book)
    }

    /// The step to show: the one that is open, or an earlier one that is not right (any more).
    pub fn shown(&self, at: &Setting) -> Step {
        let before = Step::ALL.into_iter().take_while(|step| *step < self.step);
        let mut wrong = before.filter(|step| self.check(*step, at).is_err());
        wrong.next().unwrap_or(self.step)
    }

    /// Whether a step is right.
    ///
    /// # Errors
    /// What is missing or wrong, each at its field.
    pub fn check(&self, step: Step, at: &Setting) -> Result<(), FieldErrors> {
        match step {
            Step::Persons => self.persons(at).map(drop),
            Step::Containers => self.containers(at),
            Step::Count | Step::Weigh => {
                self.each_container(|id| self.container_right(step, id, at))
            }
            Step::Destroy => self.destroyed(at).map(drop),
            Step::Residue => self.residue().map(drop),
            Step::Sign => Ok(()),
        }
    }

    /// Whether one container is right at the step where it is counted or weighed.
    ///
    /// # Errors
    /// What is missing or wrong, each at its field.
    pub fn container_right(
        &self,
        step: Step,
        id: ContainerId,
        at: &Setting,
    ) -> Result<(), FieldErrors> {
        match step {
            Step::Count => self.counted(id, at).map(drop),
            _ => self.weighed(id, at.state).map(drop),
        }
    }

    fn each_container(
        &self,
        check: impl Fn(ContainerId) -> Result<(), FieldErrors>,
    ) -> Result<(), FieldErrors> {
        self.found.keys().try_for_each(|id| check(*id))
    }

    /// The whole record, for everybody to sign.
    ///
    /// # Errors
    /// What is wrong at the first step that is.
    pub fn read(&self, at: &Setting) -> Result<Destruction, FieldErrors> {
        for step in Step::ALL {
            self.check(step, at)?;
        }
        let (session, operator) = self.persons(at)?;
        let deed = self.destroyed(at)?;
        let (particles, remarks) = self.residue()?;
        let ids = self.found.keys().copied();
        Ok(Destruction {
            session,
            place: deed.place,
            machine: deed.machine,
            method: deed.method,
            particle_class: deed.class,
            containers: ids.map(|id| self.found(id, at)).collect::<Result<_, _>>()?,
            operator,
            witnesses: self.witnesses.clone(),
            started: deed.started,
            ended: deed.ended,
            largest_particle_mm2: particles.map(|(largest, _)| largest),
            sample: particles.map(|(_, sample)| sample),
            statement: STATEMENT.to_owned(),
            remarks,
        })
    }

    fn found(&self, container: ContainerId, at: &Setting) -> Result<Found, FieldErrors> {
        let Counted {
            seal,
            sheets,
            notes,
        } = self.counted(container, at)?;
        let weighed = self.weighed(container, at.state)?;
        Ok(Found {
            container,
            seal,
            sheets,
            notes,
            gross: weighed.gross,
            tare: weighed.tare,
            scale: weighed.scale,
        })
    }
}

#[cfg(test)]
mod tests;
