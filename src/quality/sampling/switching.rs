use serde::{Deserialize, Serialize};

use super::{Decision, Severity};

/// Lots rejected within so many on normal inspection lead to tightened inspection.
const REJECTED: usize = 2;
/// How many lots back the rejected ones are counted.
const LOOK_BACK: usize = 5;
/// Lots accepted one after the other under tightened inspection that lead back to normal.
const ACCEPTED: u32 = 5;
/// Lots rejected under tightened inspection that suspend acceptance by sampling.
const SUSPENDED: u32 = 5;
/// Switching score from which reduced inspection may be chosen.
const REDUCED_FROM: u32 = 30;

/// More than the lots of a press can score in its life.
const SCORE_MAX: u32 = 1 << 30;

/// One lot that was judged on its first submission.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// How strictly it was inspected.
    pub severity: Severity,
    pub decision: Decision,
    /// The greatest number of bad items that accepts it.
    pub accept: u64,
    /// Whether it would have been accepted at the next stricter AQL.
    pub one_step_stricter: bool,
}

/// How strictly the next lot must be inspected, by the lots before it.
///
/// The switching rules of ISO 2859-1:1999, clause 9.3, with its switching score. From memory: the
/// standard was not at hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Standing {
    Normal {
        /// The last lots, at most five; true for a rejected one.
        rejected: Vec<bool>,
        score: u32,
    },
    Tightened {
        /// Accepted since the last rejected one.
        accepted: u32,
        rejected: u32,
    },
    Reduced,
    /// Too many lots were rejected under tightened inspection: nothing is accepted by sampling
    /// until the cause is mended.
    Suspended,
}

impl Default for Standing {
    fn default() -> Self {
        Self::start(Severity::Normal)
    }
}

impl Standing {
    /// Where the lots so far, the oldest first, have led.
    pub fn after(lots: impl IntoIterator<Item = Judged>) -> Self {
        Self::default().then(lots)
    }

    /// Where more lots lead from here.
    pub fn then(self, lots: impl IntoIterator<Item = Judged>) -> Self {
        lots.into_iter().fold(self, Self::next)
    }

    /// Whether lots can have led here.
    pub fn can_be(&self) -> bool {
        match self {
            Self::Normal { rejected, score } => {
                let failed = rejected.iter().filter(|failed| **failed).count();
                rejected.len() <= LOOK_BACK && failed < REJECTED && *score < SCORE_MAX
            }
            Self::Tightened { accepted, rejected } => *accepted < ACCEPTED && *rejected < SUSPENDED,
            Self::Reduced | Self::Suspended => true,
        }
    }

    fn start(severity: Severity) -> Self {
        match severity {
            Severity::Normal => Self::Normal {
                rejected: Vec::new(),
                score: 0,
            },
            Severity::Tightened => Self::Tightened {
                accepted: 0,
                rejected: 0,
            },
            Severity::Reduced => Self::Reduced,
        }
    }

    /// The severity that the standing stands for; tightened while suspended.
    pub fn severity(&self) -> Severity {
        match self {
            Self::Normal { .. } => Severity::Normal,
            Self::Tightened { .. } | Self::Suspended => Severity::Tightened,
            Self::Reduced => Severity::Reduced,
        }
    }

    pub fn is_suspended(&self) -> bool {
        *self == Self::Suspended
    }

    /// Whether the next lot may be inspected this strictly. Stricter is always allowed.
    pub fn allows(&self, severity: Severity) -> bool {
        match (self, severity) {
            (Self::Suspended, _) => false,
            (_, Severity::Tightened) => true,
            (Self::Tightened { .. }, _) => false,
            (_, Severity::Normal) | (Self::Reduced, Severity::Reduced) => true,
            (Self::Normal { score, .. }, Severity::Reduced) => *score >= REDUCED_FROM,
        }
    }

    fn next(self, lot: Judged) -> Self {
        let now = match lot.severity == self.severity() && self != Self::Suspended {
            true => self,
            // A supervisor chose stricter or, where allowed, reduced inspection, or resumed.
            false => Self::start(lot.severity),
        };
        let failed = lot.decision == Decision::Reject;
        match now {
            Self::Normal { rejected, score } => after_normal(rejected, score, &lot),
            Self::Tightened { rejected, .. } if failed && rejected + 1 == SUSPENDED => {
                Self::Suspended
            }
            Self::Tightened { rejected, .. } if failed => Self::Tightened {
                accepted: 0,
                rejected: rejected + 1,
            },
            Self::Tightened { accepted, .. } if accepted + 1 == ACCEPTED => {
                Self::start(Severity::Normal)
            }
            Self::Tightened { accepted, rejected } => Self::Tightened {
                accepted: accepted + 1,
                rejected,
            },
            Self::Reduced if lot.decision == Decision::Accept => Self::Reduced,
            Self::Reduced | Self::Suspended => Self::start(Severity::Normal),
        }
    }
}

fn after_normal(mut rejected: Vec<bool>, score: u32, lot: &Judged) -> Standing {
    let failed = lot.decision == Decision::Reject;
    rejected.push(failed);
    if rejected.len() > LOOK_BACK {
        rejected.remove(0);
    }
    if rejected.iter().filter(|failed| **failed).count() >= REJECTED {
        return Standing::start(Severity::Tightened);
    }
    let score = match (failed, lot.accept) {
        (true, _) => 0,
        (false, 0 | 1) => score + 2,
        (false, _) if lot.one_step_stricter => score + 3,
        (false, _) => 0,
    };
    Standing::Normal { rejected, score }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lot(severity: Severity, accepted: bool) -> Judged {
        Judged {
            severity,
            decision: match accepted {
                true => Decision::Accept,
                false => Decision::Reject,
            },
            accept: 2,
            one_step_stricter: true,
        }
    }

    fn normal(accepted: bool) -> Judged {
        lot(Severity::Normal, accepted)
    }

    fn tightened(accepted: bool) -> Judged {
        lot(Severity::Tightened, accepted)
    }

    #[test]
    fn two_of_five_rejected_tighten() {
        let four_apart = [false, true, true, true, false].map(normal);
        assert_eq!(Standing::after(four_apart).severity(), Severity::Tightened);
        let five_apart = [false, true, true, true, true, false].map(normal);
        assert_eq!(Standing::after(five_apart).severity(), Severity::Normal);
    }

    #[test]
    fn five_accepted_in_a_row_lead_back_to_normal() {
        let to_tightened = [normal(false), normal(false)];
        let broken = [true, true, true, true, false, true].map(tightened);
        let standing = Standing::after(to_tightened.into_iter().chain(broken));
        assert_eq!(
            standing,
            Standing::Tightened {
                accepted: 1,
                rejected: 1
            }
        );
        let whole = [true; 5].map(tightened);
        let standing = Standing::after(to_tightened.into_iter().chain(whole));
        assert_eq!(standing, Standing::default());
    }

    #[test]
    fn five_rejected_under_tightened_suspend_until_resumed() {
        let history = [normal(false), normal(false)];
        let rejected = [false; 5].map(tightened);
        let suspended = Standing::after(history.into_iter().chain(rejected));
        assert_eq!(suspended, Standing::Suspended);
        assert!(!suspended.allows(Severity::Tightened));
        let resumed = suspended.next(tightened(true));
        assert_eq!(
            resumed,
            Standing::Tightened {
                accepted: 1,
                rejected: 0
            }
        );
    }

    #[test]
    fn reduced_needs_a_score_of_thirty_and_ends_with_the_first_doubt() {
        // Three points a lot where the next stricter AQL would have accepted it too.
        let nine = Standing::after([normal(true); 9]);
        assert!(!nine.allows(Severity::Reduced));
        let ten = nine.next(normal(true));
        assert!(ten.allows(Severity::Reduced));
        let reduced = ten.next(lot(Severity::Reduced, true));
        assert_eq!(reduced, Standing::Reduced);
        let doubt = Judged {
            decision: Decision::AcceptThenNormal,
            ..lot(Severity::Reduced, true)
        };
        assert_eq!(reduced.clone().next(doubt), Standing::default());
        assert_eq!(
            reduced.next(lot(Severity::Reduced, false)),
            Standing::default()
        );
    }

    #[test]
    fn the_score_counts_two_for_small_plans_and_starts_anew_after_a_doubt() {
        let small = Judged {
            accept: 1,
            ..normal(true)
        };
        let doubtful = Judged {
            one_step_stricter: false,
            ..normal(true)
        };
        let score = |lots: &[Judged]| match Standing::after(lots.iter().copied()) {
            Standing::Normal { score, .. } => score,
            other => panic!("{other:?}"),
        };
        assert_eq!(score(&[small, small, normal(true)]), 7);
        assert_eq!(score(&[small, doubtful, small]), 2);
    }
}
