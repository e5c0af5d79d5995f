//! The rows of a day record about mass: the weigh check of each destroyed container, and residue
//! sent.

use serde::Serialize;

use crate::book::{ResidueRecord, SessionRecord, State, WeighCheck};
use crate::custody::{ContainerId, Found, Mass, SessionId};
use crate::people::Day;

/// The weighing of a container destroyed on the day. Masses in milligrams.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeighingRow {
    pub session: SessionId,
    pub container: ContainerId,
    pub scale: Option<String>,
    pub net_mg: u64,
    pub expected_mg: u64,
    pub difference_mg: i64,
    /// Expanded uncertainty, coverage 2; absent when it is not known.
    pub expanded_mg: Option<u64>,
    pub verdict: &'static str,
    /// The fewest missing notes, and sheets, that it could show.
    pub missing_notes: Option<u64>,
    pub missing_sheets: Option<u64>,
}

/// Residue whose sending was recorded on the day. Masses in milligrams.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ResidueRow {
    pub receipt: String,
    pub destination: String,
    pub date: Day,
    pub sessions: Vec<SessionId>,
    pub paper_mg: u64,
    pub sent_mg: u64,
    pub difference_mg: i64,
    pub tolerance_mg: Option<u64>,
    pub result: &'static str,
    pub entry: u64,
}

pub(super) fn weighing_rows(state: &State, day: Day) -> Vec<WeighingRow> {
    let of_day = state.sessions.iter().filter(|session| session.day == day);
    let row = |session: &SessionRecord, (found, check): (&Found, &WeighCheck)| {
        let net = found.gross.less(found.tare).unwrap_or_default();
        let expected = &check.expected;
        let budget = expected.budget.as_ref().ok();
        WeighingRow {
            session: session.record.session,
            container: found.container,
            scale: found.scale.map(|scale| scale.to_string()),
            net_mg: net.milligrams(),
            expected_mg: expected.mass.milligrams(),
            difference_mg: expected.difference(net),
            expanded_mg: expected.expanded().map(Mass::milligrams),
            verdict: expected.judge(net).name(),
            missing_notes: budget.and_then(|budget| budget.missing_notes),
            missing_sheets: budget.and_then(|budget| budget.missing_sheets),
        }
    };
    of_day
        .flat_map(|session| {
            let found = session.as_corrected().containers.iter();
            let found = found.zip(&session.weighed);
            found.map(move |pair| row(session, pair))
        })
        .collect()
}

pub(super) fn residue_rows(state: &State, day: Day) -> Vec<ResidueRow> {
    let of_day = state.residue.iter().filter(|sent| sent.day == day);
    of_day.map(residue_row).collect()
}

fn residue_row(sent: &ResidueRecord) -> ResidueRow {
    let balance = sent.balance;
    ResidueRow {
        receipt: sent.data.receipt.clone(),
        destination: sent.data.destination.clone(),
        date: sent.data.date,
        sessions: sent.data.sessions.clone(),
        paper_mg: balance.paper.milligrams(),
        sent_mg: balance.sent.milligrams(),
        difference_mg: balance.difference(),
        tolerance_mg: balance.tolerance.map(Mass::milligrams),
        result: balance.result(),
        entry: sent.seq,
    }
}
