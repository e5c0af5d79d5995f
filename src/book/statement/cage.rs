//! Statements about containers and lost spoils.

use std::fmt;

use crate::custody::{Item, Mass, ScaleId, TareAndScale};

use super::super::entry::{
    ContainerRecounted, ContainerResealed, ContainerSealed, SealingCorrected, SpoilsLost,
};
use super::super::state::State;
use super::{pieces, put};

pub(super) fn sealing(text: &mut String, state: &State, data: &ContainerSealed) {
    let (container, seal) = (data.container, data.seal);
    if let Ok(known) = state.container(container) {
        let held = known.contents();
        let held = pieces(held.sheets, held.notes);
        put(text, format_args!("Container {container} with {held}"));
    }
    put(text, format_args!("Sealed with {seal}"));
    weighing(text, data.gross, data.tare, data.scale);
}

/// What was weighed, a line each.
fn weighing(text: &mut String, gross: Option<Mass>, tare: Option<Mass>, scale: Option<ScaleId>) {
    if let Some(gross) = gross {
        put(text, format_args!("Gross mass {gross}"));
    }
    if let Some(tare) = tare {
        put(text, format_args!("Tare {tare}"));
    }
    if let Some(scale) = scale {
        put(text, format_args!("Weighed on {scale}"));
    }
}

pub(super) fn recount(text: &mut String, state: &State, data: &ContainerRecounted) {
    let container = data.container;
    if let Ok(known) = state.container(container) {
        if let Some(hold) = known.hold() {
            let (why, entry) = (&hold.why, hold.act.seq);
            put(
                text,
                format_args!("Container {container}, held since entry {entry}: {why}"),
            );
        }
        let declared = known.contents();
        let declared = pieces(declared.sheets, declared.notes);
        put(text, format_args!("Declared: {declared}"));
    }
    let counted = pieces(data.sheets, data.notes);
    put(text, format_args!("Counted again: {counted}"));
    named(text, "Missing", &data.missing.items());
    named(text, "Found besides", &data.found.items());
    put(
        text,
        format_args!("Explanation: {}", data.explanation.trim()),
    );
}

/// One piece a line.
fn named(text: &mut String, what: &str, items: &[Item]) {
    for item in items {
        put(text, format_args!("{what}: {item}"));
    }
}

pub(super) fn resealing(text: &mut String, state: &State, data: &ContainerResealed) {
    let (container, seal) = (data.container, data.seal);
    if let Ok(known) = state.container(container) {
        let held = known.contents();
        let held = pieces(held.sheets, held.notes);
        put(text, format_args!("Container {container} with {held}"));
        if let Some(before) = known.sealing() {
            let before = before.number;
            put(
                text,
                format_args!("Sealed anew with {seal}, after {before}"),
            );
        }
    }
    weighing(text, data.gross, data.tare, data.scale);
}

pub(super) fn sealing_corrected(text: &mut String, state: &State, data: &SealingCorrected) {
    let (container, entry) = (data.container, data.corrects);
    put(
        text,
        format_args!("Sealing of container {container} in entry {entry}, corrected"),
    );
    let known = state.container(container).ok();
    if let Some(before) = known.and_then(|known| known.sealing()) {
        let (number, gross, was) = (Some(before.number), before.gross, before.weighed);
        corrected(text, ("Seal number", ""), number, Some(data.seal));
        corrected(text, ("Gross mass", "not weighed"), gross, data.gross);
        if let Some(TareAndScale { tare, scale }) = data.weighed {
            corrected(text, ("Tare", "not weighed"), was.tare, tare);
            corrected(text, ("Scale", "not named"), was.scale, scale);
        }
    }
    put(text, format_args!("Reason: {}", data.reason.trim()));
}

/// A fact as it stands, with what stood there before; `none` where there is none.
fn corrected<T: fmt::Display + PartialEq>(
    text: &mut String,
    (fact, none): (&str, &str),
    was: Option<T>,
    is: Option<T>,
) {
    let said = |value: &Option<T>| match value {
        Some(value) => value.to_string(),
        None => none.to_owned(),
    };
    let (before, now) = (said(&was), said(&is));
    match was == is {
        true => put(text, format_args!("{fact} {now}, as before")),
        false => put(text, format_args!("{fact} {now} (before: {before})")),
    }
}

pub(super) fn loss(text: &mut String, data: &SpoilsLost) {
    named(text, "Declared lost", &data.pieces.items());
    put(text, format_args!("Reason: {}", data.reason.trim()));
}
