use thiserror::Error;

/// Why a figure could not be worked out. Each sentence names the field and the remedy.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum QualityError {
    #[error("{field} is {value}; give a chance from 0 to 1")]
    NotAProbability { field: &'static str, value: f64 },
    #[error("{field} is {value}; give a number that is not below 0")]
    Negative { field: &'static str, value: f64 },
    #[error("{field} is {value}; give a number above 0")]
    NotPositive { field: &'static str, value: f64 },
    #[error("{field} number {index} is not a number; leave it out or measure it again")]
    NotANumber { field: &'static str, index: usize },
    #[error("{field} is 0; give at least 1")]
    Zero { field: &'static str },
    #[error("{field} is empty; give at least one entry")]
    Empty { field: &'static str },
    #[error("{part_field} is {part}, more than {whole_field}, which is {whole}; check both counts")]
    PartOverWhole {
        part_field: &'static str,
        part: u64,
        whole_field: &'static str,
        whole: u64,
    },
    #[error(
        "row {row}, column {column} is outside a map of {rows} rows and {columns} columns; check the layout"
    )]
    OutsideGrid {
        row: usize,
        column: usize,
        rows: usize,
        columns: usize,
    },
    #[error(
        "a map of {rows} rows and {columns} columns has {given} counts; give rows × columns of them"
    )]
    GridSize {
        rows: usize,
        columns: usize,
        given: usize,
    },
    #[error("a lot of {lot} is too small for sampling; examine every item")]
    LotTooSmall { lot: u64 },
    #[error("AQL {given:?} is not in the tables; choose one of {choices}")]
    UnknownAql { given: String, choices: String },
    #[error(
        "the series has {above} values at or above the cut and {below} below it; a runs test needs both"
    )]
    OneSided { above: u64, below: u64 },
}
