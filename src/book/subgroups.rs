//! Groups of sheets in the order of the lot, for charts of what goes on at the press.

use crate::people::Day;
use crate::sheet::SheetNo;

use super::lot::{Exam, Lot};

/// The sheets of one stack that were examined on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Subgroup {
    /// First and last sheet that were examined.
    pub from: SheetNo,
    pub to: SheetNo,
    pub sheets: u64,
    /// Notes on them.
    pub notes: u64,
    /// Notes defective by their own tags; a class of the whole sheet makes none.
    pub defective: u64,
    /// Tags of notes and of whole sheets.
    pub tags: u64,
}

/// The sheets of a lot that count to a day, `per` sheet numbers to a group. A group holds only
/// what was examined, so sizes vary; a group with nothing is left out.
pub fn subgroups(lot: &Lot, day: Day, per: u32) -> Vec<Subgroup> {
    let mut groups: Vec<(u32, Subgroup)> = Vec::new();
    for (sheet, exam) in lot.examined().filter(|(_, exam)| exam.day == day) {
        let number = sheet.index() / per.max(1);
        match groups.last_mut() {
            Some((last, group)) if *last == number => group.take(lot, sheet, exam),
            _ => {
                let mut group = Subgroup::begun_by(sheet);
                group.take(lot, sheet, exam);
                groups.push((number, group));
            }
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

impl Subgroup {
    fn begun_by(sheet: SheetNo) -> Self {
        Self {
            from: sheet,
            to: sheet,
            sheets: 0,
            notes: 0,
            defective: 0,
            tags: 0,
        }
    }

    fn take(&mut self, lot: &Lot, sheet: SheetNo, exam: &Exam) {
        self.to = sheet;
        self.sheets += 1;
        self.notes += u64::from(lot.notes());
        self.defective += u64::from(exam.ruling.defective.len());
        self.tags += exam.tags.len() as u64;
    }
}
