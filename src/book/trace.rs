//! The life of one serial: where it was printed, what was seen, what replaced it, where it is.

use crate::custody::Item;
use crate::sheet::{
    LotId, Place as CutPlace, Position, Printed, Replacement, Serial, SerialError, SeriesId,
    SheetNo, Slip,
};

use super::cage::Place;
use super::lot::Exam;
use super::pool::Fate;
use super::state::State;

/// Most suggestions for a serial that does not hold.
const MEANT_MAX: usize = 5;

/// What is known of a note.
#[derive(Clone, Debug)]
pub enum Life<'a> {
    Printed(PrintedLife<'a>),
    Replacement(ReplacementLife),
}

/// The life of a note printed in a lot.
#[derive(Clone, Debug)]
pub struct PrintedLife<'a> {
    pub serial: Serial<Printed>,
    pub lot: LotId,
    pub sheet: SheetNo,
    pub position: Position,
    pub place: CutPlace,
    pub exam: Option<&'a Exam>,
    /// Whether its note must be destroyed.
    pub lost: bool,
    pub replacement: Option<Serial<Replacement>>,
    /// Where it, or the spoiled sheet it is on, lies.
    pub custody: Option<Place>,
}

/// The life of a replacement note.
#[derive(Clone, Debug)]
pub struct ReplacementLife {
    pub serial: Serial<Replacement>,
    pub series: SeriesId,
    /// Nothing while it was not drawn.
    pub drawn: Option<(LotId, Option<Serial<Printed>>, Fate, u64)>,
    pub custody: Option<Place>,
}

/// The answer to a serial that someone typed or scanned.
#[derive(Clone, Debug)]
pub enum Trace<'a> {
    Found(Box<Life<'a>>),
    /// Its note is in a lot, or of a part of a series, whose lines are in the archive.
    InArchive(ArchivedNote),
    /// A format of the book reads it, but no lot and no series has that number.
    NoSuchNote,
    /// No format of the book reads it: the most telling reason.
    NotASerial(SerialError),
    /// The book has no numbered lot and no series yet.
    NothingNumbered,
}

/// What is known of a note whose lines are in the archive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArchivedNote {
    Printed(LotId),
    Replacement(SeriesId),
}

impl State {
    /// Finds a serial in every lot and series.
    pub fn trace(&self, text: &str) -> Trace<'_> {
        let mut answer = Trace::NothingNumbered;
        for lot in self.lots.values().filter(|lot| lot.is_numbered()) {
            match lot.locate_text(text) {
                Ok(Some((sheet, position))) => {
                    if let Some(life) = self.printed_life(lot, sheet, position) {
                        return Trace::Found(Box::new(Life::Printed(life)));
                    }
                }
                other => answer = better(answer, other.map(|_| ())),
            }
        }
        for lot in self.archive.lots.values() {
            match lot.has_serial(text) {
                Ok(true) => return Trace::InArchive(ArchivedNote::Printed(lot.carried.lot)),
                Ok(false) if lot.carried.numbering.is_none() => {}
                other => answer = better(answer, other.map(|_| ())),
            }
        }
        for pool in self.pools.values() {
            match pool.series.find(text) {
                Ok(Some(place)) if pool.is_archived(place) => {
                    return Trace::InArchive(ArchivedNote::Replacement(pool.series.id()));
                }
                Ok(Some(place)) => {
                    if let Some(life) = self.replacement_life(pool, place) {
                        return Trace::Found(Box::new(Life::Replacement(life)));
                    }
                }
                other => answer = better(answer, other.map(|_| ())),
            }
        }
        answer
    }

    /// What someone may have meant by a serial that does not hold: notes of this book that differ
    /// from it by one wrong character or two swapped, the likeliest first. For a supervisor's
    /// eyes: a suggestion never replaces reading the note again.
    pub fn meant(&self, text: &str) -> Vec<Slip> {
        let numbered = self
            .lots
            .values()
            .filter_map(|lot| Some((lot, lot.format()?)));
        let printed = numbered.flat_map(|(lot, format)| {
            let holds = |slip: &Slip| lot.has_serial(&slip.serial);
            format.suggest(text).into_iter().filter(holds)
        });
        let replacements = self.pools.values().flat_map(|pool| {
            let holds = |slip: &Slip| matches!(pool.series.find(&slip.serial), Ok(Some(_)));
            pool.series.format().suggest(text).into_iter().filter(holds)
        });
        printed.chain(replacements).take(MEANT_MAX).collect()
    }

    fn printed_life<'a>(
        &'a self,
        lot: &'a super::lot::Lot,
        sheet: SheetNo,
        position: Position,
    ) -> Option<PrintedLife<'a>> {
        let serial = lot.serial(sheet, position)?;
        let exam = lot.sheet(sheet)?.exam.as_deref();
        let replaced = lot
            .number(sheet, position)
            .and_then(|number| lot.replaced.get(&number));
        let on_sheet = self.cage.spoils.get(&Item::Sheet(lot.id, sheet));
        Some(PrintedLife {
            serial,
            lot: lot.id,
            sheet,
            position,
            place: lot.place(sheet, position)?,
            exam,
            lost: exam.is_some_and(|exam| lot.is_lost(&exam.ruling, position)),
            replacement: replaced
                .and_then(|(series, place)| self.pools.get(series)?.series.serial(*place)),
            custody: on_sheet
                .or_else(|| self.cage.spoils.get(&Item::Note(serial)))
                .copied(),
        })
    }

    fn replacement_life(&self, pool: &super::pool::Pool, place: u64) -> Option<ReplacementLife> {
        let serial = pool.series.serial(place)?;
        let drawn = pool.drawn_at(place).map(|drawn| {
            let lot = self.lots.get(&drawn.lot);
            let note = lot.and_then(|lot| lot.serial_of(drawn.note));
            (drawn.lot, note, drawn.fate, drawn.seq)
        });
        let custody = self.cage.spoils.get(&Item::Replacement(serial)).copied();
        Some(ReplacementLife {
            serial,
            series: pool.series.id(),
            drawn,
            custody,
        })
    }
}

/// Keeps the more telling of two answers: a well-formed serial of nobody tells more than a
/// serial that could not be read, and a wrong check character more than a wrong length.
fn better<'a>(known: Trace<'a>, new: Result<(), SerialError>) -> Trace<'a> {
    match (known, new) {
        (_, Ok(())) | (Trace::NoSuchNote, Err(_)) => Trace::NoSuchNote,
        (Trace::NotASerial(old), Err(new)) if !matches!(new, SerialError::Check { .. }) => {
            Trace::NotASerial(old)
        }
        (_, Err(new)) => Trace::NotASerial(new),
    }
}
