//! The destruction session: begun, step by step, and how it can end.

use std::rc::Rc;

use crate::custody::{
    Act, Container, ContainerId, Declared, Differs, HeldFor, Hold, Known, LeftOut, Member,
    Presence, Seal, SessionAbandoned, SessionBegun, SessionError, SessionId, SessionLog,
    SessionStep, Stage, StepDone, Team, TeamChange, TeamChanged, TeamPart, check_independence,
    check_team, must_be_sealed,
};
use crate::inspect::{Count, Rules};
use crate::people::{PersonId, Stamp};
use crate::quality::{Probability, sampling};

use super::super::entry::Entry;
use super::super::hash::Hash;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{AbandonedSession, Change, State};
use super::{required, steps, taggers};

const TEXT_MAX: usize = 200;

pub fn begun(
    state: &State,
    header: &Header,
    hash: Hash,
    data: &SessionBegun,
) -> Result<Change, Refusal> {
    if let Some(open) = &state.session {
        return Err(SessionError::UnderWay(open.session).into());
    }
    unused(state, data.session)?;
    required("Place", &data.place, TEXT_MAX)?;
    super::listed(data.containers.len())?;
    let declared = declared(state, hash, &data.containers)?;
    let log = SessionLog {
        session: data.session,
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        place: data.place.clone(),
        rules: Rc::clone(&state.rules),
        declared,
        team: team_of(data),
        steps: Vec::new(),
        failed_keys: Vec::new(),
    };
    let team = Team::at(&log, header.by, data.operator, data.witnesses.clone());
    check_team(&team, &known(state, &log))?;
    Ok(Change::new(move |state| state.session = Some(log)))
}

fn unused(state: &State, id: SessionId) -> Result<(), Refusal> {
    match state.knows_session(id) {
        true => Err(Refusal::SessionTaken(id)),
        false => Ok(()),
    }
}

fn declared(
    state: &State,
    hash: Hash,
    containers: &[ContainerId],
) -> Result<Vec<Declared>, Refusal> {
    let mut all: Vec<Declared> = Vec::new();
    for &id in containers {
        if all.iter().any(|one| one.container == id) {
            return Err(crate::custody::DestructionError::ContainerTwice(id).into());
        }
        let container = state.cage.containers.get(&id);
        let seal = must_be_sealed(id, container)?.number;
        let container = state.container(id)?;
        all.push(Declared {
            container: id,
            seal,
            contents: container.contents(),
            drawn: drawn(&state.rules, hash, container),
        });
    }
    Ok(all)
}

/// The pieces to look for, when the rules ask for a sample. The seed is the hash of the line that
/// begins the session, which nobody knows before the containers are named, and the container.
fn drawn(rules: &Rules, hash: Hash, container: &Container) -> Option<Vec<crate::custody::Item>> {
    let Count::Sample {
        missing,
        risk_percent,
    } = rules.count
    else {
        return None;
    };
    let risk = Probability::new("risk", f64::from(risk_percent) / 100.0).ok()?;
    let pieces = container.items.len() as u64;
    let sample = sampling::sample_for(pieces, missing.into(), risk);
    let chosen = sampling::draw(&format!("{hash} {}", container.id), pieces, sample);
    let items = container.items.iter().enumerate();
    let drawn = items.filter(|(place, _)| chosen.binary_search(&(*place as u64)).is_ok());
    Some(drawn.map(|(_, item)| *item).collect())
}

fn team_of(data: &SessionBegun) -> Vec<Member> {
    let witnesses = data.witnesses.iter();
    let witnesses = witnesses.map(|person| (*person, TeamPart::Witness));
    std::iter::once((data.operator, TeamPart::Operator))
        .chain(witnesses)
        .map(|(person, part)| member(person, part, None))
        .collect()
}

fn member(person: PersonId, part: TeamPart, came_before: Option<Stage>) -> Member {
    Member {
        presence: Presence {
            person,
            part,
            came_before,
            left_before: None,
        },
        reason: None,
        came: None,
        left: None,
    }
}

/// What the checks of a session need to know: its own rules, those it began under.
pub(super) fn known<'a>(state: &'a State, log: &SessionLog) -> Known<'a> {
    let containers: Vec<_> = log.declared.iter().map(|one| one.container).collect();
    Known {
        containers: &state.cage.containers,
        people: &state.people,
        scales: &state.scales,
        taggers: taggers(state, &containers),
        witnesses_needed: log.rules.witnesses,
        outside_witness: log.rules.outside_witness,
    }
}

/// The people of a session as they are now, with whoever records the next of it.
pub(super) fn team(log: &SessionLog, by: PersonId) -> Team {
    // A session always has an operator: one is only ever replaced.
    let operator = log.here(TeamPart::Operator).next().unwrap_or(by);
    Team::at(log, by, operator, log.here(TeamPart::Witness).collect())
}

fn under_way(state: &State, id: SessionId) -> Result<&SessionLog, SessionError> {
    let open = state.session.as_ref();
    open.filter(|log| log.session == id)
        .ok_or(SessionError::NotUnderWay(id))
}

pub fn step(state: &State, header: &Header, data: &SessionStep) -> Result<Change, Refusal> {
    let log = under_way(state, data.session)?;
    check_team(&team(log, header.by), &known(state, log))?;
    if data.corrects.is_some() {
        required(
            "Reason",
            data.reason.as_deref().unwrap_or_default(),
            TEXT_MAX,
        )?;
    }
    steps::check(log, data, &state.scales)?;
    let step = StepDone {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        done: data.done.clone(),
        reason: data.reason.clone(),
    };
    Ok(change(move |log| log.steps.push(step)))
}

/// Changes the session that is under way.
fn change(change: impl FnOnce(&mut SessionLog) + 'static) -> Change {
    Change::new(move |state| {
        if let Some(log) = &mut state.session {
            change(log);
        }
    })
}

pub fn team_changed(state: &State, header: &Header, data: &TeamChanged) -> Result<Change, Refusal> {
    let log = under_way(state, data.session)?;
    let mut new = log.clone();
    match &data.change {
        TeamChange::WitnessLeft {
            witness,
            instead,
            reason,
        } => {
            required("Reason", reason, TEXT_MAX)?;
            leave(&mut new, TeamPart::Witness, *witness, reason, header)?;
            if let Some(instead) = instead {
                if instead == witness {
                    return Err(SessionError::HereAlready(*instead).into());
                }
                come(&mut new, TeamPart::Witness, *instead, header)?;
            }
        }
        TeamChange::WitnessCame { witness } => come(&mut new, TeamPart::Witness, *witness, header)?,
        TeamChange::OperatorReplaced { instead, reason } => {
            required("Reason", reason, TEXT_MAX)?;
            let operator: Vec<_> = log.here(TeamPart::Operator).collect();
            if operator.contains(instead) {
                return Err(SessionError::HereAlready(*instead).into());
            }
            for person in operator {
                leave(&mut new, TeamPart::Operator, person, reason, header)?;
            }
            come(&mut new, TeamPart::Operator, *instead, header)?;
        }
    }
    check_independence(&team(&new, header.by), &known(state, log))?;
    Ok(change(move |log| log.team = new.team))
}

fn leave(
    log: &mut SessionLog,
    part: TeamPart,
    person: PersonId,
    reason: &str,
    header: &Header,
) -> Result<(), SessionError> {
    let next = log.next();
    let mut here = log
        .team
        .iter_mut()
        .filter(|one| one.presence.part == part && one.presence.left_before.is_none());
    let member = here.find(|one| one.presence.person == person);
    let member = member.ok_or(SessionError::NotAWitness(person))?;
    member.presence.left_before = Some(next);
    member.reason = Some(reason.to_owned());
    member.left = Some((header.seq, header.at.clone()));
    Ok(())
}

fn come(
    log: &mut SessionLog,
    part: TeamPart,
    person: PersonId,
    header: &Header,
) -> Result<(), SessionError> {
    if log.here(part).any(|here| here == person) {
        return Err(SessionError::HereAlready(person));
    }
    let next = log.next();
    log.team.push(Member {
        came: Some((header.seq, header.at.clone())),
        ..member(person, part, Some(next))
    });
    Ok(())
}

pub fn abandoned(
    state: &State,
    header: &Header,
    data: &SessionAbandoned,
) -> Result<Change, Refusal> {
    let log = under_way(state, data.session)?;
    if log.is_past_return() {
        return Err(SessionError::CannotAbandon.into());
    }
    required("Reason", &data.reason, TEXT_MAX)?;
    let act = super::cage::act(header);
    let (seq, by, at) = (header.seq, header.by, header.at.clone());
    let reason = data.reason.clone();
    Ok(Change::new(move |state| {
        let log = state.session.take();
        if let Some(log) = &log {
            hold_back(state, log, &act);
            hold_opened(state, log, &act);
        }
        state.abandoned.extend(log.map(|log| AbandonedSession {
            seq,
            by,
            at,
            reason,
            log,
        }));
    }))
}

/// What differed is held until it is counted again by two and explained.
pub(super) fn hold_back(state: &mut State, log: &SessionLog, act: &Act) {
    for LeftOut { container, why } in log.left_out() {
        let session = log.session;
        let why = match why {
            Differs::OtherSeal { found } => HeldFor::OtherSeal(found),
            other => HeldFor::Said(format!("{other}, session {session}")),
        };
        put_on_hold(state, container, why, act);
    }
}

/// A session that is given up after the count leaves containers with broken seals behind.
fn hold_opened(state: &mut State, log: &SessionLog, act: &Act) {
    if log.latest(Stage::Count).is_none() {
        return;
    }
    for container in log.fit(Stage::Weigh) {
        let session = log.session;
        let why = format!("it was opened in session {session}, which was abandoned");
        put_on_hold(state, container, HeldFor::Said(why), act);
    }
}

fn put_on_hold(state: &mut State, id: ContainerId, why: HeldFor, act: &Act) {
    if let Some(container) = state.cage.containers.get_mut(&id)
        && let Seal::Sealed(sealing) = &container.seal
    {
        let hold = Hold {
            why,
            act: act.clone(),
            recounts: Vec::new(),
        };
        container.seal = Seal::Held(sealing.clone(), hold);
    }
}

/// While a container is in a session, only the session says what is found of it.
pub(super) fn apart(state: &State, entry: &Entry) -> Result<(), Refusal> {
    let container = match entry {
        Entry::SealChecked(data) => data.container,
        Entry::ContainerHeld(data) => data.container,
        Entry::SealingCorrected(data) => data.container,
        _ => return Ok(()),
    };
    match &state.session {
        Some(log) if log.declared(container).is_some() => {
            let session = log.session;
            Err(SessionError::InSession { container, session }.into())
        }
        _ => Ok(()),
    }
}

/// A key that is locked, seen by whoever is signed in.
pub fn passphrase_failed(
    state: &State,
    header: &Header,
    person: PersonId,
    tries: u32,
) -> Result<Change, Refusal> {
    state.person(person)?;
    if tries < super::super::entry::WRONG_TRIES {
        return Err(SessionError::TooFewTries(tries).into());
    }
    let at: Stamp = header.at.clone();
    Ok(Change::new(move |state| {
        state.failed_keys.insert(person, at.clone());
        if let Some(log) = &mut state.session {
            log.failed_keys.push((person, at));
        }
    }))
}
