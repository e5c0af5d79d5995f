//! A destruction session while it is under way, as facts that are recorded one after the other.

use serde::{Deserialize, Serialize};

use crate::people::{PersonId, Stamp};
use crate::sheet::number_of;

use super::container::{ContainerId, SealNumber};
use super::destruction::{Method, SessionId};
use super::item::Item;
use super::mass::Mass;
use super::particle::{ParticleClass, ResidueSample};
use super::scale::ScaleId;

/// What is recorded of a session, in order. Only the last is not an entry of its own: the
/// statement belongs to the record of the whole session.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    #[default]
    Seals,
    Count,
    Weigh,
    Start,
    End,
    Residue,
    Statement,
}

impl Stage {
    /// Those that are entries.
    pub const RECORDED: [Stage; 6] = [
        Stage::Seals,
        Stage::Count,
        Stage::Weigh,
        Stage::Start,
        Stage::End,
        Stage::Residue,
    ];

    /// What it is called within a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Stage::Seals => "the seals as found",
            Stage::Count => "the count",
            Stage::Weigh => "the weighing",
            Stage::Start => "the start of the machine",
            Stage::End => "the end of the machine's run",
            Stage::Residue => "the residue",
            Stage::Statement => "the statement",
        }
    }
}

/// A session begins: where, before whom, over which containers. Its author leads it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SessionBegun {
    pub session: SessionId,
    pub place: String,
    pub operator: PersonId,
    pub witnesses: Vec<PersonId>,
    pub containers: Vec<ContainerId>,
}

/// One step of the session that is under way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SessionStep {
    pub session: SessionId,
    pub done: Done,
    /// The entry that recorded the same step before, when it is recorded anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// What was done or found at a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Done {
    Seals(Vec<SealFound>),
    Count(Vec<Counted>),
    Weigh(Vec<Weighed>),
    Start(Started),
    End(Ended),
    Residue(Residue),
}

impl Done {
    pub fn stage(&self) -> Stage {
        match self {
            Done::Seals(_) => Stage::Seals,
            Done::Count(_) => Stage::Count,
            Done::Weigh(_) => Stage::Weigh,
            Done::Start(_) => Stage::Start,
            Done::End(_) => Stage::End,
            Done::Residue(_) => Stage::Residue,
        }
    }

    /// The containers it speaks of, in the order given; none where it speaks of the session.
    pub fn containers(&self) -> Vec<ContainerId> {
        match self {
            Done::Seals(list) => list.iter().map(|one| one.container).collect(),
            Done::Count(list) => list.iter().map(|one| one.container).collect(),
            Done::Weigh(list) => list.iter().map(|one| one.container).collect(),
            Done::Start(_) | Done::End(_) | Done::Residue(_) => Vec::new(),
        }
    }
}

/// The seal that a container bears; none when the container itself was not found, or when its
/// broken seal cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealFound {
    pub container: ContainerId,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<SealNumber>,
    /// The container is there, its seal broken or gone.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub broken: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    pub container: ContainerId,
    pub counted: Counting,
}

/// How a container was counted, and what came of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Counting {
    /// Every piece.
    All { sheets: u32, notes: u32 },
    /// The drawn pieces were looked for, one by one; these were not there.
    Sample { pieces: u32, absent: Vec<Item> },
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weighed {
    pub container: ContainerId,
    /// Gross mass in milligrams.
    pub gross: Mass,
    /// Mass of the empty container in milligrams.
    pub tare: Mass,
    /// The registered scale that both were read from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleId>,
    /// Why it is destroyed although its mass is not that of its count.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_because: Option<String>,
}

/// From here on there is no way back: the session can only be completed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Started {
    pub machine: String,
    pub method: Method,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub particle_class: Option<ParticleClass>,
    pub started: Stamp,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ended {
    pub ended: Stamp,
}

/// What is left of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Residue {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub largest_particle_mm2: Option<u32>,
    /// The particles that were measured; stands with the largest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample: Option<ResidueSample>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub remarks: String,
}

/// Someone leaves the session or comes to it. What was recorded before stays.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TeamChanged {
    pub session: SessionId,
    pub change: TeamChange,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TeamChange {
    /// Without another the session waits until one has come.
    WitnessLeft {
        witness: PersonId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instead: Option<PersonId>,
        reason: String,
    },
    WitnessCame {
        witness: PersonId,
    },
    OperatorReplaced {
        instead: PersonId,
        reason: String,
    },
}

/// The session ends before anything is destroyed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SessionAbandoned {
    pub session: SessionId,
    pub reason: String,
}

/// A fact of a recorded session was written down wrongly, before the line's author and a second
/// person. Counts and persons cannot be changed so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SessionCorrected {
    pub session: SessionId,
    /// As it should have been written.
    pub fact: Fact,
    pub reason: String,
    pub second: PersonId,
}

/// A fact that can be written down wrongly.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Fact {
    Place(String),
    Machine(String),
    Started(Stamp),
    Ended(Stamp),
    LargestParticle(u32),
    Remarks(String),
    Masses(Weighed),
}

impl Fact {
    pub fn name(&self) -> &'static str {
        match self {
            Fact::Place(_) => "place",
            Fact::Machine(_) => "machine",
            Fact::Started(_) => "start",
            Fact::Ended(_) => "end",
            Fact::LargestParticle(_) => "largest particle",
            Fact::Remarks(_) => "remarks",
            Fact::Masses(_) => "masses",
        }
    }
}

impl std::fmt::Display for Fact {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Fact::Place(text) | Fact::Machine(text) => f.write_str(text),
            Fact::Remarks(text) if text.is_empty() => f.write_str("none"),
            Fact::Remarks(text) => f.write_str(text),
            Fact::Started(at) | Fact::Ended(at) => at.fmt(f),
            Fact::LargestParticle(mm2) => write!(f, "{mm2} mm²"),
            Fact::Masses(one) => {
                let (container, gross, tare) = (one.container, one.gross, one.tare);
                write!(f, "container {container}: gross {gross}, tare {tare}")
            }
        }
    }
}

/// How large a drawn sample was, and how many missing pieces it was sized for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sampled {
    pub pieces: u32,
    pub missing: u32,
}

/// A container that was called for and is not destroyed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    pub container: ContainerId,
    pub why: Differs,
}

/// How a container differs from what the book says of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Differs {
    NotFound,
    OtherSeal {
        found: SealNumber,
    },
    BrokenSeal {
        /// As far as it can be read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        found: Option<SealNumber>,
    },
    OtherCount {
        sheets: u32,
        notes: u32,
    },
    Absent {
        pieces: Vec<Item>,
    },
}

impl Differs {
    /// How it differs, as a part of a sentence. What people sign keeps the words of `Display`,
    /// by which their signatures hold.
    pub fn says(&self) -> String {
        match self {
            Differs::OtherCount { sheets, notes } => {
                let sheets = number_of((*sheets).into(), "sheet", "sheets");
                let notes = number_of((*notes).into(), "note", "notes");
                format!("{sheets} and {notes} were counted in it")
            }
            other => other.to_string(),
        }
    }
}

impl std::fmt::Display for Differs {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Differs::NotFound => f.write_str("it was not found"),
            Differs::OtherSeal { found } => write!(f, "it bears the seal {found}"),
            Differs::BrokenSeal { found: Some(found) } => write!(f, "its seal {found} was broken"),
            Differs::BrokenSeal { found: None } => f.write_str("its seal was broken or gone"),
            Differs::OtherCount { sheets, notes } => {
                write!(f, "{sheets} sheets and {notes} notes were counted in it")
            }
            Differs::Absent { pieces } => {
                let names: Vec<String> = pieces.iter().map(ToString::to_string).collect();
                write!(f, "drawn pieces were not in it: {}", names.join(", "))
            }
        }
    }
}

/// A witness or an operator who was not there all the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Presence {
    pub person: PersonId,
    pub part: TeamPart,
    /// The step that came next when they came; from the beginning when there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub came_before: Option<Stage>,
    /// The step that came next when they left; they stayed to the end when there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left_before: Option<Stage>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TeamPart {
    Operator,
    Witness,
}

impl TeamPart {
    pub fn name(self) -> &'static str {
        match self {
            TeamPart::Operator => "operator",
            TeamPart::Witness => "witness",
        }
    }
}

impl std::fmt::Display for Presence {
    /// "came before the weighing and left before the residue".
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let came = self
            .came_before
            .map(|stage| format!("came before {}", stage.name()));
        let left = self
            .left_before
            .map(|stage| format!("left before {}", stage.name()));
        let words: Vec<String> = came.into_iter().chain(left).collect();
        f.write_str(&words.join(" and "))
    }
}
