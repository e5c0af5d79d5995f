//! Scales and paper for the weigh check, and residue that leaves the works.

use crate::custody::{ResidueError, ResidueSent, Scale};

use super::super::entry::PaperSet;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, SessionRecord, State};
use super::super::weighing::ResidueRecord;

pub fn scale_set(header: &Header, data: &Scale) -> Result<Change, Refusal> {
    data.check(header.at.local_day())?;
    let scale = data.clone();
    Ok(Change::new(move |state| {
        state.scales.insert(scale.scale, scale);
    }))
}

pub fn paper_set(state: &State, data: &PaperSet) -> Result<Change, Refusal> {
    state.product(data.product)?;
    data.paper.check()?;
    let (product, paper) = (data.product, data.paper);
    Ok(Change::new(move |state| {
        state.papers.insert(product, paper);
    }))
}

pub fn residue_sent(state: &State, header: &Header, data: &ResidueSent) -> Result<Change, Refusal> {
    data.check(header.at.local_day())?;
    let sessions = unsent(state, data)?;
    if let Some(entry) = used_in(state, data) {
        return Err(ResidueError::ReceiptUsed {
            receipt: data.receipt.clone(),
            destination: data.destination.clone(),
            entry,
        }
        .into());
    }
    let record = ResidueRecord {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        day: state.day_of(&header.at),
        balance: state.balance_of(&sessions, data.mass),
        data: data.clone(),
    };
    Ok(Change::new(move |state| state.residue.push(record)))
}

/// The entry in which the same receipt of the same taker was recorded.
fn used_in(state: &State, data: &ResidueSent) -> Option<u64> {
    let here = state.residue.iter();
    let here = here.map(|one| (&one.data.destination, &one.data.receipt, one.seq));
    let before = state.archive.receipts.iter();
    let before = before.map(|one| (&one.destination, &one.receipt, one.entry));
    let mut earlier = before.chain(here);
    let same = earlier.find(|(to, number, _)| **to == data.destination && **number == data.receipt);
    same.map(|(_, _, entry)| entry)
}

/// The sessions that are named: all known, none sent before, each over by the day of sending.
fn unsent<'a>(
    state: &'a State,
    data: &ResidueSent,
) -> Result<Vec<&'a SessionRecord>, ResidueError> {
    let find = |id| {
        let mut sessions = state.sessions.iter();
        let session = sessions.find(|session| session.record.session == id);
        let session = session.ok_or(ResidueError::UnknownSession(id))?;
        if let Some(sent) = state.residue_of(id) {
            return Err(ResidueError::SentBefore {
                session: id,
                receipt: sent.data.receipt.clone(),
                entry: sent.seq,
            });
        }
        let ended = session.as_corrected().ended.local_day();
        match ended > data.date {
            true => Err(ResidueError::BeforeSession {
                session: id,
                ended,
                date: data.date,
            }),
            false => Ok(session),
        }
    };
    data.sessions.iter().copied().map(find).collect()
}
