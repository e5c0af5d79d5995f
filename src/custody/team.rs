//! Who must be at a destruction, and who may not be there in which part.

use std::collections::{BTreeMap, BTreeSet};

use crate::people::{Duty, Part, Parts, Person, PersonId, conflicts};

use super::container::{Container, ContainerId};
use super::destruction::{Destruction, DestructionError};
use super::log::SessionLog;
use super::scale::{Scale, ScaleId};
use super::session::TeamPart;

/// What the check needs to know besides the record itself.
pub struct Known<'a> {
    pub containers: &'a BTreeMap<ContainerId, Container>,
    pub people: &'a BTreeMap<PersonId, Person>,
    pub scales: &'a BTreeMap<ScaleId, Scale>,
    /// Who tagged sheets that lie in the named containers.
    pub taggers: BTreeSet<PersonId>,
    pub witnesses_needed: u8,
    pub outside_witness: bool,
}

/// Who is at a destruction of these containers, and who was.
#[derive(Clone, Debug)]
pub struct Team {
    pub containers: Vec<ContainerId>,
    pub operator: PersonId,
    pub witnesses: Vec<PersonId>,
    /// Who recorded any of it. Empty where a line says nothing of steps.
    pub led: BTreeSet<PersonId>,
    /// Who operated or witnessed and has left.
    pub left: Parts,
}

impl Team {
    /// Those that a record names, without anybody who has left.
    pub fn of(record: &Destruction) -> Self {
        let containers = record.containers.iter();
        Self {
            containers: containers.map(|found| found.container).collect(),
            operator: record.operator,
            witnesses: record.witnesses.clone(),
            led: BTreeSet::new(),
            left: Parts::new(),
        }
    }

    /// Those of a session under way, led further by `by`, with this operator and these witnesses.
    pub fn at(log: &SessionLog, by: PersonId, operator: PersonId, here: Vec<PersonId>) -> Self {
        let steps = log.steps.iter().map(|step| step.by);
        let operated = log.ever(TeamPart::Operator).into_iter();
        let operated = operated.filter(|person| *person != operator);
        let witnessed = log.ever(TeamPart::Witness).into_iter();
        let witnessed = witnessed.filter(|person| !here.contains(person));
        let left = operated
            .map(|person| (person, Part::Operated))
            .chain(witnessed.map(|person| (person, Part::Witnessed)));
        Self {
            containers: log.called_for(),
            operator,
            left: left.collect(),
            witnesses: here,
            led: steps.chain([log.by, by]).collect(),
        }
    }
}

/// Checks that there are enough witnesses, each independent, each with the role for it.
///
/// # Errors
/// The first thing that is missing or does not go together.
pub fn check_team(team: &Team, known: &Known) -> Result<(), DestructionError> {
    let need = known.witnesses_needed.max(2);
    let have = team.witnesses.len();
    if have < usize::from(need) {
        return Err(DestructionError::TooFewWitnesses { have, need });
    }
    check_independence(team, known)?;
    let outside = |witness: &PersonId| {
        let person = known.people.get(witness);
        person.is_some_and(|person| person.outside)
    };
    if known.outside_witness && !team.witnesses.iter().any(outside) {
        return Err(DestructionError::NoOutsideWitness);
    }
    Ok(())
}

/// The same without asking how many there are: one may have left for a while.
///
/// # Errors
/// As [`check_team`].
pub fn check_independence(team: &Team, known: &Known) -> Result<(), DestructionError> {
    allowed(team.operator, Duty::OperateDestruction, known)?;
    for witness in &team.witnesses {
        allowed(*witness, Duty::Witness, known)?;
    }
    match conflicts(&parts(team, known)).into_iter().next() {
        Some(conflict) => Err(conflict.into()),
        None => Ok(()),
    }
}

fn allowed(person: PersonId, duty: Duty, known: &Known) -> Result<(), DestructionError> {
    match known.people.get(&person) {
        Some(entry) if duty.allows(entry) => Ok(()),
        _ => Err(DestructionError::NotAllowed { person, duty }),
    }
}

/// Who played which part in what is being destroyed and in its destruction.
fn parts(team: &Team, known: &Known) -> Parts {
    let containers = team.containers.iter();
    let containers: Vec<&Container> = containers
        .filter_map(|id| known.containers.get(id))
        .collect();
    let sealings = containers.iter().flat_map(|container| container.sealings());
    let sealed = sealings.flat_map(|sealing| [sealing.by, sealing.second]);
    let recounted = containers
        .iter()
        .flat_map(|container| container.recounters());
    let as_part = |part| move |person| (person, part);
    let mut parts: Parts = known.taggers.iter().map(|id| (*id, Part::Tagged)).collect();
    parts.extend(sealed.map(as_part(Part::Sealed)));
    parts.extend(recounted.map(as_part(Part::Recounted)));
    parts.extend(team.led.iter().copied().map(as_part(Part::Led)));
    parts.extend(team.left.iter().copied());
    parts.push((team.operator, Part::Operated));
    parts.extend(team.witnesses.iter().copied().map(as_part(Part::Witnessed)));
    parts
}
