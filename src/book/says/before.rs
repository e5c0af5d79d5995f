//! What stood before, in the words of the line that is corrected. A line in the archive has none.

use crate::custody::{Mass, SealNumber};
use crate::inspect::WrittenTag;
use crate::sheet::{LotId, SheetNo};

use super::super::entry::Entry;
use super::super::life::{seen, verdict_and_tags};
use super::super::shelf::Book;
use super::few;

/// " (before: good, no tags)".
pub(super) fn before(words: Option<String>) -> String {
    words.map_or_else(String::new, |words| format!(" (before: {words})"))
}

/// What the line said of a sheet.
pub(super) fn sheet(book: &Book, (lot, sheet): (LotId, SheetNo), seq: u64) -> Option<String> {
    match book.line(seq)?.entry {
        Entry::SheetsExamined(data) => verdict_and_tags(book.state().lots.get(&lot)?, sheet, &data),
        Entry::VerdictOverruled(data) => {
            Some(format!("{}, against the rules", data.verdict.name()))
        }
        _ => None,
    }
}

/// What a second look found.
pub(super) fn look(book: &Book, seq: u64) -> Option<String> {
    match book.line(seq)?.entry {
        Entry::AcceptanceLooked(data) => Some(tags(&data.tags)),
        _ => None,
    }
}

pub(super) fn tags(tags: &[WrittenTag]) -> String {
    let said = tags.iter();
    let said = few(said.map(|tag| seen(tag.at.as_deref(), tag.side, &tag.class.to_string())));
    if said.is_empty() {
        return "no tags".to_owned();
    }
    said
}

/// Seal and mass of a sealing.
pub(super) fn sealing(book: &Book, seq: u64) -> Option<String> {
    let (seal, gross) = match book.line(seq)?.entry {
        Entry::ContainerSealed(data) => (data.seal, data.gross),
        Entry::ContainerResealed(data) => (data.seal, data.gross),
        Entry::SealingCorrected(data) => (data.seal, data.gross),
        _ => return None,
    };
    Some(sealed(seal, gross))
}

/// "seal S-11, gross 1250.5 g".
pub(super) fn sealed(seal: SealNumber, gross: Option<Mass>) -> String {
    match gross {
        Some(gross) => format!("seal {seal}, gross {gross}"),
        None => format!("seal {seal}, not weighed"),
    }
}

pub(super) fn sample(book: &Book, seq: u64) -> Option<String> {
    match book.line(seq)?.entry {
        Entry::MeasureTaken(data) => Some(data.says()),
        _ => None,
    }
}
