//! Makes up the machine file of a lot: a press run with the faults that press runs have.
//!
//! What a plate, an inking or a wiping fault looks like over the sheets is common practice, no
//! source. The same seed and lot give the same bytes.

use std::collections::BTreeMap;

use crate::export::{Column, quoted};
use crate::inspect::{ClassCode, Spot};
use crate::sheet::{LotId, SheetNo, SheetRange, Side};

use super::lot::PracticeLot;
use super::random::Random;

/// Sheets on which the plate repeater stands, one after the other (all of a smaller lot).
pub const REPEATER_SHEETS: u32 = 180;
const TINT_SHEETS: u32 = 120;
const WIPING_SHEETS: u32 = 140;
const BLUR_SHEETS: u32 = 300;
const WRONG_NUMBER_SHEETS: u32 = 3;

/// Single spots on this many sheets of a hundred.
const SPOTS_PER_HUNDRED: u32 = 3;
const SHEETS_PER_TEAR: u32 = 1500;
const SHEETS_PER_FOLD: u32 = 2500;

/// What the machine said of one place: one row of its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MachineRow {
    pub sheet: SheetNo,
    pub spot: Spot,
    pub side: Side,
    pub class: ClassCode,
    /// A measure, or nothing.
    pub remark: String,
}

/// The rows of a lot, by sheet and then by position, none twice.
///
/// - a repeater: void `OM` at one position of [`REPEATER_SHEETS`] sheets in a row
/// - an inking column: tint `OT` along one column of a stretch of sheets
/// - a wiping streak: `IW` in a slanting band that wanders, widens and is stopped
/// - a numbering box: blurred `NB` now and then at one position, and wrong `NW` on three sheets
/// - tears `PT` and folds `HF`, which are of the whole sheet
/// - single spots `OS PD SP HS OX`, as many more as the lot asks for
pub fn generate(seed: u64, lot: &PracticeLot) -> Vec<MachineRow> {
    let mut run = Run {
        random: Random::new(seed),
        lot,
        rows: BTreeMap::new(),
    };
    run.repeat();
    run.tint_column();
    run.wipe_badly();
    run.blur_numbers();
    run.skip_numbers();
    run.spoil_sheets();
    run.scatter();
    let row = |((sheet, spot, side, class), remark)| MachineRow {
        sheet,
        spot,
        side,
        class,
        remark,
    };
    run.rows.into_iter().map(row).collect()
}

/// The rows as a machine writes them; see [`crate::export::read_machine_file`].
pub fn to_csv(lot: &PracticeLot, rows: &[MachineRow]) -> String {
    let mut csv = Column::ALL.map(Column::name).join(",") + "\r\n";
    for row in rows {
        csv += &line(lot, row);
        csv += "\r\n";
    }
    csv
}

fn line(lot: &PracticeLot, row: &MachineRow) -> String {
    let MachineRow {
        sheet,
        spot,
        side,
        class,
        remark,
    } = row;
    let lot_id: LotId = lot.lot();
    let position = match spot {
        Spot::WholeSheet => "",
        Spot::Note(position) => lot.layout().name(*position),
    };
    let side = match side {
        Side::Front => "front",
        Side::Back => "back",
    };
    format!(
        "{lot_id},{sheet},{side},{position},{class},{}",
        quoted(remark)
    )
}

/// A press run under way.
struct Run<'a> {
    random: Random,
    lot: &'a PracticeLot,
    rows: BTreeMap<(SheetNo, Spot, Side, ClassCode), String>,
}

impl Run<'_> {
    fn add(&mut self, sheet: SheetNo, spot: Spot, side: Side, class: &str, remark: String) {
        let class = class.parse().expect("the codes here are two letters");
        self.rows
            .entry((sheet, spot, side, class))
            .or_insert(remark);
    }

    fn sheet(&mut self) -> SheetNo {
        SheetNo::from_index(self.random.below(self.lot.sheets()))
    }

    /// That many sheets in a row somewhere in the lot, or the whole lot if it is smaller.
    fn stretch(&mut self, length: u32) -> SheetRange {
        let length = length.min(self.lot.sheets());
        let from = self.random.below(self.lot.sheets() - length + 1);
        SheetRange::new(
            SheetNo::from_index(from),
            SheetNo::from_index(from + length - 1),
        )
        .expect("a stretch of one sheet or more does not run backwards")
    }

    /// The note at a row and column of the front, counted on from the first past the last.
    fn note(&self, row: u32, column: u32) -> Spot {
        let layout = self.lot.layout();
        let (row, column) = (
            row % u32::from(layout.rows()),
            column % u32::from(layout.columns()),
        );
        let position = layout.position(row as u8, column as u8);
        Spot::Note(position.expect("both are taken modulo the layout"))
    }

    fn any_note(&mut self) -> Spot {
        let (row, column) = (self.random.below(400), self.random.below(400));
        self.note(row, column)
    }

    /// Tenths of a millimetre, as a machine measures.
    fn millimetres(&mut self, from: u32, to: u32) -> String {
        let tenths = from + self.random.below(to - from + 1);
        format!("{}.{} mm", tenths / 10, tenths % 10)
    }

    fn repeat(&mut self) {
        let spot = self.any_note();
        let size = self.millimetres(4, 12);
        for sheet in self.stretch(REPEATER_SHEETS).iter() {
            self.add(sheet, spot, Side::Front, "OM", size.clone());
        }
    }

    fn tint_column(&mut self) {
        let column = self.random.below(self.lot.layout().columns().into());
        for sheet in self.stretch(TINT_SHEETS).iter() {
            for row in 0..u32::from(self.lot.layout().rows()) {
                if self.random.percent(65) {
                    let spot = self.note(row, column);
                    self.add(sheet, spot, Side::Front, "OT", String::new());
                }
            }
        }
    }

    /// The band slants over the columns, moves down a row every 20 sheets, and is two rows wide
    /// in the middle third, before someone stops it.
    fn wipe_badly(&mut self) {
        let first_row = self.random.below(self.lot.layout().rows().into());
        let stretch = self.stretch(WIPING_SHEETS);
        for (age, sheet) in (0..).zip(stretch.iter()) {
            let worst = (stretch.len() / 3..stretch.len() * 2 / 3).contains(&age);
            for column in 0..u32::from(self.lot.layout().columns()) {
                for width in 0..=u32::from(worst) {
                    if self.random.percent(80) {
                        let spot = self.note(first_row + column + age / 20 + width, column);
                        let length = self.millimetres(60, 400);
                        self.add(sheet, spot, Side::Front, "IW", format!("streak, {length}"));
                    }
                }
            }
        }
    }

    fn blur_numbers(&mut self) {
        let spot = self.any_note();
        for sheet in self.stretch(BLUR_SHEETS).iter() {
            if self.random.percent(25) {
                self.add(sheet, spot, Side::Front, "NB", String::new());
            }
        }
    }

    fn skip_numbers(&mut self) {
        let spot = self.any_note();
        for sheet in self.stretch(WRONG_NUMBER_SHEETS).iter() {
            self.add(sheet, spot, Side::Front, "NW", "one ahead".to_owned());
        }
    }

    fn spoil_sheets(&mut self) {
        for (class, per) in [("PT", SHEETS_PER_TEAR), ("HF", SHEETS_PER_FOLD)] {
            for _ in 0..=self.lot.sheets() / per {
                let sheet = self.sheet();
                self.add(sheet, Spot::WholeSheet, Side::Front, class, String::new());
            }
        }
    }

    /// `PracticeLot` has no more rows than notes and five classes can stand on either side of a
    /// note, so nine places of ten stay free and this ends soon.
    fn scatter(&mut self) {
        let spots = u64::from(self.lot.sheets()) * u64::from(SPOTS_PER_HUNDRED) / 100;
        for _ in 0..spots {
            self.add_spot();
        }
        while self.rows.len() < self.lot.rows_at_least() {
            self.add_spot();
        }
    }

    fn add_spot(&mut self) {
        let (sheet, spot) = (self.sheet(), self.any_note());
        let side = if self.random.percent(65) {
            Side::Front
        } else {
            Side::Back
        };
        let classes = ["OS", "OS", "OS", "OS", "PD", "PD", "PD", "SP", "HS", "OX"];
        let class = *self.random.pick(&classes);
        let size = self.millimetres(2, 14);
        self.add(sheet, spot, side, class, size);
    }
}

#[cfg(test)]
mod tests;
