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
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::desk::practice::merin_layout;
    use crate::export::{MachineContext, MachineReport, read_machine_file};
    use crate::inspect::{Rules, Verdict, rule, starter_catalogue};
    use crate::sheet::Position;

    fn lot(sheets: u32, rows: usize) -> PracticeLot {
        PracticeLot::new("BW-0412".parse().unwrap(), sheets, merin_layout(), rows).unwrap()
    }

    fn of_class<'a>(rows: &'a [MachineRow], class: &str) -> Vec<&'a MachineRow> {
        rows.iter()
            .filter(|row| row.class.as_str() == class)
            .collect()
    }

    fn positions(rows: &[&MachineRow]) -> BTreeSet<Position> {
        let position = |row: &&MachineRow| match row.spot {
            Spot::Note(position) => position,
            Spot::WholeSheet => panic!("{row:?} has no position"),
        };
        rows.iter().map(position).collect()
    }

    /// Distinct sheets of these rows, and how many sheets lie between the first and the last.
    fn sheets(rows: &[&MachineRow]) -> (u32, u32) {
        let all: BTreeSet<u32> = rows.iter().map(|row| row.sheet.number()).collect();
        (
            all.len() as u32,
            all.last().unwrap() - all.first().unwrap() + 1,
        )
    }

    fn read(lot: &PracticeLot, csv: &str) -> MachineReport {
        let context = MachineContext {
            lot: lot.lot(),
            sheets: lot.sheets(),
            layout: lot.layout(),
            catalogue: &starter_catalogue(),
            examined: &|_| false,
        };
        read_machine_file(csv.as_bytes(), &context).unwrap()
    }

    #[test]
    fn the_repeater_stands_on_exactly_its_sheets() {
        for seed in 0..20 {
            let rows = generate(seed, &lot(10_000, 0));
            let voids = of_class(&rows, "OM");
            assert_eq!(voids.len(), 180);
            assert_eq!(positions(&voids).len(), 1);
            assert_eq!(sheets(&voids), (180, 180), "one sheet after the other");
        }
    }

    #[test]
    fn the_tint_keeps_to_one_column_and_the_streak_slants_and_stops() {
        let layout = merin_layout();
        for seed in 0..20 {
            let rows = generate(seed, &lot(10_000, 0));
            let tints = of_class(&rows, "OT");
            let columns: BTreeSet<u8> = positions(&tints)
                .into_iter()
                .map(|p| layout.cell(p).1)
                .collect();
            assert_eq!(columns.len(), 1);
            assert!(sheets(&tints).1 <= TINT_SHEETS);
            // 120 sheets × 8 rows × 0.65 = 624, standard deviation 15.
            assert!((549..=699).contains(&tints.len()), "{}", tints.len());
            let streak = of_class(&rows, "IW");
            assert!(sheets(&streak).1 <= WIPING_SHEETS);
            // 140 sheets × 5 columns × 0.8 and a third of that again, standard deviation 12.
            assert!((685..=807).contains(&streak.len()), "{}", streak.len());
            assert!(positions(&streak).len() > 20, "it wanders over the sheet");
        }
    }

    #[test]
    fn numbering_faults_keep_to_their_box_and_tears_have_no_position() {
        let rows = generate(3, &lot(10_000, 0));
        for class in ["NB", "NW"] {
            assert_eq!(positions(&of_class(&rows, class)).len(), 1, "{class}");
        }
        assert_eq!(sheets(&of_class(&rows, "NW")), (3, 3));
        let tears = of_class(&rows, "PT");
        assert!((1..=7).contains(&tears.len()));
        assert!(tears.iter().all(|row| row.spot == Spot::WholeSheet));
    }

    #[test]
    fn single_spots_lie_everywhere() {
        let rows = generate(4, &lot(10_000, 0));
        let spots = [of_class(&rows, "OS"), of_class(&rows, "PD")].concat();
        // 300 × 0.7 = 210, standard deviation 8; every position and both sides are hit.
        assert!((170..=250).contains(&spots.len()), "{}", spots.len());
        assert!(positions(&spots).len() >= 38);
        assert!(spots.iter().any(|row| row.side == Side::Back));
    }

    #[test]
    fn the_file_reads_back_whole_and_gives_all_three_verdicts() {
        let lot = lot(10_000, 0);
        let rows = generate(1, &lot);
        let report = read(&lot, &to_csv(&lot, &rows));
        assert_eq!(
            (report.accepted.len(), report.refused.len()),
            (rows.len(), 0)
        );
        let mut tags = BTreeMap::new();
        for (sheet, tag) in report.accepted {
            tags.entry(sheet).or_insert_with(Vec::new).push(tag);
        }
        let (catalogue, rules) = (starter_catalogue(), Rules::default());
        let verdicts: Vec<Verdict> = tags
            .values()
            .map(|tags| rule(tags, 40, &catalogue, &rules).verdict)
            .collect();
        let count = |verdict| verdicts.iter().filter(|&&v| v == verdict).count();
        assert!(
            count(Verdict::Good) > 100,
            "sheets with only a little dirt or tint"
        );
        assert!(
            (200..1000).contains(&count(Verdict::Mixed)),
            "{}",
            count(Verdict::Mixed)
        );
        assert!(
            (8..100).contains(&count(Verdict::Spoiled)),
            "{}",
            count(Verdict::Spoiled)
        );
    }

    #[test]
    fn the_same_seed_gives_the_same_bytes_and_another_does_not() {
        let lot = lot(10_000, 0);
        let csv = |seed| to_csv(&lot, &generate(seed, &lot));
        assert_eq!(csv(5), csv(5));
        assert_ne!(csv(5), csv(6));
    }

    #[test]
    fn a_lot_can_be_tiny_or_its_file_huge() {
        for sheets in [1, 2, 179] {
            let rows = generate(1, &lot(sheets, 0));
            assert_eq!(of_class(&rows, "OM").len() as u32, sheets);
        }
        let rows = generate(1, &lot(10_000, 200_000));
        assert_eq!(rows.len(), 200_000);
        assert_eq!(sheets(&of_class(&rows, "OM")), (180, 180));
    }
}
