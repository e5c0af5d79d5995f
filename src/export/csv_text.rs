//! CSV per RFC 4180, safe to open in a spreadsheet.
//!
//! A spreadsheet runs a cell that starts with a formula sign and turns `0012` into 12. Both are
//! kept from happening by one apostrophe before the text, which reads back exactly:
//!
//! - a text that starts with a formula sign, that looks like a number but is none, or that itself
//!   starts with an apostrophe, is written with an apostrophe before it, in quotes;
//! - a reader takes one apostrophe off every text that starts with one ([`unguarded`]).
//!
//! Numbers are [`Cell::Integer`] and written bare, so a difference of −5 stays a number.
//!
//! Written by hand and not with the `csv` crate because that quotes by table, not by cell; the
//! crate does the reading ([`reader`]).

use std::borrow::Cow;

/// What starts a formula: OWASP's list (CSV Injection page), the null character of OWASP ASVS
/// 1.2.10, and the full-width forms that some spreadsheets take for the same (from memory).
const FORMULA_SIGNS: [char; 12] = [
    '=', '+', '-', '@', '\t', '\r', '\n', '\0', '＝', '＋', '－', '＠',
];

/// One cell of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell<'a> {
    /// Read back as the same text, whatever it holds.
    Text(&'a str),
    /// A whole number, which a spreadsheet may add up.
    Integer(i64),
}

/// A table of `N` columns, written row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table<const N: usize> {
    text: String,
}

impl<const N: usize> Table<N> {
    /// A table with only its header.
    pub fn new(header: [&str; N]) -> Self {
        let mut table = Self {
            text: String::new(),
        };
        table.push(header.map(Cell::Text));
        table
    }

    /// Adds a row.
    pub fn push(&mut self, row: [Cell<'_>; N]) {
        push_row(&mut self.text, row.into_iter());
    }

    /// The CSV text, every line ended with CR LF.
    pub fn into_text(self) -> String {
        self.text
    }
}

/// Writes one row with its line end.
pub(super) fn push_row<'a>(out: &mut String, row: impl ExactSizeIterator<Item = Cell<'a>>) {
    let alone = row.len() == 1;
    for (column, cell) in row.enumerate() {
        if column > 0 {
            out.push(',');
        }
        match cell {
            // A row of one empty cell would be an empty line, which readers skip.
            Cell::Text("") if alone => out.push_str("\"\""),
            Cell::Text(text) => push_text(out, text),
            Cell::Integer(number) => out.push_str(&number.to_string()),
        }
    }
    out.push_str("\r\n");
}

fn push_text(out: &mut String, text: &str) {
    match guarded(text) {
        Cow::Borrowed(plain) => out.push_str(&quoted(plain)),
        Cow::Owned(guarded) => out.push_str(&in_quotes(&guarded)),
    }
}

/// A field as RFC 4180 writes it: in quotes where it must be, and not guarded against formulas.
pub fn quoted(field: &str) -> Cow<'_, str> {
    // One sign after the other: each search is a fast one, a search for all four is not.
    if [',', '"', '\r', '\n']
        .into_iter()
        .any(|sign| field.contains(sign))
    {
        return Cow::Owned(in_quotes(field));
    }
    Cow::Borrowed(field)
}

fn in_quotes(field: &str) -> String {
    format!("\"{}\"", field.replace('"', "\"\""))
}

/// The text with an apostrophe before it, where a spreadsheet would else run or change it.
pub fn guarded(text: &str) -> Cow<'_, str> {
    let first = text.trim_start_matches(' ').chars().next();
    let formula = first.is_some_and(|first| FORMULA_SIGNS.contains(&first));
    if formula || text.starts_with('\'') || looks_like_another_number(text) {
        return Cow::Owned(format!("'{text}"));
    }
    Cow::Borrowed(text)
}

/// The text that [`guarded`] was given.
pub fn unguarded(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

/// Figures that a spreadsheet would not keep: `0012`, sixteen figures and more, `12E4`.
fn looks_like_another_number(text: &str) -> bool {
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return false;
    }
    let figures = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    match text.split_once(['E', 'e']) {
        Some((mantissa, exponent)) => figures(mantissa) && figures(exponent),
        None => figures(text) && (text.len() > 15 || text.len() > 1 && text.starts_with('0')),
    }
}

/// A reader of RFC 4180 text: no header taken for granted, rows of any length, spaces kept.
pub fn reader(text: &[u8]) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn line(cell: Cell<'_>) -> String {
        let mut table = Table::new(["h"]);
        table.push([cell]);
        table.into_text().strip_prefix("h\r\n").unwrap().to_owned()
    }

    #[test]
    fn numbers_stay_numbers_and_serials_stay_texts() {
        assert_eq!(line(Cell::Integer(-5)), "-5\r\n");
        assert_eq!(line(Cell::Text("-5")), "\"'-5\"\r\n");
        assert_eq!(line(Cell::Text("0001234567")), "\"'0001234567\"\r\n");
        assert_eq!(line(Cell::Text("12E0345678")), "\"'12E0345678\"\r\n");
        assert_eq!(
            line(Cell::Text("1234567890123456")),
            "\"'1234567890123456\"\r\n"
        );
        assert_eq!(line(Cell::Text("'s")), "\"''s\"\r\n");
        for plain in ["0", "1234", "B0001", "1E", "E5", "12-Z", "a=b"] {
            assert_eq!(line(Cell::Text(plain)), format!("{plain}\r\n"));
        }
    }

    #[test]
    fn leading_spaces_and_wide_signs_do_not_hide_a_formula() {
        for formula in ["  =1+2", "＝1+2", "＠SUM", "\0=1"] {
            assert_eq!(guarded(formula), format!("'{formula}"));
        }
    }

    proptest! {
        #[test]
        fn every_text_reads_back(first in any_cell(), second in any_cell()) {
            let mut table = Table::new(["one", "two"]);
            table.push([Cell::Text(&first), Cell::Text(&second)]);
            let text = table.into_text();
            let rows: Vec<_> = reader(text.as_bytes()).records().map(Result::unwrap).collect();
            let read: Vec<_> = rows[1].iter().map(unguarded).collect();
            prop_assert_eq!(read, [first.as_str(), second.as_str()]);
        }

        #[test]
        fn no_text_starts_a_formula(text in any_cell()) {
            let text = line(Cell::Text(&text));
            let cell = reader(text.as_bytes()).records().next().unwrap().unwrap();
            let first = cell[0].trim_start_matches(' ').chars().next();
            prop_assert!(!first.is_some_and(|c| FORMULA_SIGNS.contains(&c)), "{:?}", text);
        }
    }

    fn any_cell() -> impl Strategy<Value = String> {
        prop_oneof![any::<String>(), "[=+@'\"\\-,;\r\n\t0E1 ]{0,6}"]
    }
}
