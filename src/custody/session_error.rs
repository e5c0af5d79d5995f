//! Why something cannot be recorded of a session.

use crate::people::PersonId;

use super::container::ContainerId;
use super::destruction::SessionId;
use super::session::Stage;

/// Why something cannot be recorded of a session.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SessionError {
    #[error("Session {0} is under way. Finish or abandon it before another is begun.")]
    UnderWay(SessionId),
    #[error("Session {0} is not under way. Begin it first.")]
    NotUnderWay(SessionId),
    #[error(
        "This book records its sessions step by step, and session {0} was not begun. Begin it, and record each step."
    )]
    NotBegun(SessionId),
    #[error("{} cannot be recorded yet: {} comes first.", capital(.given.name()), .next.name())]
    OutOfOrder { given: Stage, next: Stage },
    #[error("{} is on record in entry {seq}. To change it, name that entry and say why.", capital(.stage.name()))]
    Recorded { stage: Stage, seq: u64 },
    #[error("Entry {corrects} does not stand for this step. Name the entry that recorded it last.")]
    NothingToCorrect { corrects: u64 },
    #[error("{} cannot be recorded anew: the machine was started. What is mistyped is corrected after the session.", capital(.0.name()))]
    TooLate(Stage),
    #[error(
        "No container is left in this session: all differ from what was declared. Abandon it, and have the differences explained."
    )]
    NothingLeft,
    #[error("Container {0} is missing here. Every container still in the session must be named.")]
    Missing(ContainerId),
    #[error("Container {0} is not in this session, or has left it. Leave it out.")]
    NotHere(ContainerId),
    #[error(
        "Container {0} is counted otherwise than the rules ask: every piece, or exactly those that were drawn."
    )]
    CountedOtherwise(ContainerId),
    #[error("{0} does not agree with the steps on record. Record the step anew, or what it says.")]
    NotAsRecorded(&'static str),
    #[error(
        "The machine was started, so the session cannot be abandoned. Complete it: what is being destroyed is destroyed."
    )]
    CannotAbandon,
    #[error("{0} is not a witness of this session at present. Name one who is.")]
    NotAWitness(PersonId),
    #[error("{0} is here already. Name somebody else.")]
    HereAlready(PersonId),
    #[error("Session {0} is not on record as done. Only a recorded session is corrected.")]
    NotDone(SessionId),
    #[error("The {0} is that already. Give what it should be.")]
    SameFact(&'static str),
    #[error(
        "Container {0}: the scale it was weighed on cannot be corrected afterwards. Correct its masses only."
    )]
    OtherScale(ContainerId),
    #[error(
        "Container {container} is in session {session}, which is under way. What is found there is recorded as its step."
    )]
    InSession {
        container: ContainerId,
        session: SessionId,
    },
    #[error("Session {session} has no container {container}. Name one that it destroyed.")]
    NoContainer {
        session: SessionId,
        container: ContainerId,
    },
    #[error("{0} tries were wrong. Only three or more wrong passphrases are entered.")]
    TooFewTries(u32),
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().into_iter().flat_map(char::to_uppercase);
    first.chain(chars).collect()
}
