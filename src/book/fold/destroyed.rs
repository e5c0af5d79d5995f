//! The record of a whole destruction, and what was mistyped in it.

use crate::account::{Amended, Amendment};
use crate::custody::{
    ContainerId, Destruction, Known, Seal, SessionCorrected, SessionError, SessionLog, Team, check,
    corrected,
};
use crate::people::Duty;

use super::super::cage::Place;
use super::super::entry::Entry;
use super::super::hash::Hash;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, SessionCorrection, SessionRecord, State};
use super::super::statement::statement;
use super::super::weighing::weighed;
use super::{may, required, session, steps, taggers};

pub fn destroyed(
    state: &State,
    header: &Header,
    hash: Hash,
    data: &Destruction,
) -> Result<Change, Refusal> {
    if state.knows_session(data.session) {
        return Err(Refusal::SessionTaken(data.session));
    }
    let containers: Vec<ContainerId> = data
        .containers
        .iter()
        .map(|found| found.container)
        .collect();
    let log = log_of(state, header, data)?;
    let entry = Entry::SpoilsDestroyed(data.clone());
    let day = state.day_of(&header.at);
    let recorded = SessionRecord {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        day,
        began_on: state.day_of(&data.started),
        hash,
        prev: header.prev,
        statement: statement(state, header.prev, header.by, &entry),
        record: data.clone(),
        weighed: weighed(state, &header.at, data),
        log,
        corrections: Vec::new(),
    };
    let act = super::cage::act(header);
    Ok(Change::new(move |state| {
        if let Some(log) = state.session.take() {
            session::hold_back(state, &log, &act);
        }
        let totals = state.days.entry(day).or_default();
        totals.sessions += 1;
        for found in &recorded.record.containers {
            totals.sheets_destroyed += u64::from(found.sheets);
            totals.notes_destroyed += u64::from(found.notes);
        }
        for id in containers {
            empty_for_ever(state, id, &recorded);
        }
        state.sessions.push(recorded);
    }))
}

/// The steps that the record agrees with. Lines written before sessions were begun have none, and
/// are checked by themselves; once a book has begun one, every session is.
fn log_of(
    state: &State,
    header: &Header,
    data: &Destruction,
) -> Result<Option<SessionLog>, Refusal> {
    if let Some(log) = &state.session {
        if log.session != data.session {
            return Err(SessionError::UnderWay(log.session).into());
        }
        steps::agrees(log, data)?;
        check(
            data,
            &session::team(log, header.by),
            &session::known(state, log),
        )?;
        return Ok(Some(log.clone()));
    }
    let sampled = data.containers.iter().any(|found| found.sample.is_some());
    let of_steps = sampled || !data.left_out.is_empty() || !data.presence.is_empty();
    if state.begins_sessions() || of_steps {
        return Err(SessionError::NotBegun(data.session).into());
    }
    let team = Team::of(data);
    let known = Known {
        containers: &state.cage.containers,
        people: &state.people,
        scales: &state.scales,
        taggers: taggers(state, &team.containers),
        witnesses_needed: state.rules.witnesses,
        outside_witness: state.rules.outside_witness,
    };
    check(data, &team, &known)?;
    Ok(None)
}

fn empty_for_ever(state: &mut State, id: ContainerId, session: &SessionRecord) {
    let Some(container) = state.cage.containers.get_mut(&id) else {
        return;
    };
    let session = session.record.session;
    if let Some(sealing) = container.sealing().cloned() {
        container.seal = Seal::Destroyed { sealing, session };
    }
    for item in &container.items {
        state.cage.spoils.insert(*item, Place::Destroyed(session));
    }
}

pub fn corrects(
    state: &State,
    header: &Header,
    data: &SessionCorrected,
) -> Result<Change, Refusal> {
    let mut sessions = state.sessions.iter();
    let at = sessions.position(|one| one.record.session == data.session);
    let at = at.ok_or(SessionError::NotDone(data.session))?;
    required("Reason", &data.reason, 200)?;
    if data.second == header.by {
        return Err(Refusal::SamePerson(data.second));
    }
    may(state, data.second, Duty::LeadDestruction)?;
    let known = &state.sessions[at];
    let (record, was) = corrected::<Refusal>(known.as_corrected(), &data.fact)?;
    let made = Amendment {
        entry: header.seq,
        what: Amended::Session {
            session: data.session,
            before: was.clone(),
            after: data.fact.clone(),
        },
        amends: known.corrections.last().map_or(known.seq, |last| last.seq),
        reason: data.reason.trim().to_owned(),
        by: header.by,
        second: Some(data.second),
        at: header.at.clone(),
    };
    let day = state.day_of(&header.at);
    let correction = SessionCorrection {
        seq: header.seq,
        by: header.by,
        second: data.second,
        at: header.at.clone(),
        reason: data.reason.clone(),
        was,
        now: data.fact.clone(),
        record,
    };
    Ok(Change::new(move |state| {
        state.sessions[at].corrections.push(correction);
        state.days.entry(day).or_default().amendments.push(made);
    }))
}
