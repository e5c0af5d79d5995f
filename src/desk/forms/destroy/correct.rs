//! What was mistyped of a recorded session.

use crate::book::{Entry, SessionRecord};
use crate::custody::{Destruction, Fact, Mass, SessionCorrected, Weighed};
use crate::people::PersonId;

use crate::desk::forms::{FieldErrors, Reader, Typed};

use super::run::{local_text, read_time};

/// The values of the field for the fact, and what is shown for each.
pub const FACTS: [(&str, &str); 7] = [
    ("place", "Place"),
    ("machine", "Machine"),
    ("started", "Start"),
    ("ended", "End"),
    ("particle", "Largest particle, mm²"),
    ("remarks", "Remarks"),
    ("masses", "Gross and tare of a container, g"),
];

/// What the chosen fact is now, as it is typed.
pub fn fact_as_it_is(record: &Destruction, fact: &str) -> String {
    match fact {
        "place" => record.place.clone(),
        "machine" => record.machine.clone(),
        "started" => local_text(&record.started),
        "ended" => local_text(&record.ended),
        "particle" => record
            .largest_particle_mm2
            .map_or_else(String::new, |mm2| mm2.to_string()),
        "remarks" => record.remarks.clone(),
        _ => String::new(),
    }
}

/// One fact as it should have been written, before a second person.
///
/// # Errors
/// What is missing or wrong, each at its field. Whether the record then holds is the book's to
/// say.
pub fn correction(typed: &Typed, session: &SessionRecord) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let record = session.as_corrected();
    let fact = match form.text("fact") {
        "place" => form.required("fact-text", "Place", 200).map(Fact::Place),
        "machine" => form
            .required("fact-text", "Machine", 200)
            .map(Fact::Machine),
        "remarks" => Some(Fact::Remarks(form.text("fact-text").trim().to_owned())),
        "started" => read_time(&mut form, "fact-text", "Start", &record.started).map(Fact::Started),
        "ended" => read_time(&mut form, "fact-text", "End", &record.ended).map(Fact::Ended),
        "particle" => form
            .number("fact-text", "The largest particle", 1..=100_000)
            .map(Fact::LargestParticle),
        "masses" => masses(&mut form, record).map(Fact::Masses),
        _ => form.wrong("fact", "Choose what is wrong."),
    };
    let reason = form.required("fact-reason", "Reason", 200);
    let second: Option<PersonId> = match form.text("fact-second") {
        "" => form.wrong("fact-second", "Choose who answers for it with you."),
        _ => form.read("fact-second"),
    };
    let corrected = (|| {
        Some(Entry::SessionCorrected(SessionCorrected {
            session: record.session,
            fact: fact?,
            reason: reason?,
            second: second?,
        }))
    })();
    form.finish(corrected)
}

fn masses(form: &mut Reader, record: &Destruction) -> Option<Weighed> {
    let name = form.text("fact-container");
    let mut containers = record.containers.iter();
    let found = match containers.find(|found| found.container.as_str() == name) {
        Some(found) => Some(found),
        None => form.wrong("fact-container", "Choose the container."),
    };
    let mut mass = |field| form.read_with(field, Mass::from_grams_text);
    let (gross, tare) = (mass("fact-gross"), mass("fact-tare"));
    let found = found?;
    Some(Weighed {
        container: found.container,
        gross: gross?,
        tare: tare?,
        scale: found.scale,
        off_because: None,
    })
}
