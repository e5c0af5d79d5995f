//! The witnessed destruction, step by step: what is typed at the step that is open, what is still
//! missing, and the entry it makes. What was recorded is in the book; only the step that is open
//! is kept here. The book checks each entry again by its own rules.

mod anew;
mod before;
mod correct;
mod faults;
mod kept;
mod persons;
mod residue;
mod run;
mod steps;
mod weighed;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::book::{Entry, State};
use crate::custody::{
    ContainerId, Destruction, Done, SessionError, SessionId, SessionLog, SessionStep, Stage,
    TeamPart,
};
use crate::people::{PersonId, Stamp};

use super::{FieldErrors, Reader, Typed};

pub use correct::{FACTS, correction, fact_as_it_is};
pub use faults::{LEAVING, TeamForm, abandon, team_change};
pub use persons::Standing;
pub use run::{local_text, offset_of};
pub use steps::drawn_text;
pub use weighed::{OFF_BECAUSE, scale_of};

/// What each witness signs, word for word.
pub const STATEMENT: &str = "I saw the seals unbroken, the counts agree, and all that these containers held destroyed as recorded here, and I inspected the residue. I did not tag, seal or operate.";

/// The same where a sample was counted.
pub const SAMPLE_STATEMENT: &str = "I saw the seals unbroken, the drawn pieces found, and all that these containers held destroyed as recorded here, and I inspected the residue. I did not tag, seal or operate.";

/// The same where a witness was not there from beginning to end: when each came and left stands
/// above it in what is signed.
pub const PART_STATEMENT: &str = "Of what is recorded here I saw what was done while I was here: seals unbroken, counts that agree, all that these containers held destroyed, the residue. I did not tag, seal or operate.";

/// And where a sample was counted besides.
pub const PART_SAMPLE_STATEMENT: &str = "Of what is recorded here I saw what was done while I was here: seals unbroken, drawn pieces found, all that these containers held destroyed, the residue. I did not tag, seal or operate.";

/// The steps of a session, in order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    #[default]
    Persons,
    Containers,
    Seals,
    Count,
    Weigh,
    Start,
    End,
    Residue,
    Sign,
}

impl Step {
    pub const ALL: [Step; 9] = [
        Step::Persons,
        Step::Containers,
        Step::Seals,
        Step::Count,
        Step::Weigh,
        Step::Start,
        Step::End,
        Step::Residue,
        Step::Sign,
    ];

    pub fn title(self) -> &'static str {
        match self {
            Step::Persons => "Who is here",
            Step::Containers => "Containers",
            Step::Seals => "Seals",
            Step::Count => "Count",
            Step::Weigh => "Weigh",
            Step::Start => "Start the machine",
            Step::End => "Destroyed",
            Step::Residue => "Residue",
            Step::Sign => "Statement and signatures",
        }
    }

    /// From 1.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// The step of a session that is under way.
    pub fn of(stage: Stage) -> Self {
        match stage {
            Stage::Seals => Step::Seals,
            Stage::Count => Step::Count,
            Stage::Weigh => Step::Weigh,
            Stage::Start => Step::Start,
            Stage::End => Step::End,
            Stage::Residue => Step::Residue,
            Stage::Statement => Step::Sign,
        }
    }

    /// What it records; nothing before the session is begun.
    pub fn stage(self) -> Option<Stage> {
        match self {
            Step::Persons | Step::Containers => None,
            Step::Seals => Some(Stage::Seals),
            Step::Count => Some(Stage::Count),
            Step::Weigh => Some(Stage::Weigh),
            Step::Start => Some(Stage::Start),
            Step::End => Some(Stage::End),
            Step::Residue => Some(Stage::Residue),
            Step::Sign => Some(Stage::Statement),
        }
    }
}

/// What has been typed at the step that is open.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DestructionDraft {
    /// Before the session is begun: whether its people are chosen and its containers are next.
    pub at_containers: bool,
    /// The step that is being recorded anew.
    pub anew: Option<Stage>,
    /// `session`, `place`, `operator`; `machine`, `method`, `class`, `started`; `ended`;
    /// `particles-measured`, `particle`, `particles-above`, `remarks`; `why-anew`.
    pub session: Typed,
    pub witnesses: Vec<PersonId>,
    /// The containers of the step, each with `found-seal`, `not-found`,
    /// `seal-broken`; `found-sheets`,
    /// `found-notes`, `found-pieces`, `compared`, `differs`; `found-gross`, `found-tare`,
    /// `found-scale`, `found-off`.
    pub found: BTreeMap<ContainerId, Typed>,
    /// The session that was recorded last.
    pub done: Option<SessionId>,
}

/// What a draft is read against.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    pub state: &'a State,
    /// Who leads: the person who is signed in.
    pub lead: PersonId,
    pub now: &'a Stamp,
}

/// How far a book's session has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Progress {
    session: SessionId,
    /// Steps on record.
    steps: usize,
    /// How often somebody came or left.
    moves: usize,
}

/// How far the session under way has come.
pub fn progress(state: &State) -> Option<Progress> {
    let log = state.session.as_ref()?;
    let moved = log.team.iter().map(|member| {
        let left = member.presence.left_before.is_some();
        1 + usize::from(left)
    });
    Some(Progress {
        session: log.session,
        steps: log.steps.len(),
        moves: moved.sum(),
    })
}

/// A step waits while a witness is missing, and says so.
fn enough_witnesses(log: &SessionLog) -> Result<(), FieldErrors> {
    let need = log.rules.witnesses.max(2);
    let have = log.here(TeamPart::Witness).count();
    match have < usize::from(need) {
        true => Err(FieldErrors::one(
            "",
            format!(
                "{have} of {need} witnesses are here. Name who comes under \"Somebody leaves or comes\"."
            ),
        )),
        false => Ok(()),
    }
}

impl DestructionDraft {
    /// The step that is open.
    pub fn step(&self, state: &State) -> Step {
        match (&state.session, self.at_containers) {
            (Some(log), _) => Step::of(self.anew.unwrap_or_else(|| log.next())),
            (None, false) => Step::Persons,
            (None, true) => Step::Containers,
        }
    }

    /// Whether anything is typed, or a session is under way.
    pub fn is_under_way(&self, state: &State) -> bool {
        let last = state.sessions.last();
        let last = last.map_or("", |last| &*last.as_corrected().place);
        let proposed = |field: &str| match field {
            "session" => true,
            "place" => self.session.get(field) == last,
            _ => false,
        };
        let typed = self.session.filled().any(|field| !proposed(field));
        state.session.is_some() || typed || !self.witnesses.is_empty() || !self.found.is_empty()
    }

    /// What is typed for a step is done with once the book has it.
    ///
    /// Readings are those of the people who were there: when somebody comes or leaves, what is
    /// typed for the containers of the open step is read again.
    pub fn after_recorded(&mut self, before: Option<Progress>, state: &State) {
        let now = progress(state);
        if now == before {
            return;
        }
        let same_step = |a: Progress, b: Progress| (a.session, a.steps) == (b.session, b.steps);
        if before.zip(now).is_some_and(|(a, b)| same_step(a, b)) {
            self.found.clear();
            return;
        }
        let done = before.map(|before| before.session);
        let recorded = |id: &SessionId| {
            let mut sessions = state.sessions.iter();
            sessions.any(|one| one.record.session == *id)
        };
        *self = Self {
            done: done.filter(recorded),
            ..Self::default()
        };
    }

    /// The containers that the open step deals with.
    pub fn containers(&self, state: &State) -> Vec<ContainerId> {
        match (&state.session, self.step(state).stage()) {
            (Some(log), Some(stage)) => log.fit(stage),
            _ => self.found.keys().copied().collect(),
        }
    }

    /// The entry that the open step makes.
    ///
    /// # Errors
    /// What is missing or wrong, each at its field.
    pub fn entry(&self, at: &Setting) -> Result<Entry, FieldErrors> {
        let step = self.step(at.state);
        let Some(log) = &at.state.session else {
            return self.begun(step, at);
        };
        enough_witnesses(log)?;
        if step == Step::Sign {
            let record = self.record(log)?;
            return Ok(Entry::SpoilsDestroyed(record));
        }
        let done = self.done_at(step, log, at)?;
        let known = log.latest(done.stage());
        let (corrects, reason) = match known {
            None => (None, None),
            Some(known) => (Some(known.seq), Some(self.why_anew()?)),
        };
        let session = log.session;
        Ok(Entry::SessionStep(SessionStep {
            session,
            done,
            corrects,
            reason,
        }))
    }

    fn done_at(&self, step: Step, log: &SessionLog, at: &Setting) -> Result<Done, FieldErrors> {
        match step {
            Step::Seals => self.seals(log).map(Done::Seals),
            Step::Count => self.counts(log).map(Done::Count),
            Step::Weigh => self.weights(log, at.state).map(Done::Weigh),
            Step::Start => self.started(log, at).map(Done::Start),
            Step::End => self.ended(log, at).map(Done::End),
            Step::Residue => self.residue(log).map(Done::Residue),
            Step::Persons | Step::Containers | Step::Sign => Err(FieldErrors::default()),
        }
    }

    /// Why a step is recorded again.
    fn why_anew(&self) -> Result<String, FieldErrors> {
        let mut form = Reader::new(&self.session);
        let why = form.required("why-anew", "Reason", 200);
        form.finish(why)
    }

    /// The whole record, for everybody to sign.
    ///
    /// # Errors
    /// What comes first.
    pub fn record(&self, log: &SessionLog) -> Result<Destruction, FieldErrors> {
        let statement = match (log.is_sampled(), log.has_come_or_gone(TeamPart::Witness)) {
            (false, false) => STATEMENT,
            (true, false) => SAMPLE_STATEMENT,
            (false, true) => PART_STATEMENT,
            (true, true) => PART_SAMPLE_STATEMENT,
        };
        log.record(statement.to_owned()).ok_or_else(|| {
            let (given, next) = (Stage::Statement, log.next());
            FieldErrors::one("", SessionError::OutOfOrder { given, next })
        })
    }
}

#[cfg(test)]
mod tests;
