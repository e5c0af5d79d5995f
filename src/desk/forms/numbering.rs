//! The fields that say how a lot is numbered: its serial format and its runs.

use crate::sheet::{Direction, MAX_SHEETS, NumberingError, NumberingSpec, Run};

use super::serial::{FormatFields, format};
use super::{Reader, Typed};

/// The fields of one numbering run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunFields {
    pub sheets: &'static str,
    pub first: &'static str,
    pub stride: &'static str,
    pub direction: &'static str,
    pub arrangement: &'static str,
}

/// The fields of one form's numbering. A lot numbered on more passes than it has runs is split.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumberingFields {
    pub format: FormatFields,
    /// How many runs the form shows.
    pub shown: &'static str,
    pub runs: [RunFields; 6],
    /// Where a wrong number of sheets is told.
    pub sheets: &'static str,
}

macro_rules! numbering_fields {
    ($form:literal, $sheets:literal, $($number:literal),+) => {
        NumberingFields {
            format: FormatFields {
                prefix: concat!($form, "-prefix"),
                width: concat!($form, "-width"),
                suffix: concat!($form, "-suffix"),
                check: concat!($form, "-check"),
                place: concat!($form, "-check-place"),
                over: concat!($form, "-check-over"),
                groups: concat!($form, "-groups"),
            },
            shown: concat!($form, "-runs"),
            runs: [$(RunFields {
                sheets: concat!($form, "-run-", $number, "-sheets"),
                first: concat!($form, "-run-", $number, "-first"),
                stride: concat!($form, "-run-", $number, "-stride"),
                direction: concat!($form, "-run-", $number, "-direction"),
                arrangement: concat!($form, "-run-", $number, "-arrangement"),
            }),+],
            sheets: $sheets,
        }
    };
}

/// Of the form that opens a lot.
pub const OF_NEW_LOT: NumberingFields = numbering_fields!("lot", "lot-sheets", 1, 2, 3, 4, 5, 6);
/// Of the form that numbers a lot examined before numbering.
pub const OF_NUMBERING: NumberingFields =
    numbering_fields!("number", "number-lot", 1, 2, 3, 4, 5, 6);

/// The values of a run's direction field, and what is shown for each.
pub const DIRECTIONS: [(&str, &str); 2] = [("up", "up"), ("down", "down")];
/// The values of a run's arrangement field, and what is shown for each.
pub const ARRANGEMENTS: [(&str, &str); 2] = [
    ("down-stack", "down the stack"),
    ("across", "across the sheet"),
];

const LARGEST: u64 = 999_999_999_999;

impl NumberingFields {
    /// Sets what the fields start with.
    pub(super) fn start(&self, typed: &mut Typed) {
        let texts = [
            (self.format.width, "7"),
            (self.format.check, "none"),
            (self.format.place, "end"),
            (self.format.over, "whole"),
            (self.shown, "1"),
        ];
        for (field, text) in texts {
            typed.set(field, text.to_owned());
        }
        for run in self.runs {
            typed.set(run.direction, "up".to_owned());
            typed.set(run.arrangement, "down-stack".to_owned());
        }
    }

    /// How many runs the form shows.
    pub fn runs_shown(&self, typed: &Typed) -> usize {
        let shown = typed.get(self.shown).parse().unwrap_or(1);
        shown.clamp(1, self.runs.len())
    }

    /// Reads format and runs even while notes or sheets are not known, so that all errors show at
    /// once. A single run takes all sheets.
    pub(super) fn read(
        &self,
        form: &mut Reader,
        notes: Option<u16>,
        sheets: Option<u32>,
    ) -> Option<NumberingSpec> {
        let format = format(form, &self.format);
        let shown = self.runs_shown(form.typed);
        let runs: Vec<Option<Run>> = self.runs[..shown]
            .iter()
            .map(|fields| {
                let sheets = match shown {
                    1 => sheets,
                    _ => form.number(fields.sheets, "Sheets of the run", 1..=MAX_SHEETS),
                };
                read_run(form, fields, sheets, notes)
            })
            .collect();
        Some(NumberingSpec {
            format: format?,
            runs: runs.into_iter().collect::<Option<_>>()?,
        })
    }

    /// The field that a refused numbering is about.
    pub(super) fn field(&self, why: &NumberingError) -> &'static str {
        let fields = |run: &usize| self.runs.get(*run - 1).unwrap_or(&self.runs[0]);
        match why {
            NumberingError::NoRuns => "",
            NumberingError::EmptyRun { run } => fields(run).sheets,
            NumberingError::TooManySheets { .. } => self.sheets,
            NumberingError::SheetCount { .. } => self.runs[0].sheets,
            NumberingError::Stride { run, .. } => fields(run).stride,
            NumberingError::Overflow { run, .. } | NumberingError::BelowZero { run, .. } => {
                fields(run).first
            }
            NumberingError::RunsClash { second_run, .. } => fields(second_run).first,
        }
    }
}

/// An empty stride is the least that works: no gaps.
pub(super) fn read_run(
    form: &mut Reader,
    fields: &RunFields,
    sheets: Option<u32>,
    notes: Option<u16>,
) -> Option<Run> {
    let first = form.number(fields.first, "First number", 0..=LARGEST);
    let stride = match form.text(fields.stride).trim() {
        "" => None,
        _ => Some(form.number(fields.stride, "Stride", 1..=LARGEST)?),
    };
    let direction = match form.text(fields.direction) {
        "down" => Direction::Down,
        _ => Direction::Up,
    };
    let (sheets, notes, first) = (sheets?, notes?, first?);
    let plain = match form.text(fields.arrangement) {
        "across" => Run::across_sheet(sheets, first, notes),
        _ => Run::down_stack(sheets, first),
    };
    Some(Run {
        stride: stride.unwrap_or(plain.stride),
        direction,
        ..plain
    })
}
