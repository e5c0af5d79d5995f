//! The life of a sheet, a note or a replacement note: every line of the book that speaks of it,
//! in order, with who wrote it and when.

use std::collections::BTreeSet;

use crate::custody::{ContainerId, Item};
use crate::inspect::Verdict;
use crate::people::{PersonId, Stamp};
use crate::sheet::{LotId, Printed, Replacement, Serial, SheetNo};

use super::entry::Entry;
use super::line::Line;
use super::lot::Lot;
use super::shelf::Book;

mod says;

pub(super) use says::{examined, seen};

/// One step of a life.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    pub entry: u64,
    pub at: Stamp,
    pub by: PersonId,
    /// What happened, in a few words.
    pub says: String,
}

/// Whose life it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    Sheet(LotId, SheetNo),
    /// A printed note and the sheet it is on.
    Note(LotId, SheetNo, Serial<Printed>),
    Replacement(Serial<Replacement>),
}

impl Subject {
    /// The sheet it is, or is on; a replacement note is on none.
    fn sheet(&self) -> Option<(LotId, SheetNo)> {
        match *self {
            Subject::Sheet(lot, sheet) | Subject::Note(lot, sheet, _) => Some((lot, sheet)),
            Subject::Replacement(_) => None,
        }
    }

    /// What is put into a container when it is spoiled. A note of a spoiled sheet goes with it.
    fn item(&self, book: &Book) -> Item {
        match *self {
            Subject::Sheet(lot, sheet) => Item::Sheet(lot, sheet),
            Subject::Replacement(serial) => Item::Replacement(serial),
            Subject::Note(lot, sheet, serial) => {
                let known = book.state().lots.get(&lot);
                let exam = known.and_then(|lot| lot.sheet(sheet)?.exam.as_deref());
                match exam.map(|exam| exam.ruling.verdict) {
                    Some(Verdict::Spoiled) => Item::Sheet(lot, sheet),
                    _ => Item::Note(serial),
                }
            }
        }
    }
}

/// What a line may speak of, when it speaks of the subject.
struct Told<'a> {
    subject: &'a Subject,
    item: Item,
    /// The subject itself, or all that ever stood for it.
    replacements: BTreeSet<Serial<Replacement>>,
}

impl Book {
    /// Every step of a life, first to last.
    pub fn life(&self, subject: &Subject) -> Vec<Step> {
        let mut entries = BTreeSet::new();
        if let Some((lot, sheet)) = subject.sheet() {
            entries.extend(self.trail().of_lot(lot));
            entries.extend(self.trail().machine(lot, sheet));
            entries.extend(self.rulings(lot, sheet));
        }
        let replacements = match subject {
            Subject::Replacement(serial) => vec![*serial],
            _ => self.stood_in(subject),
        };
        for replacement in &replacements {
            entries.extend(self.trail().of_note(replacement));
        }
        let told = Told {
            subject,
            item: subject.item(self),
            replacements: replacements.into_iter().collect(),
        };
        if let Some(container) = self.container_of(&told.item) {
            entries.extend(self.trail().of_container(container));
        }
        let steps = entries.into_iter().filter_map(|entry| {
            let line = self.line(entry)?;
            let says = says::of(self, &told, &line.entry)?;
            Some(Step {
                entry,
                at: line.header.at,
                by: line.header.by,
                says,
            })
        });
        steps.collect()
    }

    /// A line of this book. Its lines were read before, so it is there and can be read again.
    fn line(&self, seq: u64) -> Option<Line> {
        Line::read(self.texts().get(seq as usize)?).ok()
    }

    /// The entries that ruled a sheet, the last first: each names the one it corrects.
    fn rulings(&self, lot: LotId, sheet: SheetNo) -> Vec<u64> {
        let known = self.state().lots.get(&lot);
        let exam = known.and_then(|lot| lot.sheet(sheet)?.exam.as_deref());
        let last = exam.map(|exam| exam.seq);
        let before = |seq: &u64| match self.line(*seq)?.entry {
            Entry::SheetsExamined(data) => data.corrects,
            Entry::VerdictOverruled(data) => Some(data.corrects),
            _ => None,
        };
        std::iter::successors(last, before).collect()
    }

    fn container_of(&self, item: &Item) -> Option<ContainerId> {
        let containers = self.state().cage.containers.values();
        let mut holding = containers.filter(|container| container.items.contains(item));
        holding.next().map(|container| container.id)
    }

    /// Replacement notes ever drawn for a note, or for the notes of a sheet.
    pub fn stood_in(&self, subject: &Subject) -> Vec<Serial<Replacement>> {
        let Some((id, sheet)) = subject.sheet() else {
            return Vec::new();
        };
        let Some(lot) = self.state().lots.get(&id) else {
            return Vec::new();
        };
        let numbers = numbers(lot, sheet, subject);
        let pools = self.state().pools.values();
        let drawn = pools.flat_map(|pool| {
            let of_lot = (0..).zip(&pool.drawn).filter(|(_, drawn)| drawn.lot == id);
            let for_these = of_lot.filter(|(_, drawn)| numbers.contains(&drawn.note));
            for_these.filter_map(|(place, _)| pool.series.serial(place))
        });
        drawn.collect()
    }
}

/// The numbers that the subject carries.
fn numbers(lot: &Lot, sheet: SheetNo, subject: &Subject) -> BTreeSet<u64> {
    let positions = lot.product.layout.positions();
    let wanted = positions.filter(|position| match subject {
        Subject::Note(_, _, serial) => lot.serial(sheet, *position) == Some(*serial),
        _ => true,
    });
    wanted
        .filter_map(|position| lot.number(sheet, position))
        .collect()
}
