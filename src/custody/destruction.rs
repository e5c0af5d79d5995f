//! One witnessed destruction: what was found, who was there, and the checks it must pass.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::people::{Conflict, Duty, PersonId, Stamp};
use crate::sheet::name_id;

use super::container::{Container, ContainerId, Seal, SealNumber, Sealing};
use super::hold::{HeldFor, Hold};
use super::mass::Mass;
use super::particle::{ParticleClass, ParticleError, ResidueSample, check_particles};
use super::scale::{Scale, ScaleId};
use super::session::{LeftOut, Presence, Sampled, Started};
use super::team::{Known, Team, check_team};

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
    /// When not every piece was counted: the drawn sample, of which all were there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample: Option<Sampled>,
    /// Why it is destroyed although its mass is not that of its count.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_because: Option<String>,
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
    /// Containers that were called for and differed; they are not destroyed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Whoever was not there from beginning to end.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub presence: Vec<Presence>,
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
    #[error(
        "Container {container} is held: {why}. Leave it out of this session; in the Cage it is counted again by two, explained and sealed anew."
    )]
    Held {
        container: ContainerId,
        why: HeldFor,
    },
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

impl DestructionError {
    pub fn held(container: ContainerId, hold: &Hold) -> Self {
        let why = hold.why.clone();
        DestructionError::Held { container, why }
    }
}

/// Checks a destruction before it is recorded.
///
/// # Errors
/// The first thing that is missing or does not agree.
pub fn check(record: &Destruction, team: &Team, known: &Known) -> Result<(), DestructionError> {
    check_texts(record)?;
    check_containers(record, known)?;
    check_team(team, known)?;
    if record.ended <= record.started {
        return Err(DestructionError::EndBeforeStart);
    }
    check_residue(
        record.method,
        record.particle_class,
        record.largest_particle_mm2,
        record.sample,
    )
}

/// Checks what is said when the machine is started.
///
/// # Errors
/// What is missing.
pub fn check_started(run: &Started) -> Result<(), DestructionError> {
    check_text("Machine", &run.machine)?;
    match (run.method.leaves_particles(), run.particle_class) {
        (true, None) => Err(DestructionError::NoParticleClass(run.method.name())),
        _ => Ok(()),
    }
}

/// # Errors
/// When they are longer than 200 characters.
pub fn check_remarks(text: &str) -> Result<(), DestructionError> {
    check_length("Remarks", text)
}

/// Checks why a mass is not that of its count, where that is said.
///
/// # Errors
/// When it is empty, or longer than 200 characters.
pub fn check_off(why: Option<&str>) -> Result<(), DestructionError> {
    why.map_or(Ok(()), |why| check_text("Why the mass differs", why))
}

fn check_texts(record: &Destruction) -> Result<(), DestructionError> {
    for found in &record.containers {
        check_off(found.off_because.as_deref())?;
    }
    check_text("Place", &record.place)?;
    check_text("Machine", &record.machine)?;
    check_text("Statement", &record.statement)?;
    check_length("Remarks", &record.remarks)
}

/// A text that must be there.
pub(super) fn check_text(name: &'static str, text: &str) -> Result<(), DestructionError> {
    match text.trim().is_empty() {
        true => Err(DestructionError::Empty(name)),
        false => check_length(name, text),
    }
}

pub(super) fn check_length(name: &'static str, text: &str) -> Result<(), DestructionError> {
    match text.chars().count() > TEXT_MAX {
        true => Err(DestructionError::TooLong(name)),
        false => Ok(()),
    }
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
        check_scale(found.container, found.scale, known.scales)?;
    }
    Ok(())
}

/// A scale that is named must be registered.
///
/// # Errors
/// When it is not.
pub fn check_scale(
    container: ContainerId,
    scale: Option<ScaleId>,
    scales: &BTreeMap<ScaleId, Scale>,
) -> Result<(), DestructionError> {
    match scale.filter(|id| !scales.contains_key(id)) {
        Some(scale) => Err(DestructionError::UnknownScale { container, scale }),
        None => Ok(()),
    }
}

/// The sealing of a container that may be destroyed.
///
/// # Errors
/// Why it may not: unknown, open, held, destroyed before.
pub fn must_be_sealed(
    id: ContainerId,
    container: Option<&Container>,
) -> Result<&Sealing, DestructionError> {
    let container = container.ok_or(DestructionError::Unknown(id))?;
    match &container.seal {
        Seal::Open => Err(DestructionError::NotSealed(id)),
        Seal::Retired { .. } => Err(DestructionError::Unknown(id)),
        Seal::Held(_, hold) => Err(DestructionError::held(id, hold)),
        Seal::Destroyed { session, .. } => Err(DestructionError::AlreadyDestroyed {
            container: id,
            session: *session,
        }),
        Seal::Sealed(sealing) => Ok(sealing),
    }
}

fn check_found(found: &Found, container: Option<&Container>) -> Result<(), DestructionError> {
    let id = &found.container;
    let sealing = must_be_sealed(*id, container)?;
    if sealing.number != found.seal {
        return Err(DestructionError::WrongSeal {
            container: *id,
            found: found.seal,
            sealed: sealing.number,
        });
    }
    let declared = container.map(Container::contents).unwrap_or_default();
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

/// Checks the residue against the class that its method asks for.
///
/// # Errors
/// What is missing, or too coarse.
pub fn check_residue(
    method: Method,
    class: Option<ParticleClass>,
    largest_mm2: Option<u32>,
    sample: Option<ResidueSample>,
) -> Result<(), DestructionError> {
    let (class, largest) = match (class, largest_mm2) {
        (None, _) if method.leaves_particles() => {
            return Err(DestructionError::NoParticleClass(method.name()));
        }
        (None, None) if sample.is_some() => {
            return Err(DestructionError::SampleWithoutLargest);
        }
        (None, None) => return Ok(()),
        (None, Some(_)) => return Err(DestructionError::ParticleWithoutClass),
        (Some(_), None) => return Err(DestructionError::NotMeasured),
        (Some(class), Some(largest)) => (class, largest),
    };
    Ok(check_particles(class, largest, sample)?)
}
