//! What others than the author sign: a readable statement that names the book, the head it builds
//! on and every fact of the entry. It is written from the entry alone, so that what was read and
//! signed is what is recorded.

use std::fmt::Write;

use crate::custody::{Destruction, Found, Sampled, SessionCorrected, SessionLog, corrected};
use crate::people::{Meaning, PersonId};
use crate::quality::sampling::overlooked;
use crate::sheet::{grouped, number_of};

use super::checkpoint::BookCheckpoint;
use super::entry::{Difference, Entry, PressDiffered, ShiftHandedOver};
use super::hash::Hash;
use super::line::Line;
use super::refusal::Refusal;
use super::state::State;

mod cage;

/// Who must sign an entry besides its author, and as what. Empty for most.
pub fn cosigners(entry: &Entry) -> Vec<(PersonId, Meaning)> {
    match entry {
        Entry::ContainerSealed(data) => second(data.second),
        Entry::ContainerRecounted(data) => second(data.second),
        Entry::ContainerResealed(data) => second(data.second),
        Entry::SealingCorrected(data) => second(data.second),
        Entry::SpoilsLost(data) => second(data.second),
        Entry::PressDiffered(data) => second(data.second),
        Entry::SessionCorrected(data) => second(data.second),
        Entry::ShiftHandedOver(data) => vec![(data.to, Meaning::NextShift)],
        Entry::BookCheckpoint(data) => second(data.second),
        Entry::SpoilsDestroyed(data) => {
            let witnesses = data.witnesses.iter().map(|id| (*id, Meaning::Witness));
            std::iter::once((data.operator, Meaning::Operator))
                .chain(witnesses)
                .collect()
        }
        _ => Vec::new(),
    }
}

fn second(person: PersonId) -> Vec<(PersonId, Meaning)> {
    vec![(person, Meaning::SecondPerson)]
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
        Entry::ContainerSealed(data) => cage::sealing(&mut text, state, data),
        Entry::ContainerRecounted(data) => cage::recount(&mut text, state, data),
        Entry::ContainerResealed(data) => cage::resealing(&mut text, state, data),
        Entry::SealingCorrected(data) => cage::sealing_corrected(&mut text, state, data),
        Entry::SpoilsLost(data) => cage::loss(&mut text, data),
        Entry::PressDiffered(data) => difference(&mut text, data),
        Entry::BookCheckpoint(data) => checkpoint(&mut text, data),
        Entry::ShiftHandedOver(data) => handover(&mut text, state, data),
        Entry::SpoilsDestroyed(data) => destruction(&mut text, state, data),
        Entry::SessionCorrected(data) => correction(&mut text, state, data),
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
    let sheets = number_of(sheets.into(), "sheet", "sheets");
    let notes = number_of(notes.into(), "note", "notes");
    format!("{sheets} and {notes}")
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

/// What is carried over is named by its hash, and summed up for who reads it.
fn checkpoint(text: &mut String, data: &BookCheckpoint) {
    let (archived, carried) = (data.archived, &data.carried);
    put(
        text,
        format_args!(
            "Entries 0 to {} are in the archive, the last has the hash {}",
            archived.lines.get() - 1,
            archived.head
        ),
    );
    put(
        text,
        format_args!("We have seen that the archive is kept outside this browser"),
    );
    let (lots, days) = (carried.lots.len(), carried.closed_days.len());
    let (people, series) = (carried.people.len(), carried.series.len());
    put(
        text,
        format_args!(
            "The book goes on with closed lots: {lots}, closed days: {days}, people: {people}, series: {series}"
        ),
    );
    put(
        text,
        format_args!("What it takes along has the SHA-256 {}", carried.hash()),
    );
}

fn destruction(text: &mut String, state: &State, data: &Destruction) {
    put(
        text,
        format_args!("Destruction {} at {}", data.session, data.place),
    );
    let (method, machine) = (data.method.name(), &data.machine);
    put(text, format_args!("By {method} in {machine}"));
    for found in &data.containers {
        put_found(text, found);
    }
    for out in &data.left_out {
        let (container, why) = (out.container, &out.why);
        put(
            text,
            format_args!("Container {container} is not destroyed: {why}"),
        );
    }
    put(
        text,
        format_args!("From {} to {}", data.started, data.ended),
    );
    residue(text, data);
    begun_before(text, state, data);
    if !data.remarks.is_empty() {
        put(text, format_args!("Remarks: {}", data.remarks));
    }
    for one in &data.presence {
        let (name, part) = (state.name_of(one.person), one.part.name());
        put(text, format_args!("{name}, {part}, {one}"));
    }
    // The operator signs too, but the sentence is the witnesses' own.
    put(
        text,
        format_args!("Each witness states: {}", data.statement),
    );
}

/// Whoever signs reads how often it was begun before.
fn begun_before(text: &mut String, state: &State, data: &Destruction) {
    let found = || data.containers.iter().map(|found| found.container);
    let log = state.session.as_ref();
    let containers = log.map_or_else(|| found().collect(), SessionLog::called_for);
    for one in state.begun_before(u64::MAX, &containers) {
        put(
            text,
            format_args!(
                "Begun before with any of these containers: session {}",
                one.says()
            ),
        );
    }
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
    if let Some(sample) = found.sample {
        let says = sample_says(found, sample);
        put(text, format_args!("Not every piece was counted. {says}"));
    }
    if let Some(why) = &found.off_because {
        put(
            text,
            format_args!("Its mass is not that of its count: {why}"),
        );
    }
}

/// What a sample says: "Of 1 000 pieces declared, 95 were drawn and found; 30 missing ones would
/// have been overlooked in 4.6 % of such draws".
pub fn sample_says(found: &Found, sample: Sampled) -> String {
    let pieces = u64::from(found.sheets) + u64::from(found.notes);
    let missing = u64::from(sample.missing).min(pieces);
    // The fold draws no more than there are.
    let chance = overlooked(pieces, missing, sample.pieces.into());
    let percent = chance.map_or(100.0, |chance| chance.get() * 100.0);
    format!(
        "Of {} pieces declared, {} were drawn and found; {missing} missing would have been overlooked in {percent:.1} % of such draws",
        grouped(pieces),
        grouped(sample.pieces.into())
    )
}

fn correction(text: &mut String, state: &State, data: &SessionCorrected) {
    let mut sessions = state.sessions.iter();
    let known = sessions.find(|one| one.record.session == data.session);
    let was = known.and_then(|one| corrected::<Refusal>(one.as_corrected(), &data.fact).ok());
    let (session, name, now) = (data.session, data.fact.name(), &data.fact);
    put(text, format_args!("Destruction {session}, {name}: {now}"));
    if let Some((_, was)) = was {
        put(text, format_args!("It was written down as: {was}"));
    }
    put(text, format_args!("Reason: {}", data.reason));
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
