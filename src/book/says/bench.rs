//! What inspectors and machines found, in a sentence.

use crate::sheet::grouped;

use super::super::entry::{
    AcceptanceDrawn, AcceptanceLooked, MachineRead, SheetsExamined, VerdictOverruled,
};
use super::super::life::seen;
use super::super::shelf::Book;
use super::before::{self, before};
use super::{examined, few, phrase, some};

pub(super) fn machine_read(data: &MachineRead) -> String {
    let (lot, file) = (data.lot, &data.file);
    let tags = some(data.tags.len(), "tag", "tags");
    let part = match data.parts {
        1 => String::new(),
        parts => format!(", part {} of {parts}", data.part),
    };
    format!("Lot {lot}: machine file {file}{part}, {tags}.")
}

/// One sheet with its verdict, or a range with what every sheet of it has.
pub(super) fn sheets_examined(data: &SheetsExamined, book: &Book) -> String {
    let (lot, from) = (data.lot, grouped(data.from.number().into()));
    if data.from != data.to {
        let to = grouped(data.to.number().into());
        return format!("Lot {lot}, sheets {from}–{to}: examined, {}.", each(data));
    }
    let said = book.state().lots.get(&lot);
    let said = said.and_then(|lot| examined(lot, data.from, data));
    let said = said.unwrap_or_else(|| "examined".to_owned());
    let was = data.corrects;
    let was = before(was.and_then(|seq| before::sheet(book, (lot, data.from), seq)));
    format!("Lot {lot}, sheet {from}: {said}{was}.")
}

fn each(data: &SheetsExamined) -> String {
    let tags = data.tags.iter();
    let tags = few(tags.map(|tag| seen(tag.at.as_deref(), tag.side, &tag.class.to_string())));
    match (tags.is_empty(), data.machine_kept) {
        (true, false) => "no tags".to_owned(),
        (true, true) => "the machine's tags kept".to_owned(),
        (false, false) => format!("each with {tags}"),
        (false, true) => format!("the machine's tags kept, each with {tags}"),
    }
}

pub(super) fn overruled(data: &VerdictOverruled, book: &Book) -> String {
    let (lot, sheet) = (data.lot, grouped(data.sheet.number().into()));
    let (verdict, why) = (data.verdict.name(), phrase(&data.reason));
    let was = before(before::sheet(book, (lot, data.sheet), data.corrects));
    format!("Lot {lot}, sheet {sheet}: {verdict}, against the rules{was}: {why}.")
}

pub(super) fn sample_drawn(data: &AcceptanceDrawn) -> String {
    let (lot, id) = (data.lot, data.acceptance);
    let (drawn, passed) = (
        some(data.sheets.len(), "sheet", "sheets"),
        grouped(data.passed.into()),
    );
    let (inspection, level, aql) = (data.inspection.name(), data.level.name(), data.aql);
    format!(
        "Lot {lot}: acceptance sample {id}, {drawn} of {passed} passed, {inspection} inspection, level {level}, AQL {aql}."
    )
}

pub(super) fn sample_looked(data: &AcceptanceLooked, book: &Book) -> String {
    let (id, sheet) = (data.acceptance, grouped(data.sheet.number().into()));
    let found = before::tags(&data.tags);
    let was = before(data.corrects.and_then(|seq| before::look(book, seq)));
    let why = data.reason.as_deref().map(phrase);
    let why = why.map_or_else(String::new, |why| format!(", corrected: {why}"));
    format!("Acceptance sample {id}, sheet {sheet} looked at again: {found}{was}{why}.")
}
