//! What was said again of something that the book had said before: a sheet ruled anew, a fact of
//! the cage written down amiss.

use serde::Serialize;

use crate::custody::{ContainerId, Fact, Mass, SealNumber, SessionId, TareAndScale};
use crate::inspect::Verdict;
use crate::people::{PersonId, Stamp};
use crate::sheet::{LotId, SheetNo};

/// What is amended, and what changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Amended {
    /// The sheet was examined anew.
    Correction(Reruled),
    /// A supervisor overruled the rules.
    Overruling(Reruled),
    /// Pieces were put into another container than they lie in.
    Filling {
        container: ContainerId,
        /// The container they are in now; loose when there is none.
        to: Option<ContainerId>,
        pieces: u64,
    },
    /// Seal number, masses or scale of a sealing.
    Sealing {
        container: ContainerId,
        before: Sealed,
        after: Sealed,
    },
    /// A fact of a recorded destruction.
    Session {
        session: SessionId,
        before: Fact,
        after: Fact,
    },
}

/// A sheet with its verdicts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Reruled {
    pub lot: LotId,
    pub sheet: SheetNo,
    pub before: Verdict,
    pub after: Verdict,
}

/// What a sealing says that can be corrected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Sealed {
    pub seal: SealNumber,
    pub gross: Option<Mass>,
    /// Where the correction names them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weighed: Option<TareAndScale>,
}

impl Amended {
    pub fn name(&self) -> &'static str {
        match self {
            Self::Correction(_) => "correction",
            Self::Overruling(_) => "overruling",
            Self::Filling { .. } => "filling",
            Self::Sealing { .. } => "sealing",
            Self::Session { .. } => "session",
        }
    }

    /// The sheet, of one ruled anew.
    pub fn reruled(&self) -> Option<Reruled> {
        match self {
            Self::Correction(one) | Self::Overruling(one) => Some(*one),
            _ => None,
        }
    }

    pub fn container(&self) -> Option<ContainerId> {
        match self {
            Self::Filling { container, .. } | Self::Sealing { container, .. } => Some(*container),
            Self::Session {
                after: Fact::Masses(weighed),
                ..
            } => Some(weighed.container),
            _ => None,
        }
    }

    pub fn session(&self) -> Option<SessionId> {
        match self {
            Self::Session { session, .. } => Some(*session),
            _ => None,
        }
    }

    /// What was said before and what is said now, in few words.
    pub fn said(&self) -> (String, String) {
        match self {
            Self::Correction(one) | Self::Overruling(one) => {
                (one.before.name().to_owned(), one.after.name().to_owned())
            }
            Self::Filling {
                container,
                to,
                pieces,
            } => {
                let now = to.map_or_else(|| "loose".to_owned(), |to| format!("in {to}"));
                (
                    format!("{pieces} in {container}"),
                    format!("{pieces} {now}"),
                )
            }
            Self::Sealing { before, after, .. } => (sealed(before), sealed(after)),
            Self::Session { before, after, .. } => (fact(before), fact(after)),
        }
    }
}

fn sealed(one: &Sealed) -> String {
    let gross = one.gross.map_or("not weighed".to_owned(), |gross| {
        format!("gross {} mg", gross.milligrams())
    });
    let weighed = one.weighed.map(|weighed| {
        let tare = weighed.tare.map_or("no tare".to_owned(), |tare| {
            format!("tare {} mg", tare.milligrams())
        });
        let scale = weighed
            .scale
            .map_or("no scale".to_owned(), |scale| format!("scale {scale}"));
        format!(", {tare}, {scale}")
    });
    format!("seal {}, {gross}{}", one.seal, weighed.unwrap_or_default())
}

fn fact(fact: &Fact) -> String {
    let name = fact.name();
    match fact {
        Fact::Masses(one) => {
            let (gross, tare) = (one.gross.milligrams(), one.tare.milligrams());
            format!("gross {gross} mg, tare {tare} mg")
        }
        other => format!("{name}: {other}"),
    }
}

/// One amendment: which entry it is, which one it amends, and what changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Amendment {
    pub entry: u64,
    pub what: Amended,
    /// The entry that had the last word before.
    pub amends: u64,
    pub reason: String,
    pub by: PersonId,
    /// Who confirmed it, where two must.
    pub second: Option<PersonId>,
    pub at: Stamp,
}
