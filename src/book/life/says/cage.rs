//! What the lines of the cage say of one spoil.

use crate::book::entry::{ContainerRecounted, Entry, FillingCorrected, Pieces, SealChecked};
use crate::book::shelf::Book;
use crate::custody::Item;

/// Nothing when the line says nothing of the spoil.
pub(super) fn of(book: &Book, item: &Item, entry: &Entry) -> Option<String> {
    let name = |person| book.state().name_of(person);
    match entry {
        Entry::ContainerFilled(data) => names(&data.pieces(), item)
            .then(|| format!("{item} put into container {}", data.container)),
        Entry::ContainerSealed(data) => Some(format!(
            "container {} sealed with {}, second person {}",
            data.container,
            data.seal,
            name(data.second)
        )),
        Entry::ContainerMoved(data) => Some(format!(
            "container {} moved to {}",
            data.container, data.place
        )),
        Entry::SealChecked(data) => Some(checked(data)),
        Entry::ContainerHeld(data) => Some(format!(
            "container {} held: {}",
            data.container,
            data.reason.trim()
        )),
        Entry::ContainerRecounted(data) => Some(recounted(data, item, &name(data.second))),
        Entry::ContainerResealed(data) => Some(format!(
            "container {} sealed anew with {}, second person {}",
            data.container,
            data.seal,
            name(data.second)
        )),
        Entry::SealingCorrected(data) => Some(format!(
            "sealing of container {} corrected, seal {}: {}",
            data.container,
            data.seal,
            data.reason.trim()
        )),
        Entry::FillingCorrected(data) => names(&data.pieces, item).then(|| taken_out(data, item)),
        Entry::SpoilsLost(data) => names(&data.pieces, item).then(|| {
            let (second, why) = (name(data.second), data.reason.trim());
            format!("{item} declared lost, second person {second}: {why}")
        }),
        Entry::SpoilsFound(data) => {
            names(&data.pieces, item).then(|| format!("{item} found: {}", data.remark.trim()))
        }
        _ => None,
    }
}

fn names(pieces: &Pieces, item: &Item) -> bool {
    match item {
        Item::Sheet(lot, sheet) => pieces.sheets.contains(&(*lot, *sheet)),
        Item::Note(serial) => pieces.notes.contains(serial),
        Item::Replacement(serial) => pieces.replacements.contains(serial),
    }
}

fn checked(data: &SealChecked) -> String {
    let container = data.container;
    match (data.found, data.broken) {
        (None, false) => format!("container {container} looked at: no seal on it"),
        (None, true) => {
            format!("container {container} looked at: its seal, broken and not to be read")
        }
        (Some(found), true) => format!("container {container} looked at: seal {found}, broken"),
        (Some(found), false) => format!("container {container} looked at: seal {found}, whole"),
    }
}

fn recounted(data: &ContainerRecounted, item: &Item, second: &str) -> String {
    let (container, why) = (data.container, data.explanation.trim());
    let what = match (names(&data.missing, item), names(&data.found, item)) {
        (true, _) => format!("{item} was missing"),
        (_, true) => format!("{item} was found in it"),
        _ => "it was there".to_owned(),
    };
    format!("container {container} counted again with {second}, {what}: {why}")
}

fn taken_out(data: &FillingCorrected, item: &Item) -> String {
    let (from, why) = (data.container, data.reason.trim());
    match data.to {
        Some(to) => format!("{item} moved from container {from} to {to}: {why}"),
        None => format!("{item} taken out of container {from}: {why}"),
    }
}
