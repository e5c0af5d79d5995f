//! The lot that practice files are about.

use crate::sheet::{
    Grammage, Layout, LayoutSpec, Length, LotId, MAX_SHEETS, NameScheme, RankOrder, Turn, grouped,
};

/// The lot of a practice file, with room for the rows asked for.
#[derive(Clone, Debug)]
pub struct PracticeLot {
    lot: LotId,
    sheets: u32,
    layout: Layout,
    rows_at_least: usize,
}

/// Why no practice file can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PracticeLotError {
    #[error("A practice lot of {found} sheets cannot be made. Give 1 to {} sheets.", grouped(MAX_SHEETS.into()))]
    Sheets { found: u32 },
    #[error(
        "{} rows are asked for, but a file of this lot stays believable only up to {}. Give fewer rows or more sheets.",
        grouped(*.asked as u64), grouped(*.most as u64)
    )]
    Rows { asked: usize, most: usize },
}

impl PracticeLot {
    /// A lot of `sheets` sheets whose file has at least `rows_at_least` rows (0: as many as the
    /// faults of the story make).
    ///
    /// # Errors
    /// No sheets or too many; more rows than the lot has notes.
    pub fn new(
        lot: LotId,
        sheets: u32,
        layout: Layout,
        rows_at_least: usize,
    ) -> Result<Self, PracticeLotError> {
        if !(1..=MAX_SHEETS).contains(&sheets) {
            return Err(PracticeLotError::Sheets { found: sheets });
        }
        let most = sheets as usize * usize::from(layout.notes());
        if rows_at_least > most {
            return Err(PracticeLotError::Rows {
                asked: rows_at_least,
                most,
            });
        }
        Ok(Self {
            lot,
            sheets,
            layout,
            rows_at_least,
        })
    }

    pub fn lot(&self) -> LotId {
        self.lot
    }

    pub fn sheets(&self) -> u32 {
        self.sheets
    }

    pub fn layout(&self) -> &Layout {
        &self.layout
    }

    pub fn rows_at_least(&self) -> usize {
        self.rows_at_least
    }
}

/// The sheet of the invented 20 merin note: 8 rows of 5 notes, `A1` to `H5`.
pub fn merin_layout() -> Layout {
    let mm = |mm| Length::from_mm(mm).expect("a length below 10 m");
    let spec = LayoutSpec {
        rows: 8,
        columns: 5,
        note_width: mm(136.0),
        note_height: mm(68.0),
        margin_x: mm(12.0),
        margin_y: mm(14.0),
        gutter_x: mm(0.0),
        gutter_y: mm(0.0),
        sheet_width: mm(704.0),
        sheet_height: mm(572.0),
        grammage: Grammage::from_g_per_m2(86.0).expect("a grammage of banknote paper"),
        names: NameScheme::RowLetterColumnNumber,
        order: RankOrder::Rows,
        turn: Turn::WorkAndTurn,
    };
    Layout::new(spec).expect("8 by 5 notes fit the sheet, as a test shows")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_lots_are_refused() {
        let lot = |sheets, rows| {
            PracticeLot::new("BW-0412".parse().unwrap(), sheets, merin_layout(), rows).map(|_| ())
        };
        assert_eq!(lot(0, 0), Err(PracticeLotError::Sheets { found: 0 }));
        assert_eq!(lot(10, 400), Ok(()));
        assert_eq!(
            lot(10, 401).unwrap_err().to_string(),
            "401 rows are asked for, but a file of this lot stays believable only up to 400. Give fewer rows or more sheets."
        );
    }

    #[test]
    fn the_sheet_is_full_and_symmetric() {
        let layout = merin_layout();
        let names: Vec<_> = layout
            .positions()
            .map(|position| layout.name(position).to_owned())
            .collect();
        assert_eq!((names.len(), &*names[0], &*names[39]), (40, "A1", "H5"));
        let spec = layout.spec();
        assert_eq!(spec.sheet_width.micrometres(), 5 * 136_000 + 2 * 12_000);
        assert_eq!(spec.sheet_height.micrometres(), 8 * 68_000 + 2 * 14_000);
    }
}
