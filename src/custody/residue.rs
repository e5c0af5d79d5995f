//! What is left of destroyed paper and where it went: residue sent to recycling or disposal, and
//! its mass against that of the paper.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::people::Day;

use super::destruction::{Method, SessionId};
use super::mass::Mass;
use super::weigh::COVERAGE;

const DESTINATION_MAX: usize = 120;
const RECEIPT_MAX: usize = 60;

/// Residue of one or more sessions leaves the works.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResidueSent {
    pub sessions: Vec<SessionId>,
    /// Net mass in milligrams.
    pub mass: Mass,
    pub destination: String,
    /// The number on the receipt of whoever took it.
    pub receipt: String,
    /// The day it left.
    pub date: Day,
}

/// Why residue cannot be recorded as sent.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ResidueError {
    #[error("No session is named. Choose the sessions whose residue was sent.")]
    NoSessions,
    #[error("Session {0} is named twice. Name each session once.")]
    SessionTwice(SessionId),
    #[error("Session {0} is not in the book. Choose one from the list.")]
    UnknownSession(SessionId),
    #[error(
        "The residue of session {session} was sent under receipt {receipt} (entry {entry}). Leave the session out."
    )]
    SentBefore {
        session: SessionId,
        receipt: String,
        entry: u64,
    },
    #[error("The mass of the residue is 0. Weigh it.")]
    NoMass,
    #[error("\"{0}\" is empty. Fill it in.")]
    Empty(&'static str),
    #[error("\"{field}\" is longer than {max} characters. Shorten it.")]
    TooLong { field: &'static str, max: usize },
    #[error(
        "Receipt {receipt} of {destination} is in entry {entry}. Look at the receipt again; each has a number of its own."
    )]
    ReceiptUsed {
        receipt: String,
        destination: String,
        entry: u64,
    },
    #[error("Session {session} ended on {ended}, after {date}. Correct the day the residue left.")]
    BeforeSession {
        session: SessionId,
        ended: Day,
        date: Day,
    },
    #[error("{date} has not come yet: today is {today}. Correct the day the residue left.")]
    NotYet { date: Day, today: Day },
}

impl ResidueSent {
    /// Checks what depends on nothing else in the book. `today` is the day of recording.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self, today: Day) -> Result<(), ResidueError> {
        if self.sessions.is_empty() {
            return Err(ResidueError::NoSessions);
        }
        let mut seen = BTreeSet::new();
        if let Some(twice) = self.sessions.iter().find(|one| !seen.insert(**one)) {
            return Err(ResidueError::SessionTwice(*twice));
        }
        if self.mass == Mass::default() {
            return Err(ResidueError::NoMass);
        }
        for (field, text, max) in [
            ("Destination", &self.destination, DESTINATION_MAX),
            ("Receipt number", &self.receipt, RECEIPT_MAX),
        ] {
            if text.trim().is_empty() {
                return Err(ResidueError::Empty(field));
            }
            if text.chars().count() > max {
                return Err(ResidueError::TooLong { field, max });
            }
        }
        let date = self.date;
        if date > today {
            return Err(ResidueError::NotYet { date, today });
        }
        Ok(())
    }
}

/// Paper destroyed against residue sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MassBalance {
    /// Net mass of the paper, as weighed before it was destroyed.
    pub paper: Mass,
    pub sent: Mass,
    /// How far the two may lie apart. Nothing where they cannot be compared: pulp holds water,
    /// and of what is burnt only ash is left.
    pub tolerance: Option<Mass>,
}

/// The balance of one sending. `methods` and `scale_u` are those of its sessions: how each
/// destroyed, and the combined standard uncertainty of their scales, mg. `percent` is what the
/// paper may take up or give off in moisture and dust (a rule of the works).
pub fn mass_balance(
    paper: Mass,
    sent: Mass,
    methods: impl IntoIterator<Item = Method>,
    scale_u: f64,
    percent: u8,
) -> MassBalance {
    let dry = methods.into_iter().all(Method::leaves_particles);
    let moisture = paper.milligrams() as f64 * f64::from(percent) / 100.0;
    let tolerance = (moisture + COVERAGE * scale_u).ceil() as u64;
    MassBalance {
        paper,
        sent,
        tolerance: dry.then_some(Mass::from_milligrams(tolerance)),
    }
}

impl MassBalance {
    /// Residue less paper, mg.
    pub fn difference(&self) -> i64 {
        self.sent.milligrams() as i64 - self.paper.milligrams() as i64
    }

    /// Whether the two can be compared and lie too far apart.
    pub fn differs(&self) -> bool {
        let apart = self.difference().unsigned_abs();
        self.tolerance
            .is_some_and(|tolerance| apart > tolerance.milligrams())
    }

    /// `agrees`, `differs`, or `cannot tell` where the two cannot be compared.
    pub fn result(&self) -> &'static str {
        match self.tolerance {
            None => "cannot tell",
            Some(_) if self.differs() => "differs",
            Some(_) => "agrees",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mg(milligrams: u64) -> Mass {
        Mass::from_milligrams(milligrams)
    }

    /// By hand: 20 kg of paper, 5 % is 1 kg, twice 250 g of the scales 0.5 kg: 1.5 kg.
    #[test]
    fn residue_agrees_within_moisture_and_scale() {
        let balance = |sent| {
            let methods = [Method::Shredding, Method::Granulating];
            mass_balance(mg(20_000_000), mg(sent), methods, 250_000.0, 5)
        };
        assert_eq!(balance(20_000_000).tolerance, Some(mg(1_500_000)));
        assert_eq!(balance(21_500_000).result(), "agrees");
        assert_eq!(balance(21_500_001).result(), "differs");
        assert_eq!(balance(18_499_999).result(), "differs");
        assert_eq!(balance(18_500_000).difference(), -1_500_000);
    }

    #[test]
    fn pulp_and_ash_are_not_compared() {
        for method in [Method::Pulping, Method::Burning] {
            let methods = [Method::Shredding, method];
            let balance = mass_balance(mg(20_000), mg(2_000), methods, 0.0, 5);
            assert_eq!((balance.tolerance, balance.result()), (None, "cannot tell"));
        }
    }
}
