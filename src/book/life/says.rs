//! What a line says of one sheet or note, in a few words.

use crate::book::entry::{
    AcceptanceLooked, Difference, Entry, MachineTag, PressDiffered, SheetsExamined,
};
use crate::book::lot::Lot;
use crate::book::shelf::Book;
use crate::custody::{Counting, Done, Item, SessionStep};
use crate::inspect::{Source, Spot, Tag, WrittenTag};
use crate::sheet::{Printed, Replacement, Serial, SheetNo, SheetRange, Side, grouped};

use super::{Subject, Told};

mod cage;

/// Nothing when the line says nothing of the subject.
pub(super) fn of(book: &Book, told: &Told, entry: &Entry) -> Option<String> {
    let (subject, item) = (told.subject, &told.item);
    let sheet = subject.sheet();
    let lot = sheet.and_then(|(lot, _)| book.state().lots.get(&lot));
    match entry {
        Entry::LotOpened(data) => {
            let sheets = grouped(data.sheets.into());
            Some(format!(
                "lot {} opened, {sheets} sheets of {}",
                data.lot, data.product
            ))
        }
        Entry::LotNumbered(data) => {
            let sheets = data.numbering.runs.iter().map(|run| u64::from(run.sheets));
            Some(format!(
                "{} sheets of the lot took serials",
                grouped(sheets.sum())
            ))
        }
        Entry::PressDiffered(data) => at_press(data, sheet?.1),
        Entry::LotClosed(data) => Some(format!("lot {} closed", data.lot)),
        Entry::MachineRead(data) => {
            let tags = machine_tags(&data.tags, sheet?.1)?;
            Some(format!("machine file {}: {tags}", data.file))
        }
        Entry::SheetsExamined(data) => examined(lot?, sheet?.1, data),
        Entry::VerdictOverruled(data) => Some(format!(
            "overruled, {}: {}",
            data.verdict.name(),
            data.reason.trim()
        )),
        Entry::AcceptanceDrawn(data) => data
            .sheets
            .contains(&sheet?.1)
            .then(|| format!("drawn for acceptance sample {}", data.acceptance)),
        Entry::AcceptanceLooked(data) => (data.sheet == sheet?.1)
            .then(|| looked(lot, data))
            .flatten(),
        Entry::ReplacementsDrawn(data) => {
            let pairs = data.pairs.iter().filter(|pair| is_of(told, pair));
            list(pairs.map(|(old, new)| format!("{new} drawn for {old}")))
        }
        Entry::ReplacementsInserted(data) => {
            let notes = data
                .notes
                .iter()
                .filter(|note| told.replacements.contains(*note));
            list(notes.map(|note| format!("{note} inserted")))
        }
        Entry::ReplacementsSpoiled(data) => {
            let notes = data
                .notes
                .iter()
                .filter(|note| told.replacements.contains(*note));
            list(notes.map(|note| format!("{note} spoiled: {}", data.reason.trim())))
        }
        Entry::ReplacementsReturned(data) => {
            let notes = data
                .notes
                .iter()
                .filter(|note| told.replacements.contains(*note));
            list(notes.map(|note| format!("{note} returned unused: {}", data.reason.trim())))
        }
        Entry::SessionBegun(data) => Some(format!(
            "called for destruction in session {}",
            data.session
        )),
        Entry::SessionStep(data) => in_session(book, item, data),
        Entry::SpoilsDestroyed(data) => {
            let names = data.witnesses.iter().map(|id| book.state().name_of(*id));
            let witnesses = names.collect::<Vec<_>>().join(", ");
            Some(format!(
                "destroyed in session {}, before {witnesses}; its certificate bears that number",
                data.session
            ))
        }
        Entry::ResidueSent(data) => Some(format!(
            "its residue went to {} on {}, receipt {}",
            data.destination.trim(),
            data.date,
            data.receipt.trim()
        )),
        other => cage::of(book, item, other),
    }
}

/// What a step of a session says of the container that holds the item.
fn in_session(book: &Book, item: &Item, data: &SessionStep) -> Option<String> {
    let containers = book.state().cage.containers.values();
    let mut holding = containers.filter(|container| container.items.contains(item));
    let id = holding.next()?.id;
    let said = match &data.done {
        Done::Seals(list) => match list.iter().find(|one| one.container == id)?.seal {
            Some(seal) => format!("container {id} found with the seal {seal}"),
            None => format!("container {id} not found"),
        },
        Done::Count(list) => match &list.iter().find(|one| one.container == id)?.counted {
            Counting::All { sheets, notes } => {
                format!("{sheets} sheets and {notes} notes counted in container {id}")
            }
            Counting::Sample { pieces, absent } => format!(
                "{pieces} drawn pieces looked for in container {id}, {} not there",
                absent.len()
            ),
        },
        Done::Weigh(list) => {
            let one = list.iter().find(|one| one.container == id)?;
            format!(
                "container {id} weighed: gross {}, tare {}",
                one.gross, one.tare
            )
        }
        Done::Start(_) | Done::End(_) | Done::Residue(_) => return None,
    };
    Some(format!("{said}, session {}", data.session))
}

/// A sheet that is lost at the press concerns itself; added ones move the serials of all.
fn at_press(data: &PressDiffered, sheet: SheetNo) -> Option<String> {
    let why = data.reason.trim();
    match data.what {
        Difference::Lost { sheet: lost } => {
            (lost == sheet).then(|| format!("lost at the numbering press: {why}"))
        }
        Difference::Added { sheets, .. } => {
            let sheets = grouped(sheets.into());
            Some(format!(
                "{sheets} sheets came in at the numbering press: {why}"
            ))
        }
    }
}

fn list(parts: impl Iterator<Item = String>) -> Option<String> {
    let parts: Vec<String> = parts.collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn is_of(told: &Told, (old, new): &(Serial<Printed>, Serial<Replacement>)) -> bool {
    match told.subject {
        Subject::Note(_, _, serial) => old == serial,
        _ => told.replacements.contains(new),
    }
}

fn machine_tags(tags: &[MachineTag], sheet: SheetNo) -> Option<String> {
    let of_sheet = tags.iter().filter(|tag| tag.0 == sheet);
    list(of_sheet.map(|tag| seen(tag.1.as_deref(), tag.2, &tag.3.to_string())))
}

/// "A1 OM front", "whole sheet PT front".
pub(in crate::book) fn seen(at: Option<&str>, side: Side, class: &str) -> String {
    format!("{} {class} {}", at.unwrap_or("whole sheet"), side.name())
}

/// The tags and the ruling that this entry gave the sheet, by the rules that its lot keeps.
pub(in crate::book) fn examined(
    lot: &Lot,
    sheet: SheetNo,
    data: &SheetsExamined,
) -> Option<String> {
    let tags = tags_given(lot, sheet, data)?;
    let ruling = lot.rule(&tags);
    let range = SheetRange::new(data.from, data.to).ok()?;
    let act = match (&data.reason, range.len()) {
        (Some(why), _) if data.corrects.is_some() => format!("corrected ({})", why.trim()),
        (_, 1) => "examined".to_owned(),
        _ => format!("examined with sheets {}", range.readable()),
    };
    let shown = tags_shown(lot, &tags);
    Some(match tags.is_empty() {
        true => format!("{act}: {}, {shown}", ruling.verdict.name()),
        false => format!(
            "{act}: {} ({}), {shown}",
            ruling.verdict.name(),
            ruling.reason
        ),
    })
}

/// "mixed, A1 OM front": the same without the reason of the ruling.
pub(in crate::book) fn verdict_and_tags(
    lot: &Lot,
    sheet: SheetNo,
    data: &SheetsExamined,
) -> Option<String> {
    let tags = tags_given(lot, sheet, data)?;
    let verdict = lot.rule(&tags).verdict.name();
    Some(format!("{verdict}, {}", tags_shown(lot, &tags)))
}

/// The tags that an entry gives a sheet, with those of the machine that it keeps.
fn tags_given(lot: &Lot, sheet: SheetNo, data: &SheetsExamined) -> Option<Vec<Tag>> {
    let resolve = |tag: &WrittenTag| tag.resolve(&lot.product.layout, &lot.catalogue).ok();
    let mut tags: Vec<Tag> = data.tags.iter().filter_map(resolve).collect();
    if data.machine_kept {
        for tag in &lot.sheet(sheet)?.machine {
            if !tags.iter().any(|other| other.same_defect(tag)) {
                tags.push(tag.clone());
            }
        }
    }
    Some(tags)
}

fn tags_shown(lot: &Lot, tags: &[Tag]) -> String {
    let shown = list(tags.iter().map(|tag| tag_text(lot, tag)));
    shown.unwrap_or_else(|| "no tags".to_owned())
}

fn looked(lot: Option<&Lot>, data: &AcceptanceLooked) -> Option<String> {
    let lot = lot?;
    let resolve = |tag: &WrittenTag| tag.resolve(&lot.product.layout, &lot.catalogue).ok();
    let tags: Vec<Tag> = data.tags.iter().filter_map(resolve).collect();
    let found = tags_shown(lot, &tags);
    let act = match &data.reason {
        Some(why) => format!("look corrected ({})", why.trim()),
        None => "looked at again".to_owned(),
    };
    Some(format!(
        "{act} for acceptance sample {}: {}, {found}",
        data.acceptance,
        lot.rule(&tags).verdict.name()
    ))
}

/// A tag with its place, class, side and source.
fn tag_text(lot: &Lot, tag: &Tag) -> String {
    let at = match tag.spot {
        Spot::WholeSheet => None,
        Spot::Note(position) => Some(lot.product.layout.name(position)),
    };
    let source = match tag.source {
        Source::Eye => "",
        Source::Machine => " by machine",
    };
    seen(at, tag.side, &tag.class.to_string()) + source
}
