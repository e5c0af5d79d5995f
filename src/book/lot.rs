//! One lot: its sheets, what was found on each, and what replaced what.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::account::{Stage, Tally};
use crate::inspect::{
    Catalogue, Need, Rules, Ruling, SheetTakes, Source, Spot, Tag, Verdict, rule,
};
use crate::people::{Day, PersonId, Stamp};
use crate::sheet::{LotId, Position, SeriesId, SheetNo, SheetRange};

use super::state::Product;

mod press;
mod serials;

pub use press::{AtPress, Differed, Gone, PressRecord};
pub use serials::Serials;

/// One examination, shared by all sheets it covers.
#[derive(Clone, Debug, PartialEq)]
pub struct Exam {
    /// The entry that has the last word on the sheet: the one that recorded it, or overruled it.
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// The production day it counts to, by the rules in force when it was recorded.
    pub day: Day,
    pub stage: Stage,
    pub tags: Vec<Tag>,
    /// The ruling in force: the rules' own, or a supervisor's against them.
    pub ruling: Ruling,
    /// The entry it corrected, and why.
    pub corrects: Option<(u64, String)>,
    /// Set when the tags of the machine were kept for a range that was passed together.
    pub machine_word: Option<SheetRange>,
    /// Who overruled the rules, and when. Boxed: it is rare, and a long book has many sheets.
    pub overruled: Option<Box<Overruling>>,
}

/// When and by whom the rules were overruled. What was said is the ruling's reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Overruling {
    /// The entry that examined the sheet.
    pub examined: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// The production day of the overruling; the sheet stays counted to its examination's.
    pub day: Day,
}

impl Exam {
    /// The entry that recorded the tags.
    pub fn examined_in(&self) -> u64 {
        let over = self.overruled.as_ref();
        over.map_or(self.seq, |overruled| overruled.examined)
    }

    /// Who made the sheet what it is: its inspector, and whoever overruled the rules.
    pub fn ruled_by(&self) -> impl Iterator<Item = PersonId> {
        let over = self.overruled.as_ref().map(|overruled| overruled.by);
        std::iter::once(self.by).chain(over)
    }

    /// What an examination of a range leaves to the machine, in words.
    pub fn machine_word(&self) -> Option<String> {
        let kept = self.machine_word?;
        let seen = self.tags.iter().any(|tag| tag.source == Source::Eye);
        let range = kept.readable();
        Some(match (seen, kept.len()) {
            (false, 1) => "passed on the machine's word".to_owned(),
            (false, _) => format!("passed with sheets {range} on the machine's word"),
            (true, _) => format!("recorded with sheets {range}, the machine's tags kept"),
        })
    }
}

/// What is known of one sheet.
#[derive(Clone, Debug, Default)]
pub struct SheetState {
    /// What the machine reported; an examination confirms or overrules it.
    pub machine: Vec<Tag>,
    /// The examination in force.
    pub exam: Option<Rc<Exam>>,
}

/// A lot under the rules and the catalogue in force when it was opened.
#[derive(Clone, Debug)]
pub struct Lot {
    pub id: LotId,
    pub product: Rc<Product>,
    pub catalogue: Rc<Catalogue>,
    pub rules: Rc<Rules>,
    /// Whether its sheets came to the bench with serials.
    pub came_numbered: bool,
    /// Read through the lot's own functions, which know the press order.
    pub(super) serials: Serials,
    pub press: AtPress,
    /// One for each sheet received, in order, then one for each added at the press.
    pub sheets: Vec<SheetState>,
    pub tally: Tally,
    /// Serial number of a note to its replacement: series and number.
    pub replaced: BTreeMap<u64, (SeriesId, u64)>,
    /// The entry that opened it.
    pub seq: u64,
    /// The entry that closed it.
    pub closed: Option<u64>,
}

impl Lot {
    /// Whether its notes have serials now.
    pub fn stage(&self) -> Stage {
        match self.is_numbered() {
            true => Stage::Numbered,
            false => Stage::Unnumbered,
        }
    }

    /// Notes on one sheet.
    pub fn notes(&self) -> u16 {
        self.product.layout.notes()
    }

    /// Sheets received and added at the press.
    pub fn len(&self) -> u32 {
        self.sheets.len() as u32
    }

    pub fn is_empty(&self) -> bool {
        self.sheets.is_empty()
    }

    /// The state of a sheet of this lot; nothing when the number is beyond it.
    pub fn sheet(&self, sheet: SheetNo) -> Option<&SheetState> {
        self.sheets.get(sheet.index() as usize)
    }

    /// What would follow for a sheet with these tags.
    pub fn rule(&self, tags: &[Tag]) -> Ruling {
        rule(tags, self.notes(), &self.catalogue, &self.rules)
    }

    /// The positions of a sheet whose notes must be replaced: the defective ones of a mixed
    /// sheet, all of a spoiled one.
    pub fn lost(&self, ruling: &Ruling) -> Vec<Position> {
        let layout = &self.product.layout;
        match ruling.verdict {
            Verdict::Good => Vec::new(),
            Verdict::Mixed => ruling.defective.iter(layout).collect(),
            Verdict::Spoiled => layout.positions().collect(),
        }
    }

    /// How many notes of a sheet are lost under this ruling.
    pub fn lost_count(&self, ruling: &Ruling) -> u16 {
        match ruling.verdict {
            Verdict::Good => 0,
            Verdict::Mixed => ruling.defective.len(),
            Verdict::Spoiled => self.notes(),
        }
    }

    /// Examined sheets in order.
    pub fn examined(&self) -> impl Iterator<Item = (SheetNo, &Exam)> {
        let sheets = self.sheets.iter().enumerate();
        sheets.filter_map(|(index, sheet)| {
            let exam = sheet.exam.as_deref()?;
            Some((SheetNo::from_index(index as u32), exam))
        })
    }

    /// Examined sheets that are not good, in order.
    pub fn not_good(&self) -> impl Iterator<Item = (SheetNo, &Exam)> {
        self.examined()
            .filter(|(_, exam)| exam.ruling.verdict != Verdict::Good)
    }

    /// Examined sheets that a list must name: those not good, and those that are good only
    /// because the rules were overruled.
    pub fn listed(&self) -> impl Iterator<Item = (SheetNo, &Exam)> {
        self.examined()
            .filter(|(_, exam)| exam.ruling.verdict != Verdict::Good || exam.ruling.is_overruled())
    }

    /// Notes of examined sheets that need a replacement and have none, each with its bundle and
    /// depth. Empty for a lot that is not numbered; a sheet that left before has no note in need.
    pub fn needs(&self) -> Vec<Need<u64>> {
        let mut needs = Vec::new();
        for (sheet, exam) in self.not_good() {
            for position in self.lost(&exam.ruling) {
                let place = self.place(sheet, position);
                let number = self.number(sheet, position);
                if let (Some(place), Some(note)) = (place, number)
                    && !self.replaced.contains_key(&note)
                {
                    needs.push(Need {
                        bundle: place.bundle,
                        depth: place.depth,
                        note,
                    });
                }
            }
        }
        needs
    }

    /// The numbers of the notes of a sheet by rank; empty while it has none.
    pub fn numbers(&self, sheet: SheetNo) -> Vec<u64> {
        let layout = &self.product.layout;
        let ranks = (0..self.notes()).filter_map(|rank| layout.of_rank(rank));
        ranks.filter_map(|at| self.number(sheet, at)).collect()
    }

    /// Whether a sheet is to be replaced whole: spoiled, numbered, under rules that say so, and
    /// none of its notes is replaced. Once a part of it is, the rest takes loose notes.
    pub fn wants_sheet(&self, sheet: SheetNo) -> bool {
        let exam = self.sheet(sheet).and_then(|known| known.exam.as_deref());
        let spoiled = exam.is_some_and(|exam| exam.ruling.verdict == Verdict::Spoiled);
        if !spoiled || self.rules.spoiled_sheet_takes == SheetTakes::Notes {
            return false;
        }
        let numbers = self.numbers(sheet);
        let replaced = |number: &u64| self.replaced.contains_key(number);
        !numbers.is_empty() && !numbers.iter().any(replaced)
    }

    /// The sheets to be replaced whole, in the order of the numbering press.
    pub fn sheet_needs(&self) -> Vec<SheetNo> {
        match self.rules.spoiled_sheet_takes {
            SheetTakes::Notes => Vec::new(),
            SheetTakes::Sheet => {
                let order = self.press_order().iter();
                order.filter(|sheet| self.wants_sheet(*sheet)).collect()
            }
        }
    }

    /// The needs that are not met by whole sheets.
    pub fn loose_needs(&self) -> Vec<Need<u64>> {
        let mut needs = self.needs();
        if self.rules.spoiled_sheet_takes == SheetTakes::Sheet {
            let whole = |need: &Need<u64>| {
                let found = self.locate(need.note);
                found.is_some_and(|(sheet, _)| self.wants_sheet(sheet))
            };
            needs.retain(|need| !whole(need));
        }
        needs
    }

    /// Whether the note at this position is lost under the ruling.
    pub fn is_lost(&self, ruling: &Ruling, position: Position) -> bool {
        match ruling.verdict {
            Verdict::Good => false,
            Verdict::Mixed => ruling.defective.contains(position),
            Verdict::Spoiled => true,
        }
    }

    /// Sheets not examined yet.
    pub fn not_examined(&self) -> u32 {
        self.len() - self.tally.examined() as u32
    }

    /// The sheets not examined yet, as ranges in order.
    pub fn open_ranges(&self) -> Vec<SheetRange> {
        let open = |sheet: &SheetState| sheet.exam.is_none();
        let runs = self.sheets.chunk_by(|a, b| open(a) == open(b));
        let ranges = runs.scan(0, |start, run| {
            let from = *start;
            *start += run.len() as u32;
            let (first, last) = (SheetNo::from_index(from), SheetNo::from_index(*start - 1));
            Some(open(&run[0]).then(|| SheetRange::new(first, last)))
        });
        ranges.flatten().filter_map(Result::ok).collect()
    }

    /// The first sheet not examined at or after `from`, then from the start.
    pub fn next_open(&self, from: SheetNo) -> Option<SheetNo> {
        let start = from.index() as usize;
        let open = |index: &usize| self.sheets[*index].exam.is_none();
        let index = (start..self.sheets.len())
            .chain(0..start.min(self.sheets.len()))
            .find(open)?;
        Some(SheetNo::from_index(index as u32))
    }

    /// A note's tags on a sheet, both sides.
    pub fn tags_at(exam: &Exam, position: Position) -> impl Iterator<Item = &Tag> {
        exam.tags
            .iter()
            .filter(move |tag| tag.spot == Spot::Note(position) || tag.spot == Spot::WholeSheet)
    }
}
