//! The certificate of destruction: what one session's record says, ready to print or to save.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::book::{Hash, Lot, SessionRecord, State};
use crate::custody::{
    Container, ContainerId, Found, Item, Mass, ParticleClass, SealNumber, SessionId, expected_net,
};
use crate::people::{PersonId, Stamp};
use crate::sheet::{Layout, LotId, ProductId, SerialFormat, SheetNo, grouped};

/// What anyone at a destroying machine must mind (common practice, no source).
pub const CAUTIONS: [&str; 6] = [
    "Keep the guards closed while the machine runs.",
    "Switch off and lock out before clearing a jam.",
    "Wear hearing and dust protection, and no loose clothing.",
    "Burning is hot work: have a permit and a fire watch, and wait until the ash is cold.",
    "Ink dust is harmful: keep the extraction on, and do not sweep it dry.",
    "Follow the equipment maker's instructions, local codes and licensed practice.",
];

/// A certificate of destruction. As JSON its members stand in this order, masses in milligrams.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Certificate {
    pub works: String,
    pub book: String,
    pub bench: String,
    /// Not a real destruction: made in a practice book.
    pub practice: bool,
    pub session: SessionId,
    pub place: String,
    pub machine: String,
    pub method: &'static str,
    /// Absent, with the two figures below, where the method leaves no particles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub particle_class: Option<ParticleClass>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub largest_particle_mm2: Option<u32>,
    /// The largest that the class allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed_particle_mm2: Option<u32>,
    pub started: Stamp,
    pub ended: Stamp,
    pub containers: Vec<CertifiedContainer>,
    pub persons: Vec<CertifiedPerson>,
    /// What each witness agreed to, word for word.
    pub statement: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub remarks: String,
    /// The entry of the book that recorded it, and when.
    pub entry: u64,
    pub recorded: Stamp,
    pub line_hash: Hash,
    /// The head of the book when the certificate was made.
    pub head: Hash,
    pub cautions: [&'static str; 6],
}

/// One destroyed container.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CertifiedContainer {
    pub container: ContainerId,
    /// The seal as found, which is the seal it was given.
    pub seal: SealNumber,
    /// Printed names of the two who sealed it.
    pub sealed_by: [String; 2],
    pub sealed: Stamp,
    pub sheets: u32,
    pub notes: u32,
    pub sheet_numbers: Vec<SheetSpan>,
    pub serials: Vec<NoteRange>,
    pub gross: Mass,
    pub tare: Mass,
    pub net: Mass,
    /// What that many sheets and notes of bare paper weigh.
    pub expected_net: Mass,
}

/// Consecutive whole sheets of one lot, both ends included.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SheetSpan {
    pub lot: LotId,
    pub from: SheetNo,
    pub to: SheetNo,
}

/// Consecutive serials, both ends included.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NoteRange {
    pub from: String,
    pub to: String,
    pub count: u64,
    /// They are replacement notes that were themselves spoiled.
    pub replacements: bool,
    /// Both ends in the display groups of their format, for paper; the file holds the values.
    #[serde(skip)]
    pub shown: [String; 2],
}

/// One person, with the part they had.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedPerson {
    pub person: PersonId,
    pub name: String,
    pub part: &'static str,
    /// What their signature means.
    pub meaning: &'static str,
}

/// The certificate of a recorded session; `head` is the head of the book now.
pub fn certificate(state: &State, session: &SessionRecord, head: Hash) -> Certificate {
    let record = &session.record;
    let opened = state.opened.as_ref();
    let text = |read: fn(&crate::book::Opened) -> String| opened.map_or_else(String::new, read);
    Certificate {
        works: text(|opened| opened.works.clone()),
        book: text(|opened| opened.book.to_string()),
        bench: text(|opened| opened.bench.to_string()),
        practice: opened.is_some_and(|opened| opened.practice),
        session: record.session,
        place: record.place.clone(),
        machine: record.machine.clone(),
        method: record.method.name(),
        particle_class: record.particle_class,
        largest_particle_mm2: record.largest_particle_mm2,
        allowed_particle_mm2: record.particle_class.map(ParticleClass::largest_mm2),
        started: record.started.clone(),
        ended: record.ended.clone(),
        containers: record
            .containers
            .iter()
            .filter_map(|found| certified(state, found))
            .collect(),
        persons: persons(state, session),
        statement: record.statement.clone(),
        remarks: record.remarks.clone(),
        entry: session.seq,
        recorded: session.at.clone(),
        line_hash: session.hash,
        head,
        cautions: CAUTIONS,
    }
}

/// The book never records a session with a container that is unknown or was not sealed, so none
/// is left out.
fn certified(state: &State, found: &Found) -> Option<CertifiedContainer> {
    let container = state.cage.containers.get(&found.container)?;
    let sealing = container.sealing()?;
    Some(CertifiedContainer {
        container: found.container,
        seal: found.seal,
        sealed_by: [sealing.by, sealing.second].map(|person| state.name_of(person)),
        sealed: sealing.at.clone(),
        sheets: found.sheets,
        notes: found.notes,
        sheet_numbers: sheet_spans(container),
        serials: note_ranges(state, container),
        gross: found.gross,
        tare: found.tare,
        net: found.gross.less(found.tare).unwrap_or_default(),
        expected_net: expected_mass(state, container),
    })
}

fn persons(state: &State, session: &SessionRecord) -> Vec<CertifiedPerson> {
    let person = |person: PersonId, part, meaning| CertifiedPerson {
        person,
        name: state.name_of(person),
        part,
        meaning,
    };
    let witnesses = session.record.witnesses.iter();
    let lead = person(session.by, "lead", "led the session and recorded it");
    let operator = person(session.record.operator, "operator", "worked the machine");
    let witnesses =
        witnesses.map(|id| person(*id, "witness", "witnessed it and signed the statement"));
    [lead, operator].into_iter().chain(witnesses).collect()
}

fn sheet_spans(container: &Container) -> Vec<SheetSpan> {
    let mut spans: Vec<SheetSpan> = Vec::new();
    for item in &container.items {
        let Item::Sheet(lot, sheet) = *item else {
            continue;
        };
        match spans.last_mut() {
            Some(span) if span.lot == lot && span.to.index() + 1 == sheet.index() => {
                span.to = sheet;
            }
            _ => spans.push(SheetSpan {
                lot,
                from: sheet,
                to: sheet,
            }),
        }
    }
    spans
}

/// The serials a container holds. Items are in the order of their serials, so that neighbours of
/// one format follow each other.
fn note_ranges(state: &State, container: &Container) -> Vec<NoteRange> {
    let mut ranges: Vec<NoteRange> = Vec::new();
    let mut last: Option<(&SerialFormat, u64)> = None;
    for item in &container.items {
        let (text, replacements, source) = match item {
            Item::Sheet(..) => continue,
            Item::Note(serial) => (
                serial.as_str(),
                false,
                format_of_note(state, serial.as_str()),
            ),
            Item::Replacement(serial) => (
                serial.as_str(),
                true,
                format_of_replacement(state, serial.as_str()),
            ),
        };
        let follows = last
            .zip(source)
            .is_some_and(|((format, number), (other, next))| format == other && number + 1 == next);
        let shown = match source {
            Some((format, _)) => format.in_groups(text),
            None => text.to_owned(),
        };
        match ranges.last_mut() {
            Some(range) if follows && range.replacements == replacements => {
                range.to = text.to_owned();
                range.shown[1] = shown;
                range.count += 1;
            }
            _ => ranges.push(NoteRange {
                from: text.to_owned(),
                to: text.to_owned(),
                count: 1,
                replacements,
                shown: [shown.clone(), shown],
            }),
        }
        last = source;
    }
    ranges
}

fn format_of_note<'a>(state: &'a State, serial: &str) -> Option<(&'a SerialFormat, u64)> {
    let format = lot_of_note(state, serial)?.format()?;
    Some((format, format.parse(serial).ok()?))
}

fn format_of_replacement<'a>(state: &'a State, serial: &str) -> Option<(&'a SerialFormat, u64)> {
    let series = state.pools.values().map(|pool| &pool.series);
    series
        .filter(|series| matches!(series.find(serial), Ok(Some(_))))
        .find_map(|series| Some((series.format(), series.format().parse(serial).ok()?)))
}

/// What the paper in a container should weigh: each piece its area times the grammage of its
/// product, ink apart.
pub fn expected_mass(state: &State, container: &Container) -> Mass {
    let mut counts: BTreeMap<(ProductId, bool), (&Layout, u64)> = BTreeMap::new();
    for item in &container.items {
        let (product, whole) = match item {
            Item::Sheet(lot, _) => (state.lots.get(lot).map(|lot| lot.product.id), true),
            Item::Note(serial) => (
                lot_of_note(state, serial.as_str()).map(|lot| lot.product.id),
                false,
            ),
            Item::Replacement(serial) => (product_of_replacement(state, serial.as_str()), false),
        };
        if let Some(product) = product.and_then(|id| state.products.get(&id)) {
            let count = counts
                .entry((product.id, whole))
                .or_insert((&product.layout, 0));
            count.1 += 1;
        }
    }
    let mass = |((_, whole), (layout, count)): ((ProductId, bool), (&Layout, u64))| {
        let area = match whole {
            true => layout.sheet_area_mm2(),
            false => layout.note_area_mm2(),
        };
        expected_net(count, area, layout.spec().grammage.mg_per_m2())
    };
    counts.into_iter().map(mass).sum()
}

fn lot_of_note<'a>(state: &'a State, serial: &str) -> Option<&'a Lot> {
    state.lots.values().find(|lot| lot.has_serial(serial))
}

fn product_of_replacement(state: &State, serial: &str) -> Option<ProductId> {
    let mut series = state.pools.values().map(|pool| &pool.series);
    let series = series.find(|series| matches!(series.find(serial), Ok(Some(_))))?;
    Some(series.product())
}

/// "1 sheet and 26 notes".
pub fn sheets_and_notes(sheets: u64, notes: u64) -> String {
    let pieces = |count: u64, kind: &str| match count {
        1 => format!("1 {kind}"),
        count => format!("{} {kind}s", grouped(count)),
    };
    format!("{} and {}", pieces(sheets, "sheet"), pieces(notes, "note"))
}

impl Certificate {
    /// Sheets and notes of all containers.
    pub fn totals(&self) -> (u64, u64) {
        let sum = |count: fn(&CertifiedContainer) -> u32| {
            self.containers
                .iter()
                .map(|one| u64::from(count(one)))
                .sum()
        };
        (sum(|one| one.sheets), sum(|one| one.notes))
    }

    /// What the QR code says: enough to find the line in a copy of the book and to see whether
    /// the copy is the same book.
    pub fn qr_text(&self) -> String {
        format!(
            "cullbook certificate v1\nbook {}\nsession {}\nentry {}\nline {}\nhead {}",
            self.book, self.session, self.entry, self.line_hash, self.head
        )
    }

    /// The certificate as a JSON file, indented, with a line end.
    ///
    /// # Errors
    /// What the writer says; no certificate is known for which it does.
    pub fn to_json(&self) -> serde_json::Result<String> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

#[cfg(test)]
mod tests;
