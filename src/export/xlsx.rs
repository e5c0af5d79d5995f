//! The tables of a day as one XLSX workbook: the page that explains them first, then a sheet a
//! table. Rows are taken in slices, so that whoever makes a long one can say how far it is.
//!
//! Texts are written as texts, never as formulas, and keep their leading zeros without the
//! apostrophe that CSV needs. The date of making is fixed: the same book gives the same workbook.
//! Its parts are equal to the byte wherever it is made; how they are packed may differ between a
//! browser and a native program, since packing uses what the processor has.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use serde::{Deserialize, Serialize};

use super::day_record::DayRecord;
use super::readme::readme;
use super::tables::{DayTable, DayTables, Row, Value};

/// Why a workbook could not be made.
#[derive(Debug, thiserror::Error)]
#[error("The workbook cannot be made: {0}. Save the day as CSV instead.")]
pub struct XlsxFailed(#[from] XlsxError);

/// What a workbook says of itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cover {
    pub title: String,
    /// The whole head of the book.
    pub head: String,
    /// The page that explains the set.
    pub readme: String,
    /// What begins every row.
    pub short_head: String,
    pub day: String,
}

impl Cover {
    pub fn of(record: &DayRecord, set: &DayTables) -> Self {
        Self {
            title: format!("Day record {} of bench {}", record.day, record.bench),
            head: record.head.to_string(),
            readme: readme(record, set),
            short_head: set.head.clone(),
            day: set.day.clone(),
        }
    }
}

/// A workbook in the making.
pub struct XlsxDay {
    workbook: Workbook,
    cover: Cover,
    /// The next free row of the sheet begun last.
    row: u32,
    sheets: usize,
}

/// Widths in characters: of a column that holds sentences, and of the others.
const WIDE: u16 = 60;
const NARROW: u16 = 16;

impl XlsxDay {
    /// A workbook with its first page.
    ///
    /// # Errors
    /// What the workbook could not hold.
    pub fn new(cover: Cover) -> Result<Self, XlsxFailed> {
        let mut workbook = Workbook::new();
        let properties = DocProperties::new()
            .set_title(&cover.title)
            .set_subject(format!("Head of the book: {}", cover.head))
            .set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?);
        workbook.set_properties(&properties);
        let page = workbook.add_worksheet().set_name("README")?;
        for (row, line) in (0..).zip(cover.readme.lines()) {
            page.write_string(row, 0, line)?;
        }
        Ok(Self {
            workbook,
            cover,
            row: 0,
            sheets: 1,
        })
    }

    /// Begins the sheet of a table; its rows are given apart.
    ///
    /// # Errors
    /// What the workbook could not hold.
    pub fn begin(&mut self, table: &DayTable) -> Result<(), XlsxFailed> {
        let bold = Format::new().set_bold();
        let sheet = self
            .workbook
            .add_worksheet()
            .set_name(table.name.as_ref())?;
        for (column, (name, _)) in (0..).zip(&table.columns) {
            sheet.write_string_with_format(0, column, name.as_ref(), &bold)?;
            let wide = matches!(name.as_ref(), "reason" | "remark" | "look_at");
            sheet.set_column_width(column, if wide { WIDE } else { NARROW })?;
        }
        sheet.set_freeze_panes(1, 0)?;
        (self.row, self.sheets) = (1, self.sheets + 1);
        Ok(())
    }

    /// Adds rows to the sheet begun last.
    ///
    /// # Errors
    /// What the workbook could not hold, such as more than 1 048 575 rows.
    pub fn push(&mut self, rows: &[Row]) -> Result<(), XlsxFailed> {
        let sheet = self.workbook.worksheet_from_index(self.sheets - 1)?;
        for row in rows {
            for (column, value) in (0..).zip(row) {
                write(sheet, (self.row, column), value, &self.cover)?;
            }
            self.row += 1;
        }
        Ok(())
    }

    /// The bytes of the file.
    ///
    /// # Errors
    /// What the workbook could not hold.
    pub fn finish(mut self) -> Result<Vec<u8>, XlsxFailed> {
        Ok(self.workbook.save_to_buffer()?)
    }
}

fn write(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    value: &Value,
    cover: &Cover,
) -> Result<(), XlsxError> {
    let text = match value {
        Value::Whole(number) => {
            // Counts and milligrams of what was handled stay below 2^53.
            return sheet.write_number(row, column, *number as f64).map(drop);
        }
        Value::Nothing => return Ok(()),
        Value::Text(text) => text.as_ref(),
        Value::Head => &cover.short_head,
        Value::Day => &cover.day,
    };
    sheet.write_string(row, column, text).map(drop)
}

/// The whole day at once.
///
/// # Errors
/// What the workbook could not hold.
pub fn day_xlsx(record: &DayRecord) -> Result<Vec<u8>, XlsxFailed> {
    let set = DayTables::of(record);
    let mut day = XlsxDay::new(Cover::of(record, &set))?;
    for table in &set.tables {
        day.begin(table)?;
        day.push(&table.rows)?;
    }
    day.finish()
}
