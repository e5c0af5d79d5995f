//! The sentences about containers in doubt, corrections in the cage, and spoils that are gone.

use crate::custody::ResidueSent;

use super::super::entry::*;
use super::super::shelf::Book;
use super::super::state::State;
use super::before::{self, before};
use super::{few, phrase, some};

pub(super) fn moved(data: &ContainerMoved) -> String {
    format!("Container {} stands at {}.", data.container, data.place)
}

pub(super) fn retired(data: &ContainerRetired) -> String {
    let (container, why) = (data.container, phrase(&data.reason));
    format!("Container {container}, empty, is retired: {why}.")
}

/// Whether it holds the container follows from the lines before.
pub(super) fn checked(data: &SealChecked) -> String {
    let container = data.container;
    match (data.found, data.broken) {
        (None, false) => format!("No seal was found on container {container}."),
        (None, true) => {
            format!("The seal on container {container} was found broken and could not be read.")
        }
        (Some(found), true) => format!("Seal {found} on container {container} was found broken."),
        (Some(found), false) => format!("Seal {found} was found whole on container {container}."),
    }
}

pub(super) fn held(data: &ContainerHeld) -> String {
    let (container, why) = (data.container, phrase(&data.reason));
    format!("Container {container} is held: {why}.")
}

pub(super) fn recounted(data: &ContainerRecounted, state: &State) -> String {
    let (sheets, notes) = (
        some(data.sheets, "sheet", "sheets"),
        some(data.notes, "note", "notes"),
    );
    let (container, second) = (data.container, state.name_of(data.second));
    let why = phrase(&data.explanation);
    let missing = listed("missing", &data.missing);
    let found = listed("found besides", &data.found);
    format!(
        "Container {container} is counted again with {second}: {sheets} and {notes}{missing}{found}. {why}."
    )
}

fn listed(what: &str, pieces: &Pieces) -> String {
    if pieces.is_empty() {
        return String::new();
    }
    format!("; {what}: {}", names(pieces))
}

fn names(pieces: &Pieces) -> String {
    few(pieces.items().iter().map(ToString::to_string))
}

pub(super) fn resealed(data: &ContainerResealed, state: &State) -> String {
    let (container, seal) = (data.container, data.seal);
    let second = state.name_of(data.second);
    format!("Container {container} is sealed anew with {seal}, second person {second}.")
}

pub(super) fn filling_corrected(data: &FillingCorrected) -> String {
    let (pieces, from) = (names(&data.pieces), data.container);
    let (entry, why) = (data.corrects, phrase(&data.reason));
    let to = match data.to {
        Some(to) => format!("moved from container {from} to {to}"),
        None => format!("taken out of container {from}"),
    };
    format!("Corrects entry {entry}: {pieces} {to}: {why}.")
}

pub(super) fn sealing_corrected(data: &SealingCorrected, book: &Book) -> String {
    let (container, entry) = (data.container, data.corrects);
    let (second, why) = (book.state().name_of(data.second), phrase(&data.reason));
    let weighed = data.weighed.map(|weighed| {
        let tare = weighed.tare.map(|tare| format!(", tare {tare}"));
        let scale = weighed.scale.map(|scale| format!(", on {scale}"));
        let or = |part: Option<String>, none: &str| part.unwrap_or_else(|| none.to_owned());
        or(tare, ", no tare") + &or(scale, ", on no named scale")
    });
    let now = before::sealed(data.seal, data.gross) + &weighed.unwrap_or_default();
    let was = before(before::sealing(book, entry));
    format!(
        "Corrects entry {entry}: container {container} has {now}{was}; second person {second}: {why}."
    )
}

pub(super) fn lost(data: &SpoilsLost, state: &State) -> String {
    let (pieces, second) = (names(&data.pieces), state.name_of(data.second));
    let why = phrase(&data.reason);
    format!("Declared lost, second person {second}: {pieces}: {why}.")
}

pub(super) fn found(data: &SpoilsFound) -> String {
    let (pieces, how) = (names(&data.pieces), phrase(&data.remark));
    format!("Found again: {pieces}: {how}.")
}

pub(super) fn residue(data: &ResidueSent) -> String {
    format!(
        "Residue of {} goes to {}: {}, receipt {}.",
        few(data.sessions.iter().map(ToString::to_string)),
        data.destination.trim(),
        data.mass,
        data.receipt.trim()
    )
}

pub(super) fn filled(data: &ContainerFilled) -> String {
    let notes = data.notes.len() + data.replacements.len();
    let sheets = (!data.sheets.is_empty()).then(|| some(data.sheets.len(), "sheet", "sheets"));
    let notes = (notes > 0).then(|| some(notes, "note", "notes"));
    let pieces: Vec<_> = sheets.into_iter().chain(notes).collect();
    format!(
        "{} put into container {}.",
        pieces.join(" and "),
        data.container
    )
}

pub(super) fn sealed(data: &ContainerSealed, state: &State) -> String {
    let (container, seal) = (data.container, data.seal);
    let second = state.name_of(data.second);
    let mass = data.gross.map(|gross| format!(", {gross} gross"));
    let mass = mass.unwrap_or_default();
    format!("Container {container} sealed with {seal}, second person {second}{mass}.")
}
