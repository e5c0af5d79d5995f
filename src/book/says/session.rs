//! What a line says of a destruction session.

use crate::custody::{
    Done, Fact, SessionBegun, SessionCorrected, SessionStep, TeamChange, TeamChanged,
};
use crate::sheet::grouped;

use super::super::state::State;
use super::before::before;
use super::{few, phrase, some};

pub fn begun(data: &SessionBegun, state: &State) -> String {
    let containers = few(data.containers.iter().map(ToString::to_string));
    let witnesses = few(data.witnesses.iter().map(|id| state.name_of(*id)));
    let (session, place) = (data.session, &data.place);
    format!("Session {session} begins at {place} over {containers}, before {witnesses}.")
}

pub fn step(data: &SessionStep) -> String {
    let containers = data.done.containers();
    let over = match containers.len() {
        0 => String::new(),
        count => format!(" of {}", some(count, "container", "containers")),
    };
    let what = data.done.stage().name();
    let found = match &data.done {
        Done::Seals(list) => {
            let gone = list.iter().filter(|one| one.seal.is_none()).count();
            (gone > 0).then(|| format!("{} not found", grouped(gone as u64)))
        }
        Done::Start(run) => Some(format!("{} by {}", run.machine, run.method.name())),
        _ => None,
    };
    let found = found.map_or_else(String::new, |found| format!(", {found}"));
    let anew = match (&data.corrects, &data.reason) {
        (Some(entry), Some(why)) => {
            format!(
                ", anew instead of entry {}: {}",
                grouped(*entry),
                phrase(why)
            )
        }
        _ => String::new(),
    };
    format!("Session {}: {what}{over}{found}{anew}.", data.session)
}

pub fn team(data: &TeamChanged, state: &State) -> String {
    let name = |id| state.name_of(id);
    let what = match &data.change {
        TeamChange::WitnessLeft {
            witness,
            instead,
            reason,
        } => {
            let next = match instead {
                Some(instead) => format!("; {} takes the place", name(*instead)),
                None => "; the session waits for another".to_owned(),
            };
            format!(
                "witness {} leaves, {}{next}",
                name(*witness),
                phrase(reason)
            )
        }
        TeamChange::WitnessCame { witness } => format!("witness {} comes", name(*witness)),
        TeamChange::OperatorReplaced { instead, reason } => {
            format!(
                "{} works the machine now, {}",
                name(*instead),
                phrase(reason)
            )
        }
    };
    format!("Session {}: {what}.", data.session)
}

pub fn corrected(data: &SessionCorrected, seq: u64, state: &State) -> String {
    let (session, fact, now) = (data.session, data.fact.name(), fact_words(&data.fact));
    let (why, second) = (phrase(&data.reason), state.name_of(data.second));
    let mut corrections = state.sessions.iter().flat_map(|one| &one.corrections);
    let was = corrections.find(|one| one.seq == seq);
    let was = before(was.map(|one| fact_words(&one.was)));
    format!("Session {session}, corrected: {fact} is {now}{was}, {why}; second person {second}.")
}

/// A fact as screens write it: moments to the second, since seconds may be what was wrong.
pub fn fact_words(fact: &Fact) -> String {
    match fact {
        Fact::Started(at) | Fact::Ended(at) => at.dated_to_the_second(),
        other => other.to_string(),
    }
}
