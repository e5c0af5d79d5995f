//! Checks against published rules, figures and examples. Each names its source.

mod check_digits;
mod check_serials;
mod sheet_numbering;
