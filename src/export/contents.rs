//! What a container holds, in ranges: whole sheets by number, notes by serial.

use serde::Serialize;

use crate::book::State;
use crate::custody::{Container, Item};
use crate::sheet::{LotId, SerialFormat, SheetNo, grouped};

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

/// The whole sheets that a container holds.
pub fn sheet_spans(container: &Container) -> Vec<SheetSpan> {
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
pub fn note_ranges(state: &State, container: &Container) -> Vec<NoteRange> {
    let mut ranges: Vec<NoteRange> = Vec::new();
    let mut last: Option<(&SerialFormat, u64)> = None;
    for item in &container.items {
        let (text, replacements, source) = match item {
            Item::Sheet(..) => continue,
            Item::Note(serial) => (
                serial.as_str(),
                false,
                state.format_of_note(serial.as_str()),
            ),
            Item::Replacement(serial) => (
                serial.as_str(),
                true,
                state.format_of_replacement(serial.as_str()),
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

impl SheetSpan {
    /// "2" or "2–3".
    pub fn readable(&self) -> String {
        match self.from == self.to {
            true => self.from.to_string(),
            false => format!("{}–{}", self.from, self.to),
        }
    }
}

impl NoteRange {
    /// "KA 001 019" or "KA 001 019 – KA 001 020 (2)", in the display groups of the format.
    pub fn readable(&self) -> String {
        match self.count {
            1 => self.shown[0].clone(),
            count => {
                let [from, to] = &self.shown;
                format!("{from} – {to} ({})", grouped(count))
            }
        }
    }
}
