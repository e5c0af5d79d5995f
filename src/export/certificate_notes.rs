//! What a certificate says besides of a session: how it was counted, containers left out, who was
//! there, what was recorded when, and how often it was begun before.

use serde::Serialize;

use crate::book::{SessionRecord, State};
use crate::custody::{ContainerId, LeftOut, Member, Presence, WeighVerdict};
use crate::people::{PersonId, Stamp};

use super::certificate::CertifiedContainer;
use super::certificate_steps::in_words;

/// A container that was called for and is not destroyed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedLeftOut {
    pub container: ContainerId,
    /// How it differed, as a part of a sentence.
    pub why: String,
}

/// Somebody who was not there all the time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedPresence {
    pub person: PersonId,
    pub name: String,
    pub part: &'static str,
    /// From and to which step, like "left before the residue".
    pub was_there: String,
    /// When, and by which entries, like "left 04:27:42 (entry 31)": a step may be recorded anew
    /// after somebody left before it. A certificate in the form before has none.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub moments: String,
    /// Why they left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// A session over any of the same containers that was begun before and abandoned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedAbandoned {
    /// With the entry that ends it, and why.
    pub session: String,
    /// Printed name of who abandoned it.
    pub by: String,
}

pub(super) fn left_out(one: &LeftOut) -> CertifiedLeftOut {
    CertifiedLeftOut {
        container: one.container,
        why: one.why.says(),
    }
}

pub(super) fn presence(state: &State, session: &SessionRecord) -> Vec<CertifiedPresence> {
    let all = session.record.presence.iter();
    all.map(|one| CertifiedPresence {
        person: one.person,
        name: state.name_of(one.person),
        part: one.part.name(),
        was_there: one.to_string(),
        moments: member(session, one).map_or_else(String::new, moments),
        reason: member(session, one).and_then(|member| member.reason.clone()),
    })
    .collect()
}

fn member<'a>(session: &'a SessionRecord, presence: &Presence) -> Option<&'a Member> {
    let mut team = session.log.iter().flat_map(|log| &log.team);
    team.find(|member| member.presence == *presence)
}

fn moments(member: &Member) -> String {
    let at = |what, moment: &Option<(u64, Stamp)>| {
        let moment = moment.as_ref();
        moment.map(|(seq, at)| format!("{what} {} (entry {seq})", at.clock()))
    };
    let both = [at("came", &member.came), at("left", &member.left)];
    both.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

pub(super) fn begun_before(state: &State, session: &SessionRecord) -> Vec<CertifiedAbandoned> {
    let before = state.begun_before(session.seq, &session.called_for());
    let before = before.into_iter();
    before
        .map(|one| CertifiedAbandoned {
            session: one.says(),
            by: state.name_of(one.by),
        })
        .collect()
}

/// A text of people as the end of a sentence.
fn ended(text: &str) -> &str {
    text.trim().trim_end_matches('.')
}

impl super::Certificate {
    /// The same as sentences, one for each, for print.
    pub fn notes(&self) -> Vec<String> {
        let mut notes = self.counted();
        notes.extend(self.scales());
        notes.extend(self.off());
        let left_out = self.left_out.iter();
        notes.extend(left_out.map(|one| {
            format!(
                "Container {} was left out and is not destroyed: {}.",
                one.container, one.why
            )
        }));
        notes.extend(self.there());
        let locked = self.locked_keys.iter();
        notes.extend(locked.map(|one| {
            format!(
                "{} gave a wrong passphrase three times at {}.",
                one.name,
                one.at.clock()
            )
        }));
        let before = self.begun_before.iter();
        notes.extend(before.map(|one| {
            let session = ended(&one.session);
            format!(
                "Begun before with any of these containers: session {session} ({}).",
                one.by
            )
        }));
        if !self.steps.is_empty() {
            notes.push(format!("Recorded step by step: {}.", in_words(&self.steps)));
        }
        notes
    }

    /// How each container was counted.
    fn counted(&self) -> Vec<String> {
        if self.containers.iter().all(|one| one.sampled.is_none()) {
            return vec![
                "In every container destroyed each piece was counted, and the counts agree."
                    .to_owned(),
            ];
        }
        let each = self.containers.iter().map(|one| {
            let says = one.sampled.as_deref().unwrap_or("every piece was counted");
            format!("Container {}: {says}.", one.container)
        });
        each.collect()
    }

    /// Each container whose mass was not that of its count.
    fn off(&self) -> Vec<String> {
        let off = self
            .containers
            .iter()
            .filter(|one| one.weigh_check.verdict == WeighVerdict::Differs.name());
        let says = |one: &CertifiedContainer| {
            let by = one.weigh_check.difference as f64 / 1000.0;
            let band = one.weigh_check.expanded;
            let band = band.map_or_else(String::new, |band| format!(" (± {band})"));
            let why = one
                .off_because
                .as_deref()
                .map_or("no reason is on record", ended);
            format!(
                "Container {} differs in mass from its count by {by:+.1} g{band}: {why}.",
                one.container
            )
        };
        off.map(says).collect()
    }

    /// Each scale with its calibration, and what was weighed on it.
    fn scales(&self) -> Vec<String> {
        let mut scales: Vec<(String, Vec<String>)> = Vec::new();
        for one in &self.containers {
            let Some(scale) = &one.weigh_check.scale else {
                continue;
            };
            let overdue = match one.weigh_check.overdue {
                true => ", which was too old",
                false => "",
            };
            let (id, calibrated) = (scale.scale, scale.calibrated);
            let says = format!("scale {id}, calibrated {calibrated}{overdue}");
            match scales.iter_mut().find(|(known, _)| *known == says) {
                Some((_, containers)) => containers.push(one.container.to_string()),
                None => scales.push((says, vec![one.container.to_string()])),
            }
        }
        let says = |(says, containers): (String, Vec<String>)| match containers.len()
            == self.containers.len()
        {
            true => format!("Weighed on {says}."),
            false => format!("Weighed on {says}: {}.", containers.join(", ")),
        };
        scales.into_iter().map(says).collect()
    }

    /// Who was there when.
    fn there(&self) -> Vec<String> {
        let moved = self.presence.iter().map(|one| {
            let why = one.reason.as_deref().map(ended);
            let why = why.map_or_else(String::new, |why| format!(" ({why})"));
            let signs = self
                .persons
                .iter()
                .any(|person| person.person == one.person);
            let unsigned = if signs { "" } else { ", and signed nothing" };
            let moments = match one.moments.is_empty() {
                true => String::new(),
                false => format!("; {}", one.moments),
            };
            format!(
                "{}, {}, {}{why}{unsigned}{moments}.",
                one.name, one.part, one.was_there
            )
        });
        let rest = match (self.steps.is_empty(), self.presence.is_empty()) {
            (true, _) => None,
            (false, true) => Some("No operator or witness is recorded as leaving."),
            (false, false) => Some("Nobody else is recorded as leaving."),
        };
        moved.chain(rest.map(str::to_owned)).collect()
    }
}
