//! One witnessed destruction: what was found, who was there, and the checks it must pass.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::people::{Conflict, Duty, Part, Parts, Person, PersonId, Stamp, conflicts};
use crate::sheet::name_id;

use super::container::{Container, ContainerId, Seal, SealNumber};
use super::mass::Mass;
use super::particle::{ParticleClass, ParticleError, ResidueSample, check_particles};
use super::scale::{Scale, ScaleId};

name_id!(
    SessionId,
    "session number",
    "The number of a destruction session; its certificate carries it."
);

const TEXT_MAX: usize = 200;

/// How spoils are destroyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Method {
    Shredding,
    Granulating,
    Pulping,
    Burning,
}

impl Method {
    pub const ALL: [Method; 4] = [
        Method::Shredding,
        Method::Granulating,
        Method::Pulping,
        Method::Burning,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Method::Shredding => "shredding",
            Method::Granulating => "granulating",
            Method::Pulping => "pulping",
            Method::Burning => "burning",
        }
    }

    /// Whether particles are left that a class of ISO/IEC 21964-2 measures: a machine that cuts
    /// leaves them, pulp and ash have none.
    pub fn leaves_particles(self) -> bool {
        matches!(self, Method::Shredding | Method::Granulating)
    }
}

/// One container as found at the session.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Found {
    pub container: ContainerId,
    pub seal: SealNumber,
    pub sheets: u32,
    pub notes: u32,
    /// Gross mass in milligrams.
    pub gross: Mass,
    /// Mass of the empty container in milligrams.
    pub tare: Mass,
    /// The registered scale that both were read from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleId>,
}

/// The record of one destruction.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Destruction {
    pub session: SessionId,
    pub place: String,
    /// The destroying machine, as its plate names it.
    pub machine: String,
    pub method: Method,
    /// Asked of methods that leave particles. Lines written before 2026-11-25 have it for all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub particle_class: Option<ParticleClass>,
    pub containers: Vec<Found>,
    pub operator: PersonId,
    pub witnesses: Vec<PersonId>,
    pub started: Stamp,
    pub ended: Stamp,
    /// Largest particle found in the residue, mm²; stands with the class or not at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub largest_particle_mm2: Option<u32>,
    /// Stands with the largest particle; lines written before 2026-11-26 have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample: Option<ResidueSample>,
    /// The sentence every witness agreed to, word for word.
    pub statement: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub remarks: String,
}

/// Why a destruction cannot be recorded.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DestructionError {
    #[error("No container is named. Choose at least one sealed container.")]
    NoContainers,
    #[error("Container {0} is not in the cage. Choose one from the list.")]
    Unknown(ContainerId),
    #[error("Container {0} is named twice. Name each container once.")]
    ContainerTwice(ContainerId),
    #[error("Container {0} is not sealed. Seal it first, by two people.")]
    NotSealed(ContainerId),
    #[error("Container {container} was destroyed in session {session}. Choose another.")]
    AlreadyDestroyed {
        container: ContainerId,
        session: SessionId,
    },
    #[error(
        "Container {container}: the seal found is {found}, but it was sealed with {sealed}. Leave it out of this session, keep it locked away and have the difference explained."
    )]
    WrongSeal {
        container: ContainerId,
        found: SealNumber,
        sealed: SealNumber,
    },
    #[error(
        "Container {container}: {counted} {kind} counted, {declared} declared. Count again; a difference must be explained before anything is destroyed."
    )]
    CountDiffers {
        container: ContainerId,
        kind: &'static str,
        counted: u32,
        declared: u32,
    },
    #[error("Container {0}: the gross mass is below the tare. Weigh again.")]
    BelowTare(ContainerId),
    #[error("{0} is empty. Fill it in.")]
    Empty(&'static str),
    #[error("{0} is longer than 200 characters. Shorten it.")]
    TooLong(&'static str),
    #[error("The end is not after the start. Correct the times.")]
    EndBeforeStart,
    #[error("{have} of {need} witnesses are named. Name {need} different witnesses.")]
    TooFewWitnesses { have: usize, need: u8 },
    #[error("No witness is from outside production, but the rules ask for one. Name one who is.")]
    NoOutsideWitness,
    #[error("{person} may not {}. Name a person with the role for it.", .duty.name())]
    NotAllowed { person: PersonId, duty: Duty },
    #[error(transparent)]
    Conflict(#[from] Conflict),
    #[error(
        "No particle class is named, but {0} leaves particles. Name the class the machine is set to."
    )]
    NoParticleClass(&'static str),
    #[error("The largest particle is not measured. Measure a sample of the residue.")]
    NotMeasured,
    #[error("A largest particle is named without its particle class. Name both, or neither.")]
    ParticleWithoutClass,
    #[error("A residue sample is named without its largest particle. Measure both.")]
    SampleWithoutLargest,
    #[error(transparent)]
    Particles(#[from] ParticleError),
    #[error(
        "Container {container}: scale {scale} is not registered. Choose a scale of the list, or register it in the Office."
    )]
    UnknownScale {
        container: ContainerId,
        scale: ScaleId,
    },
}

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

/// Checks a destruction before it is recorded.
///
/// # Errors
/// The first thing that is missing or does not agree.
pub fn check(record: &Destruction, known: &Known) -> Result<(), DestructionError> {
    check_texts(record)?;
    check_containers(record, known)?;
    check_persons(record, known)?;
    if record.ended <= record.started {
        return Err(DestructionError::EndBeforeStart);
    }
    check_residue(record)
}

fn check_texts(record: &Destruction) -> Result<(), DestructionError> {
    let required = [
        ("Place", &record.place),
        ("Machine", &record.machine),
        ("Statement", &record.statement),
    ];
    for (name, text) in required {
        if text.trim().is_empty() {
            return Err(DestructionError::Empty(name));
        }
    }
    for (name, text) in required.into_iter().chain([("Remarks", &record.remarks)]) {
        if text.chars().count() > TEXT_MAX {
            return Err(DestructionError::TooLong(name));
        }
    }
    Ok(())
}

fn check_containers(record: &Destruction, known: &Known) -> Result<(), DestructionError> {
    if record.containers.is_empty() {
        return Err(DestructionError::NoContainers);
    }
    let mut seen = BTreeSet::new();
    for found in &record.containers {
        if !seen.insert(&found.container) {
            return Err(DestructionError::ContainerTwice(found.container));
        }
        check_found(found, known.containers.get(&found.container))?;
        if let Some(scale) = found.scale.filter(|id| !known.scales.contains_key(id)) {
            let container = found.container;
            return Err(DestructionError::UnknownScale { container, scale });
        }
    }
    Ok(())
}

fn check_found(found: &Found, container: Option<&Container>) -> Result<(), DestructionError> {
    let id = &found.container;
    let container = container.ok_or(DestructionError::Unknown(*id))?;
    let sealing = match &container.seal {
        Seal::Open => return Err(DestructionError::NotSealed(*id)),
        Seal::Destroyed { session, .. } => {
            let (container, session) = (*id, *session);
            return Err(DestructionError::AlreadyDestroyed { container, session });
        }
        Seal::Sealed(sealing) => sealing,
    };
    if sealing.number != found.seal {
        return Err(DestructionError::WrongSeal {
            container: *id,
            found: found.seal,
            sealed: sealing.number,
        });
    }
    let declared = container.contents();
    for (kind, counted, declared) in [
        ("sheets", found.sheets, declared.sheets),
        ("notes", found.notes, declared.notes),
    ] {
        if counted != declared {
            let container = *id;
            return Err(DestructionError::CountDiffers {
                container,
                kind,
                counted,
                declared,
            });
        }
    }
    match found.gross.less(found.tare) {
        Some(_) => Ok(()),
        None => Err(DestructionError::BelowTare(*id)),
    }
}

fn check_persons(record: &Destruction, known: &Known) -> Result<(), DestructionError> {
    let need = known.witnesses_needed.max(2);
    if record.witnesses.len() < usize::from(need) {
        return Err(DestructionError::TooFewWitnesses {
            have: record.witnesses.len(),
            need,
        });
    }
    allowed(&record.operator, Duty::OperateDestruction, known)?;
    for witness in &record.witnesses {
        allowed(witness, Duty::Witness, known)?;
    }
    if let Some(conflict) = conflicts(&parts(record, known)).into_iter().next() {
        return Err(conflict.into());
    }
    let outside = |witness: &PersonId| {
        known
            .people
            .get(witness)
            .is_some_and(|person| person.outside)
    };
    if known.outside_witness && !record.witnesses.iter().any(outside) {
        return Err(DestructionError::NoOutsideWitness);
    }
    Ok(())
}

fn allowed(person: &PersonId, duty: Duty, known: &Known) -> Result<(), DestructionError> {
    match known.people.get(person) {
        Some(entry) if duty.allows(entry) => Ok(()),
        _ => Err(DestructionError::NotAllowed {
            person: *person,
            duty,
        }),
    }
}

/// Who played which part in what is being destroyed and in its destruction.
fn parts(record: &Destruction, known: &Known) -> Parts {
    let sealings = record
        .containers
        .iter()
        .filter_map(|found| known.containers.get(&found.container)?.sealing());
    let sealed = sealings.flat_map(|sealing| [sealing.by, sealing.second]);
    let mut parts: Parts = known
        .taggers
        .iter()
        .copied()
        .map(|person| (person, Part::Tagged))
        .collect();
    parts.extend(sealed.map(|person| (person, Part::Sealed)));
    parts.push((record.operator, Part::Operated));
    parts.extend(
        record
            .witnesses
            .iter()
            .copied()
            .map(|person| (person, Part::Witnessed)),
    );
    parts
}

fn check_residue(record: &Destruction) -> Result<(), DestructionError> {
    let (class, largest) = match (record.particle_class, record.largest_particle_mm2) {
        (None, _) if record.method.leaves_particles() => {
            return Err(DestructionError::NoParticleClass(record.method.name()));
        }
        (None, None) if record.sample.is_some() => {
            return Err(DestructionError::SampleWithoutLargest);
        }
        (None, None) => return Ok(()),
        (None, Some(_)) => return Err(DestructionError::ParticleWithoutClass),
        (Some(_), None) => return Err(DestructionError::NotMeasured),
        (Some(class), Some(largest)) => (class, largest),
    };
    Ok(check_particles(class, largest, record.sample)?)
}
