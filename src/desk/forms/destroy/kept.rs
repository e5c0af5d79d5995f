//! What is typed at the open step, as it is kept over a reload.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::book::State;
use crate::custody::{ContainerId, SessionId, Stage};
use crate::people::PersonId;

use super::{DestructionDraft, OFF_BECAUSE, Progress, progress};
use crate::desk::forms::Typed;

/// Every field of the steps; text under another name is not taken up.
const FIELDS: [&str; 25] = [
    "session",
    "place",
    "operator",
    "machine",
    "method",
    "class",
    "started",
    "ended",
    "particle",
    "particles-measured",
    "particles-above",
    "remarks",
    "why-anew",
    "found-seal",
    "not-found",
    "seal-broken",
    "found-sheets",
    "found-notes",
    "found-pieces",
    "compared",
    "differs",
    "found-gross",
    "found-tare",
    "found-scale",
    OFF_BECAUSE,
];

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    /// How far the session had come when it was typed.
    progress: Option<Progress>,
    at_containers: bool,
    anew: Option<Stage>,
    session: BTreeMap<String, String>,
    witnesses: Vec<PersonId>,
    found: BTreeMap<ContainerId, BTreeMap<String, String>>,
    done: Option<SessionId>,
}

fn texts(typed: &Typed) -> BTreeMap<String, String> {
    let filled = typed.filled();
    filled
        .map(|field| (field.to_owned(), typed.get(field).to_owned()))
        .collect()
}

fn typed(texts: &BTreeMap<String, String>) -> Typed {
    let mut typed = Typed::default();
    for field in FIELDS {
        if let Some(text) = texts.get(field) {
            typed.set(field, text.clone());
        }
    }
    typed
}

impl DestructionDraft {
    /// As text for the store; nothing when there is nothing to keep.
    pub fn kept(&self, state: &State) -> Option<String> {
        if *self == Self::default() {
            return None;
        }
        let found = self.found.iter();
        let kept = Kept {
            progress: progress(state),
            at_containers: self.at_containers,
            anew: self.anew,
            session: texts(&self.session),
            witnesses: self.witnesses.clone(),
            found: found.map(|(id, typed)| (*id, texts(typed))).collect(),
            done: self.done,
        };
        // Maps of texts always become JSON.
        serde_json::to_string(&kept).ok()
    }

    /// Takes up what was kept, if the session has not come further since.
    pub fn take_up(text: &str, state: &State) -> Self {
        let Ok(kept) = serde_json::from_str::<Kept>(text) else {
            return Self::default();
        };
        if kept.progress != progress(state) {
            return Self::default();
        }
        let found = kept.found.iter();
        Self {
            at_containers: kept.at_containers,
            anew: kept.anew,
            session: typed(&kept.session),
            witnesses: kept.witnesses,
            found: found.map(|(id, texts)| (*id, typed(texts))).collect(),
            done: kept.done,
        }
    }
}
