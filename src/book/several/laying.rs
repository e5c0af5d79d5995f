//! Books laid side by side book after book, so that a page that waits for it draws and answers in
//! between.

use std::collections::BTreeMap;

use crate::account::SheetFigures;
use crate::inspect::Verdict;
use crate::sheet::LotId;

use super::conflict::Conflict;
use super::{Chained, Known, LotTogether, Several, counting, pair};

/// Books of which the first are compared with all others. Every call is given the same books.
#[derive(Clone, Debug, Default)]
pub struct Laying {
    laid: usize,
    books: usize,
    conflicts: Vec<Conflict>,
    rulings: BTreeMap<LotId, Vec<Ruled>>,
}

/// What the books laid so far say of a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Ruled {
    #[default]
    ByNone,
    Once(Verdict),
    /// More than one book has ruled on it.
    Contested,
}

impl Laying {
    pub fn begin(books: &[&dyn Chained]) -> Self {
        Self {
            laid: 0,
            books: counting(books).0.len(),
            conflicts: Vec::new(),
            rulings: BTreeMap::new(),
        }
    }

    pub fn is_done(&self) -> bool {
        self.laid == self.books
    }

    /// Books that are laid, and all that count.
    pub fn progress(&self) -> (usize, usize) {
        (self.laid, self.books)
    }

    /// Compares the next book with those after it and counts its lots.
    pub fn step(&mut self, books: &[&dyn Chained]) {
        let (known, _) = counting(books);
        if let Some((first, others)) = known.get(self.laid..).and_then(<[_]>::split_first) {
            for second in others {
                self.conflicts.extend(pair::conflicts(first, second));
            }
            self.take_lots(first);
            self.laid += 1;
        }
    }

    fn take_lots(&mut self, known: &Known) {
        for lot in known.state().lots.values() {
            let sheets = self.rulings.entry(lot.id).or_default();
            if sheets.len() < lot.sheets.len() {
                sheets.resize(lot.sheets.len(), Ruled::ByNone);
            }
            for (ruled, sheet) in sheets.iter_mut().zip(&lot.sheets) {
                if let Some(exam) = &sheet.exam {
                    *ruled = match ruled {
                        Ruled::ByNone => Ruled::Once(exam.ruling.verdict),
                        Ruled::Once(_) | Ruled::Contested => Ruled::Contested,
                    };
                }
            }
        }
    }

    /// What the books come to, once all are laid.
    pub fn finish(mut self, books: &[&dyn Chained]) -> Several {
        let (known, contained) = counting(books);
        self.conflicts.extend(pair::practice_among_real(&known));
        self.conflicts.sort();
        Several {
            lots: lots_together(&self.rulings, &known),
            books: known.into_iter().map(|one| one.name).collect(),
            contained,
            conflicts: self.conflicts,
        }
    }
}

fn lots_together(
    rulings: &BTreeMap<LotId, Vec<Ruled>>,
    known: &[Known],
) -> BTreeMap<LotId, LotTogether> {
    let lots = rulings.iter();
    let mut lots: BTreeMap<LotId, LotTogether> =
        lots.map(|(lot, sheets)| (*lot, together(sheets))).collect();
    // What both a book and an archive have is a conflict; the book's own count stands here.
    let archives = known.iter().map(|one| &one.state().archive);
    for lot in archives.flat_map(|archive| archive.lots.values()) {
        lots.entry(lot.carried.lot)
            .or_insert_with(|| closed(&lot.carried.sheets));
    }
    lots
}

fn closed(sheets: &SheetFigures) -> LotTogether {
    LotTogether {
        sheets: (sheets.received + sheets.added) as u32,
        good: sheets.good as u32,
        mixed: sheets.mixed as u32,
        spoiled: sheets.spoiled as u32,
        contested: 0,
    }
}

fn together(sheets: &[Ruled]) -> LotTogether {
    let mut lot = LotTogether {
        sheets: sheets.len() as u32,
        ..LotTogether::default()
    };
    for ruled in sheets {
        match ruled {
            Ruled::ByNone => {}
            Ruled::Once(Verdict::Good) => lot.good += 1,
            Ruled::Once(Verdict::Mixed) => lot.mixed += 1,
            Ruled::Once(Verdict::Spoiled) => lot.spoiled += 1,
            Ruled::Contested => lot.contested += 1,
        }
    }
    lot
}
