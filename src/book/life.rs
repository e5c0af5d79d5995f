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

pub(super) use says::{examined, seen, verdict_and_tags};

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
        entries.extend(self.custody(&told.item));
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
    pub(super) fn line(&self, seq: u64) -> Option<Line> {
        Line::read(self.text(seq)?).ok()
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

    /// The lines of every container from when the spoil went in until it left.
    fn custody(&self, item: &Item) -> BTreeSet<u64> {
        let mut entries = BTreeSet::from_iter(self.trail().of_spoil(item).iter().copied());
        let (mut left, mut until) = (self.container_of(item), u64::MAX);
        loop {
            if let Some(container) = left {
                entries.extend(self.stay(item, container, until));
            }
            // The line before, and the container that it took the spoil out of.
            let Some(before) = self
                .trail()
                .of_spoil(item)
                .iter()
                .rfind(|seq| **seq < until)
            else {
                return entries;
            };
            until = *before;
            left = match self.line(until).map(|line| line.entry) {
                Some(Entry::FillingCorrected(data)) => Some(data.container),
                Some(Entry::ContainerRecounted(data)) => Some(data.container),
                _ => None,
            };
        }
    }

    /// The lines of one container from the one that put the spoil in, up to `until`.
    fn stay(&self, item: &Item, container: ContainerId, until: u64) -> Vec<u64> {
        let lines = self.trail().of_container(container).iter().copied();
        let before: Vec<u64> = lines.take_while(|seq| *seq < until).collect();
        let put_in = before.iter().rposition(|seq| {
            let line = self.line(*seq);
            line.is_some_and(|line| puts_in(&line.entry, container, item))
        });
        put_in.map_or_else(Vec::new, |at| before[at..].to_vec())
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
            let of_lot = pool.placed().filter(|(_, drawn)| drawn.lot == id);
            let for_these = of_lot.filter(|(_, drawn)| numbers.contains(&drawn.note));
            for_these.filter_map(|(place, _)| pool.series.serial(place))
        });
        drawn.collect()
    }
}

/// Whether an entry puts this spoil into this container.
fn puts_in(entry: &Entry, container: ContainerId, item: &Item) -> bool {
    match entry {
        Entry::ContainerFilled(data) => data.pieces().items().contains(item),
        Entry::ContainerRecounted(data) => data.found.items().contains(item),
        Entry::FillingCorrected(data) => {
            data.to == Some(container) && data.pieces.items().contains(item)
        }
        _ => false,
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
