//! Builds, sheet by sheet, the figures in which `quality` looks for repeaters and zones.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::inspect::{ClassCode, Scope, Spot, Tag};
use crate::people::Day;
use crate::quality::meaning::Pattern;
use crate::quality::repeat::{self, Family, Runs};
use crate::quality::zones::{self, Tables};
use crate::quality::{Grid, Probability};
use crate::sheet::{Layout, LotId, Position, SheetNo, Side};

use super::lot::{Exam, Lot};

/// A class on one side. The sides are printed apart, so what runs on one does not run on the
/// other; where it lies is the same physical note on both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark {
    pub class: ClassCode,
    pub side: Side,
}

impl Mark {
    /// Where to look first when the marks of this class lie so; the catalogue knows the step. A
    /// class that is not in the lot's catalogue is never tagged.
    pub fn look_at(self, pattern: Pattern, lot: &Lot) -> String {
        let class = lot.catalogue.get(self.class);
        class.map_or_else(String::new, |class| pattern.look_at(class.step))
    }
}

/// A mark at one position, sheet after sheet.
pub type Repeater = repeat::Finding<SheetNo, Position, Mark>;
/// A mark that favours a column or a row; lines are counted on the front.
pub type ZoneFinding = zones::Finding<Mark>;

/// What stands out in a lot when false alarms are held to one in twenty findings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Findings {
    /// Most surprising first.
    pub repeaters: Vec<Repeater>,
    /// Most surprising first.
    pub zones: Vec<ZoneFinding>,
}

/// The press as seen through the examined sheets of one lot, in sheet order. Machine and eye
/// tags count alike; a tag of the whole sheet has no position and takes no part.
#[derive(Clone, Debug, Default)]
pub struct Press {
    lot: Option<LotId>,
    /// The examinations followed, up to the last sheet examined. Each is compared by address,
    /// and held here so that no other can take that address.
    seen: Vec<Option<Rc<Exam>>>,
    runs: Runs<SheetNo, Position, Mark>,
    by_mark: BTreeMap<Mark, Grid>,
    /// Sheets with any mark at a position, front and back.
    by_side: Option<[Grid; 2]>,
    tables: Tables,
    findings: Rc<Findings>,
}

impl Press {
    /// The press of a lot as it stands.
    pub fn of(lot: &Lot) -> Self {
        let mut press = Self::default();
        press.follow(lot);
        press
    }

    /// The press as the sheets of one production day alone show it.
    pub fn of_day(lot: &Lot, day: Day) -> Self {
        let mut press = Self {
            lot: Some(lot.id),
            ..Self::default()
        };
        for (sheet, exam) in lot.examined().filter(|(_, exam)| exam.day == day) {
            press.push(lot, sheet, exam);
        }
        press.findings = Rc::new(press.find(lot));
        press
    }

    /// Takes in what was examined since. Sheets after the last one seen cost one step each; when
    /// an earlier one was examined or changed, or the lot is another, all is counted anew.
    pub fn follow(&mut self, lot: &Lot) {
        if self.lot != Some(lot.id) || !self.is_prefix_of(lot) {
            *self = Self {
                lot: Some(lot.id),
                tables: std::mem::take(&mut self.tables),
                ..Self::default()
            };
        }
        let before = self.runs.examined();
        for index in self.seen.len()..lot.sheets.len() {
            if let Some(exam) = &lot.sheets[index].exam {
                self.seen.resize(index, None);
                self.seen.push(Some(Rc::clone(exam)));
                self.push(lot, SheetNo::from_index(index as u32), exam);
            }
        }
        if self.runs.examined() != before || before == 0 {
            self.findings = Rc::new(self.find(lot));
        }
    }

    fn is_prefix_of(&self, lot: &Lot) -> bool {
        let same = |seen: &Option<Rc<Exam>>, now: &Option<Rc<Exam>>| match (seen, now) {
            (Some(seen), Some(now)) => Rc::ptr_eq(seen, now),
            (None, None) => true,
            _ => false,
        };
        let mut pairs = self.seen.iter().zip(&lot.sheets);
        let whole = self.seen.len() <= lot.sheets.len();
        // Nothing seen is nothing kept: the layout may be another.
        whole && !self.seen.is_empty() && pairs.all(|(seen, sheet)| same(seen, &sheet.exam))
    }

    fn push(&mut self, lot: &Lot, sheet: SheetNo, exam: &Exam) {
        self.runs.push(sheet, exam.tags.iter().filter_map(placed));
        let layout = &lot.product.layout;
        for (position, mark) in exam.tags.iter().filter_map(placed) {
            let grid = self.by_mark.entry(mark).or_insert_with(|| grid(layout));
            count(grid, layout, position);
        }
        let sides = self
            .by_side
            .get_or_insert_with(|| [grid(layout), grid(layout)]);
        for (side, grid) in Side::BOTH.into_iter().zip(sides) {
            let mut marked: Vec<Position> = exam
                .tags
                .iter()
                .filter_map(placed)
                .filter(|(_, mark)| mark.side == side)
                .map(|(position, _)| position)
                .collect();
            marked.sort_unstable();
            marked.dedup();
            for position in marked {
                count(grid, layout, position);
            }
        }
    }

    fn find(&mut self, lot: &Lot) -> Findings {
        let alpha = Probability::ONE_IN_TWENTY;
        Findings {
            repeaters: self.runs.findings(family(lot), alpha),
            zones: zones::findings_with(&self.by_mark, alpha, &mut self.tables),
        }
    }

    /// Sheets examined.
    pub fn examined(&self) -> u64 {
        self.runs.examined()
    }

    /// What stands out in the sheets followed so far.
    pub fn findings(&self) -> Rc<Findings> {
        Rc::clone(&self.findings)
    }

    /// How often each mark was seen at each position.
    pub fn marks(&self) -> impl Iterator<Item = (Mark, &Grid)> {
        self.by_mark.iter().map(|(mark, grid)| (*mark, grid))
    }

    /// Sheets with any mark at each position of a side; nothing before a sheet was examined.
    pub fn side(&self, side: Side) -> Option<&Grid> {
        let [front, back] = self.by_side.as_ref()?;
        Some(match side {
            Side::Front => front,
            Side::Back => back,
        })
    }

    /// The exact chance that this position has a run of `length` sheets somewhere among the
    /// examined ones, were marks independent and as frequent as at the other positions.
    pub fn chance(&self, lot: &Lot, position: Position, mark: Mark, length: u64) -> Probability {
        let sheets = self.examined().max(length);
        self.runs
            .chance(&position, &mark, length, sheets, family(lot))
    }
}

/// How many kinds of repeater could show in a lot: positions times note classes, on each side.
pub fn family(lot: &Lot) -> Family {
    let classes = lot.catalogue.classes().iter();
    let of_notes = classes.filter(|class| class.scope == Scope::Note).count();
    Family {
        positions: lot.notes().into(),
        classes: 2 * of_notes as u64,
    }
}

fn placed(tag: &Tag) -> Option<(Position, Mark)> {
    let (class, side) = (tag.class, tag.side);
    match tag.spot {
        Spot::Note(position) => Some((position, Mark { class, side })),
        Spot::WholeSheet => None,
    }
}

fn grid(layout: &Layout) -> Grid {
    Grid::new(layout.rows().into(), layout.columns().into())
        .expect("a checked layout has rows and columns")
}

fn count(grid: &mut Grid, layout: &Layout, position: Position) {
    let (row, column) = layout.cell(position);
    grid.count(row.into(), column.into())
        .expect("a tag's position was found in this layout");
}
