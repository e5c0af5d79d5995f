//! What each step of a session must satisfy, and whether the record of the whole agrees with them.

use std::collections::BTreeMap;

use crate::custody::{
    ContainerId, Destruction, DestructionError, Done, Scale, ScaleId, SessionError, SessionLog,
    SessionStep, Stage, check_off, check_residue, check_scale, check_started, is_counted_right,
};

use super::super::refusal::Refusal;

/// The registered scales.
type Scales = BTreeMap<ScaleId, Scale>;

/// Checks that a step may be recorded now, and that what it says can be so.
pub fn check(log: &SessionLog, data: &SessionStep, scales: &Scales) -> Result<(), Refusal> {
    let (stage, next) = (data.done.stage(), log.next());
    if stage > next {
        let given = stage;
        return Err(SessionError::OutOfOrder { given, next }.into());
    }
    match (log.latest(stage), data.corrects) {
        (None, None) => {}
        (None, Some(corrects)) => return Err(SessionError::NothingToCorrect { corrects }.into()),
        (Some(known), None) => {
            let seq = known.seq;
            return Err(SessionError::Recorded { stage, seq }.into());
        }
        (Some(known), Some(corrects)) if known.seq != corrects => {
            return Err(SessionError::NothingToCorrect { corrects }.into());
        }
        (Some(_), Some(_)) if stage < Stage::Start && log.is_past_return() => {
            return Err(SessionError::TooLate(stage).into());
        }
        (Some(_), Some(_)) => {}
    }
    check_done(log, &data.done, scales)
}

fn check_done(log: &SessionLog, done: &Done, scales: &Scales) -> Result<(), Refusal> {
    match done {
        Done::Seals(_) => all_named(log, done)?,
        Done::Count(list) => {
            all_named(log, done)?;
            for one in list {
                let declared = log.declared(one.container);
                if !declared.is_some_and(|declared| is_counted_right(one, declared)) {
                    return Err(SessionError::CountedOtherwise(one.container).into());
                }
            }
        }
        Done::Weigh(list) => {
            all_named(log, done)?;
            if let Some(light) = list.iter().find(|one| one.gross < one.tare) {
                return Err(DestructionError::BelowTare(light.container).into());
            }
            for one in list {
                check_scale(one.container, one.scale, scales)?;
                check_off(one.off_because.as_deref())?;
            }
        }
        Done::Start(run) => {
            if log.fit(Stage::Start).is_empty() {
                return Err(SessionError::NothingLeft.into());
            }
            check_started(run)?;
            if log.ended().is_some_and(|ended| *ended <= run.started) {
                return Err(DestructionError::EndBeforeStart.into());
            }
        }
        Done::End(end) => {
            if log.started().is_none_or(|run| end.ended <= run.started) {
                return Err(DestructionError::EndBeforeStart.into());
            }
        }
        Done::Residue(residue) => {
            crate::custody::check_remarks(&residue.remarks)?;
            if let Some(run) = log.started() {
                let largest = residue.largest_particle_mm2;
                check_residue(run.method, run.particle_class, largest, residue.sample)?;
            }
        }
    }
    Ok(())
}

/// A step deals with exactly the containers that are left.
fn all_named(log: &SessionLog, done: &Done) -> Result<(), Refusal> {
    let (fit, dealt) = (log.fit(done.stage()), done.containers());
    if fit.is_empty() {
        return Err(SessionError::NothingLeft.into());
    }
    for (at, id) in dealt.iter().enumerate() {
        if !fit.contains(id) {
            return Err(SessionError::NotHere(*id).into());
        }
        if dealt[..at].contains(id) {
            return Err(DestructionError::ContainerTwice(*id).into());
        }
    }
    let missing = fit.iter().find(|id: &&ContainerId| !dealt.contains(id));
    match missing {
        Some(id) => Err(SessionError::Missing(*id).into()),
        None => Ok(()),
    }
}

/// Checks the record of the whole against the steps: it says what they say, and nothing else.
pub fn agrees(log: &SessionLog, data: &Destruction) -> Result<(), SessionError> {
    let next = log.next();
    let Some(steps) = log.record(data.statement.clone()) else {
        let given = Stage::Statement;
        return Err(SessionError::OutOfOrder { given, next });
    };
    let differs = [
        ("Place", steps.place != data.place),
        ("Machine", steps.machine != data.machine),
        ("Method", steps.method != data.method),
        (
            "Particle class",
            steps.particle_class != data.particle_class,
        ),
        ("Containers", steps.containers != data.containers),
        ("Operator", steps.operator != data.operator),
        ("Witnesses", steps.witnesses != data.witnesses),
        ("Start", steps.started != data.started),
        ("End", steps.ended != data.ended),
        (
            "Largest particle",
            steps.largest_particle_mm2 != data.largest_particle_mm2,
        ),
        ("Residue sample", steps.sample != data.sample),
        ("Remarks", steps.remarks != data.remarks),
        ("What was left out", steps.left_out != data.left_out),
        ("Who was there", steps.presence != data.presence),
    ];
    match differs.into_iter().find(|(_, differs)| *differs) {
        Some((what, _)) => Err(SessionError::NotAsRecorded(what)),
        None => Ok(()),
    }
}
