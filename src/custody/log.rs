//! The log of a session: the steps on record, what they leave in the session, what comes next,
//! and the record of the whole that follows from them.

use std::collections::BTreeSet;

use crate::inspect::Rules;
use crate::people::{PersonId, Stamp};

use super::container::{ContainerId, Contents, SealNumber};
use super::destruction::{Destruction, Found, SessionId, check_residue};
use super::item::Item;
use super::session::{
    Counted, Counting, Differs, Done, LeftOut, Presence, Residue, Sampled, Stage, Started,
    TeamPart, Weighed,
};

/// A container as the book knew it when the session began.
#[derive(Clone, Debug, PartialEq)]
pub struct Declared {
    pub container: ContainerId,
    pub seal: SealNumber,
    pub contents: Contents,
    /// The pieces to look for, when the rules ask for a sample.
    pub drawn: Option<Vec<Item>>,
}

/// A step as recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct StepDone {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub done: Done,
    /// Why it was recorded anew.
    pub reason: Option<String>,
}

/// Somebody who is or was at the session.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    pub presence: Presence,
    /// Why they left.
    pub reason: Option<String>,
    /// The entry that they came by, and when, if they were not there from the beginning.
    pub came: Option<(u64, Stamp)>,
    /// The same of leaving.
    pub left: Option<(u64, Stamp)>,
}

/// Everything recorded of one session.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionLog {
    pub session: SessionId,
    /// The entry that began it.
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub place: String,
    /// The rules it began under.
    pub rules: std::rc::Rc<Rules>,
    pub declared: Vec<Declared>,
    /// In the order they came.
    pub team: Vec<Member>,
    pub steps: Vec<StepDone>,
    /// Whoever gave a wrong passphrase three times during it.
    pub failed_keys: Vec<(PersonId, Stamp)>,
}

impl SessionLog {
    /// A step as it stands: as recorded last.
    pub fn latest(&self, stage: Stage) -> Option<&StepDone> {
        let mut steps = self.steps.iter().rev();
        steps.find(|step| step.done.stage() == stage)
    }

    /// Whether the machine was started.
    pub fn is_past_return(&self) -> bool {
        self.latest(Stage::Start).is_some()
    }

    /// Those who are here in a part.
    pub fn here(&self, part: TeamPart) -> impl Iterator<Item = PersonId> + '_ {
        let members = self.team.iter().map(|member| member.presence);
        let here = members.filter(move |one| one.part == part && one.left_before.is_none());
        here.map(|one| one.person)
    }

    /// Everybody who ever had a part.
    pub fn ever(&self, part: TeamPart) -> BTreeSet<PersonId> {
        let members = self.team.iter().map(|member| member.presence);
        let ever = members.filter(|one| one.part == part);
        ever.map(|one| one.person).collect()
    }

    /// Every container it was begun with, in the order in which they were named.
    pub fn called_for(&self) -> Vec<ContainerId> {
        let declared = self.declared.iter();
        declared.map(|declared| declared.container).collect()
    }

    pub fn declared(&self, container: ContainerId) -> Option<&Declared> {
        self.declared.iter().find(|one| one.container == container)
    }

    /// What keeps a container from being destroyed in this session, as far as it is on record.
    pub fn differs(&self, declared: &Declared) -> Option<Differs> {
        self.seal_differs(declared)
            .or_else(|| self.count_differs(declared))
    }

    fn seal_differs(&self, declared: &Declared) -> Option<Differs> {
        let Done::Seals(list) = &self.latest(Stage::Seals)?.done else {
            return None;
        };
        let mut found = list.iter();
        let one = found.find(|one| one.container == declared.container)?;
        match one.seal {
            found if one.broken => Some(Differs::BrokenSeal { found }),
            None => Some(Differs::NotFound),
            Some(found) if found != declared.seal => Some(Differs::OtherSeal { found }),
            Some(_) => None,
        }
    }

    fn count_of(&self, container: ContainerId) -> Option<&Counting> {
        let Done::Count(list) = &self.latest(Stage::Count)?.done else {
            return None;
        };
        let counted = list.iter().find(|one| one.container == container);
        counted.map(|one| &one.counted)
    }

    fn count_differs(&self, declared: &Declared) -> Option<Differs> {
        count_differs(self.count_of(declared.container)?, declared)
    }

    /// The containers that a step has to deal with, in the order in which they were named.
    pub fn fit(&self, stage: Stage) -> Vec<ContainerId> {
        let left = self.declared.iter().filter(|declared| match stage {
            Stage::Seals => true,
            Stage::Count => self.seal_differs(declared).is_none(),
            _ => self.differs(declared).is_none(),
        });
        left.map(|declared| declared.container).collect()
    }

    /// Containers that differ and stay out.
    pub fn left_out(&self) -> Vec<LeftOut> {
        let differing = self.declared.iter().filter_map(|declared| {
            let (container, why) = (declared.container, self.differs(declared)?);
            Some(LeftOut { container, why })
        });
        differing.collect()
    }

    /// The step that comes next: the first that is not on record for all it has to deal with.
    pub fn next(&self) -> Stage {
        let mut stages = Stage::RECORDED.into_iter();
        stages
            .find(|stage| !self.is_complete(*stage))
            .unwrap_or(Stage::Statement)
    }

    fn is_complete(&self, stage: Stage) -> bool {
        let Some(step) = self.latest(stage) else {
            return false;
        };
        match &step.done {
            Done::Residue(residue) => self.residue_fits(residue),
            Done::Start(_) | Done::End(_) => true,
            done => {
                let (dealt, fit) = (done.containers(), self.fit(stage));
                !fit.is_empty() && fit.iter().all(|id| dealt.contains(id))
            }
        }
    }

    /// A method or class that was corrected after the residue was measured may ask for more.
    fn residue_fits(&self, residue: &Residue) -> bool {
        self.started().is_some_and(|run| {
            let (class, largest) = (run.particle_class, residue.largest_particle_mm2);
            check_residue(run.method, class, largest, residue.sample).is_ok()
        })
    }

    pub fn started(&self) -> Option<&Started> {
        match &self.latest(Stage::Start)?.done {
            Done::Start(run) => Some(run),
            _ => None,
        }
    }

    pub fn ended(&self) -> Option<&Stamp> {
        match &self.latest(Stage::End)?.done {
            Done::End(end) => Some(&end.ended),
            _ => None,
        }
    }

    pub fn residue(&self) -> Option<&Residue> {
        match &self.latest(Stage::Residue)?.done {
            Done::Residue(residue) => Some(residue),
            _ => None,
        }
    }

    pub fn weighed(&self, container: ContainerId) -> Option<&Weighed> {
        match &self.latest(Stage::Weigh)?.done {
            Done::Weigh(list) => list.iter().find(|one| one.container == container),
            _ => None,
        }
    }

    /// The record of the whole session with the statement that its witnesses sign; nothing while
    /// a step is missing.
    pub fn record(&self, statement: String) -> Option<Destruction> {
        if self.next() != Stage::Statement {
            return None;
        }
        let (run, residue) = (self.started()?, self.residue()?);
        let fit = self.fit(Stage::Weigh).into_iter();
        Some(Destruction {
            session: self.session,
            place: self.place.clone(),
            machine: run.machine.clone(),
            method: run.method,
            particle_class: run.particle_class,
            containers: fit.map(|id| self.found(id)).collect::<Option<_>>()?,
            operator: self.here(TeamPart::Operator).next()?,
            witnesses: self.here(TeamPart::Witness).collect(),
            started: run.started.clone(),
            ended: self.ended()?.clone(),
            largest_particle_mm2: residue.largest_particle_mm2,
            sample: residue.sample,
            statement,
            remarks: residue.remarks.clone(),
            left_out: self.left_out(),
            presence: self.not_all_the_time(),
        })
    }

    fn found(&self, container: ContainerId) -> Option<Found> {
        let declared = self.declared(container)?;
        let weighed = self.weighed(container)?;
        let sample = match self.count_of(container)? {
            Counting::All { .. } => None,
            Counting::Sample { pieces, .. } => Some(Sampled {
                pieces: *pieces,
                missing: self.rules.count.missing()?,
            }),
        };
        Some(Found {
            container,
            seal: declared.seal,
            sheets: declared.contents.sheets,
            notes: declared.contents.notes,
            gross: weighed.gross,
            tare: weighed.tare,
            scale: weighed.scale,
            sample,
            off_because: weighed.off_because.clone(),
        })
    }

    fn not_all_the_time(&self) -> Vec<Presence> {
        let team = self.team.iter().map(|member| member.presence);
        team.filter(|one| one.came_before.is_some() || one.left_before.is_some())
            .collect()
    }

    /// Whether anybody in this part was not there from beginning to end.
    pub fn has_come_or_gone(&self, part: TeamPart) -> bool {
        self.not_all_the_time().iter().any(|one| one.part == part)
    }

    /// Whether any container was counted by a drawn sample.
    pub fn is_sampled(&self) -> bool {
        let fit = self.fit(Stage::Weigh);
        fit.iter()
            .any(|id| matches!(self.count_of(*id), Some(Counting::Sample { .. })))
    }
}

/// How a count differs from what was declared.
pub fn count_differs(counted: &Counting, declared: &Declared) -> Option<Differs> {
    match counted {
        Counting::All { sheets, notes } => {
            let (sheets, notes) = (*sheets, *notes);
            let agrees = declared.contents == Contents { sheets, notes };
            (!agrees).then_some(Differs::OtherCount { sheets, notes })
        }
        Counting::Sample { absent, .. } => {
            let pieces = absent.clone();
            (!absent.is_empty()).then_some(Differs::Absent { pieces })
        }
    }
}

/// Whether a count was made the way it must be: every piece, or exactly the drawn ones.
pub fn is_counted_right(one: &Counted, declared: &Declared) -> bool {
    match (&one.counted, &declared.drawn) {
        (Counting::All { .. }, _) => true,
        (Counting::Sample { .. }, None) => false,
        (Counting::Sample { pieces, absent }, Some(drawn)) => {
            let each_once: BTreeSet<_> = absent.iter().collect();
            *pieces as usize == drawn.len()
                && each_once.len() == absent.len()
                && absent.iter().all(|piece| drawn.contains(piece))
        }
    }
}
