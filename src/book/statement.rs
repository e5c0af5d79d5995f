//! What others than the author sign: a readable statement that names the book, the head it builds
//! on and every fact of the entry. It is written from the entry alone, so that what was read and
//! signed is what is recorded.

use std::fmt::Write;

use crate::custody::{Destruction, Found};
use crate::people::{Meaning, PersonId};
use crate::sheet::grouped;

use super::entry::{ContainerSealed, Difference, Entry, PressDiffered, ShiftHandedOver};
use super::hash::Hash;
use super::line::Line;
use super::refusal::Refusal;
use super::state::State;

/// Who must sign an entry besides its author, and as what. Empty for most.
pub fn cosigners(entry: &Entry) -> Vec<(PersonId, Meaning)> {
    match entry {
        Entry::ContainerSealed(data) => vec![(data.second, Meaning::SecondPerson)],
        Entry::ShiftHandedOver(data) => vec![(data.to, Meaning::NextShift)],
        Entry::PressDiffered(data) => vec![(data.second, Meaning::SecondPerson)],
        Entry::SpoilsDestroyed(data) => {
            let witnesses = data.witnesses.iter().map(|id| (*id, Meaning::Witness));
            std::iter::once((data.operator, Meaning::Operator))
                .chain(witnesses)
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The statement for an entry by `by` on top of `prev`.
pub(super) fn statement(state: &State, prev: Hash, by: PersonId, entry: &Entry) -> String {
    let mut text = String::new();
    if let Some(opened) = &state.opened {
        let (works, book, bench) = (&opened.works, opened.book, opened.bench);
        put(
            &mut text,
            format_args!("{works}, bench {bench}, book {book}"),
        );
    }
    put(&mut text, format_args!("After the line {prev}"));
    put(
        &mut text,
        format_args!("Recorded by {} ({by})", state.name_of(by)),
    );
    match entry {
        Entry::ContainerSealed(data) => sealing(&mut text, state, data),
        Entry::PressDiffered(data) => difference(&mut text, data),
        Entry::ShiftHandedOver(data) => handover(&mut text, state, data),
        Entry::SpoilsDestroyed(data) => destruction(&mut text, data),
        // Nobody signs these besides the author.
        _ => {}
    }
    text.pop();
    text
}

/// One line of the statement. Writing to a text cannot fail.
fn put(text: &mut String, line: std::fmt::Arguments) {
    text.write_fmt(line).unwrap_or_default();
    text.push('\n');
}

/// "1 sheet and 948 notes".
fn pieces(sheets: u32, notes: u32) -> String {
    let counted = |number: u32, one| match number {
        1 => format!("1 {one}"),
        _ => format!("{} {one}s", grouped(number.into())),
    };
    format!(
        "{} and {}",
        counted(sheets, "sheet"),
        counted(notes, "note")
    )
}

fn sealing(text: &mut String, state: &State, data: &ContainerSealed) {
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

/// All that is unfinished stands in the statement, so that it is what the next shift signed for.
fn handover(text: &mut String, state: &State, data: &ShiftHandedOver) {
    let to = state.name_of(data.to);
    put(
        text,
        format_args!("Shift handed over to {to} ({})", data.to),
    );
    let unfinished = state.unfinished();
    if unfinished.is_empty() {
        put(text, format_args!("Nothing is unfinished"));
    }
    for one in unfinished {
        put(text, format_args!("Unfinished: {one}"));
    }
    put(text, format_args!("Told: {}", data.told));
}

fn difference(text: &mut String, data: &PressDiffered) {
    let lot = data.lot;
    match data.what {
        Difference::Lost { sheet } => put(
            text,
            format_args!("Lot {lot}: sheet {sheet} was lost at the numbering press"),
        ),
        Difference::Added { after, sheets } => {
            let after = after.map_or(0, |sheet| sheet.number());
            let sheets = grouped(sheets.into());
            put(
                text,
                format_args!(
                    "Lot {lot}: {sheets} sheets were added at the numbering press after sheet {after}"
                ),
            );
        }
    }
    put(text, format_args!("Reason: {}", data.reason));
}

fn destruction(text: &mut String, data: &Destruction) {
    put(
        text,
        format_args!("Destruction {} at {}", data.session, data.place),
    );
    let (method, machine) = (data.method.name(), &data.machine);
    put(text, format_args!("By {method} in {machine}"));
    for found in &data.containers {
        put_found(text, found);
    }
    put(
        text,
        format_args!("From {} to {}", data.started, data.ended),
    );
    residue(text, data);
    if !data.remarks.is_empty() {
        put(text, format_args!("Remarks: {}", data.remarks));
    }
    // The operator signs too, but the sentence is the witnesses' own.
    put(
        text,
        format_args!("Each witness states: {}", data.statement),
    );
}

/// Only methods that leave particles have a class and a measurement.
fn residue(text: &mut String, data: &Destruction) {
    if let (Some(class), Some(largest)) = (data.particle_class, data.largest_particle_mm2) {
        let class = class.name();
        put(
            text,
            format_args!("Particle class {class}, largest particle found {largest} mm2"),
        );
    }
    if let (Some(class), Some(sample)) = (data.particle_class, data.sample) {
        let (measured, above, limit) = (sample.measured, sample.above, class.largest_mm2());
        put(
            text,
            format_args!("Particles measured {measured}, above {limit} mm2: {above}"),
        );
    }
}

fn put_found(text: &mut String, found: &Found) {
    let counted = pieces(found.sheets, found.notes);
    let scale = found
        .scale
        .map_or_else(String::new, |scale| format!(" on {scale}"));
    put(
        text,
        format_args!(
            "Container {}, seal {}: {counted}, gross {}, tare {}{scale}",
            found.container, found.seal, found.gross, found.tare
        ),
    );
}

/// Checks that a line carries exactly the further signatures it needs, each over its statement.
pub(super) fn check(state: &State, line: &Line) -> Result<(), Refusal> {
    let needed = cosigners(&line.entry);
    let Some(signed) = &line.countersigned else {
        return match needed.first() {
            None => Ok(()),
            Some(&(by, meaning)) => Err(Refusal::NotCountersigned { by, meaning }),
        };
    };
    let header = &line.header;
    if signed.statement != statement(state, header.prev, header.by, &line.entry) {
        return Err(Refusal::OtherStatement);
    }
    for (at, one) in signed.also.iter().enumerate() {
        let (by, meaning) = (one.by, one.meaning);
        let again = signed.also[..at].iter().any(|other| other.by == by);
        if again || !needed.contains(&(by, meaning)) {
            return Err(Refusal::ExtraCountersignature { by, meaning });
        }
        if !one.holds(&signed.statement, &state.person(by)?.key) {
            return Err(Refusal::WrongCountersignature { by, meaning });
        }
    }
    let signed_by = |by| signed.also.iter().any(|one| one.by == by);
    match needed.into_iter().find(|(by, _)| !signed_by(*by)) {
        None => Ok(()),
        Some((by, meaning)) => Err(Refusal::NotCountersigned { by, meaning }),
    }
}
