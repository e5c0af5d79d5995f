//! Statements about containers and lost spoils.

use crate::custody::{Item, Mass, SealNumber};

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
    if let Some(gross) = data.gross {
        put(text, format_args!("Gross mass {}", gross));
    }
    if let Some(tare) = data.tare {
        put(text, format_args!("Tare {tare}"));
    }
    if let Some(scale) = data.scale {
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
    if let Some(gross) = data.gross {
        put(text, format_args!("Gross mass {gross}"));
    }
}

pub(super) fn sealing_corrected(text: &mut String, state: &State, data: &SealingCorrected) {
    let (container, entry) = (data.container, data.corrects);
    put(
        text,
        format_args!("Sealing of container {container} in entry {entry}, corrected"),
    );
    let known = state.container(container).ok();
    if let Some(before) = known.and_then(|known| known.sealing()) {
        seal_line(text, before.number, data.seal);
        gross_line(text, before.gross, data.gross);
    }
    put(text, format_args!("Reason: {}", data.reason.trim()));
}

fn seal_line(text: &mut String, was: SealNumber, is: SealNumber) {
    match was == is {
        true => put(text, format_args!("Seal number {is}, as before")),
        false => put(text, format_args!("Seal number {is} (before: {was})")),
    }
}

fn gross_line(text: &mut String, was: Option<Mass>, is: Option<Mass>) {
    let said = |mass: Option<Mass>| mass.map_or("not weighed".to_owned(), |mass| mass.to_string());
    let (before, now) = (said(was), said(is));
    match was == is {
        true => put(text, format_args!("Gross mass {now}, as before")),
        false => put(text, format_args!("Gross mass {now} (before: {before})")),
    }
}

pub(super) fn loss(text: &mut String, data: &SpoilsLost) {
    named(text, "Declared lost", &data.pieces.items());
    put(text, format_args!("Reason: {}", data.reason.trim()));
}
