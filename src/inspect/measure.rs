//! What is measured on single notes, in what unit, and between what limits it may lie.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::sheet::LayoutSpec;

/// Most readings of one sample.
pub const READINGS_MAX: usize = 500;

/// Something measured on a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    NoteWidth,
    NoteHeight,
    /// How far the print of the back lies off that of the front, across the sheet.
    RegisterAcross,
    /// The same along the sheet.
    RegisterAlong,
    /// CIE 1976 (L*a*b*) colour difference from the approved print (ISO/CIE 11664-4).
    ColourCie1976,
    /// CIEDE2000 colour difference from it (ISO/CIE 11664-6).
    ColourCiede2000,
    /// Of the single note (ISO 534).
    Thickness,
}

impl Quantity {
    pub const ALL: [Quantity; 7] = [
        Quantity::NoteWidth,
        Quantity::NoteHeight,
        Quantity::RegisterAcross,
        Quantity::RegisterAlong,
        Quantity::ColourCie1976,
        Quantity::ColourCiede2000,
        Quantity::Thickness,
    ];

    /// As lines and tables write it.
    pub fn slug(self) -> &'static str {
        match self {
            Quantity::NoteWidth => "note_width",
            Quantity::NoteHeight => "note_height",
            Quantity::RegisterAcross => "register_across",
            Quantity::RegisterAlong => "register_along",
            Quantity::ColourCie1976 => "colour_cie1976",
            Quantity::ColourCiede2000 => "colour_ciede2000",
            Quantity::Thickness => "thickness",
        }
    }

    /// In words, lower case.
    pub fn name(self) -> &'static str {
        match self {
            Quantity::NoteWidth => "note width",
            Quantity::NoteHeight => "note height",
            Quantity::RegisterAcross => "register across the sheet",
            Quantity::RegisterAlong => "register along the sheet",
            Quantity::ColourCie1976 => "colour difference CIE 1976",
            Quantity::ColourCiede2000 => "colour difference CIEDE2000",
            Quantity::Thickness => "thickness",
        }
    }

    pub fn unit(self) -> &'static str {
        match self {
            Quantity::ColourCie1976 => "ΔE*ab",
            Quantity::ColourCiede2000 => "ΔE00",
            Quantity::Thickness => "µm",
            _ => "mm",
        }
    }

    /// Between what any reading lies unless something is mistyped: sizes within a tenth of the
    /// product's own; the rest common practice, no source.
    pub fn plausible(self, layout: &LayoutSpec) -> (Reading, Reading) {
        let about = |nominal: u32| {
            let (nominal, tenth) = (nominal as i32, nominal as i32 / 10);
            (Reading(nominal - tenth), Reading(nominal + tenth))
        };
        match self {
            Quantity::NoteWidth => about(layout.note_width.micrometres()),
            Quantity::NoteHeight => about(layout.note_height.micrometres()),
            Quantity::RegisterAcross | Quantity::RegisterAlong => (Reading(-5_000), Reading(5_000)),
            Quantity::ColourCie1976 | Quantity::ColourCiede2000 => (Reading(0), Reading(50_000)),
            Quantity::Thickness => (Reading(40_000), Reading(300_000)),
        }
    }
}

impl FromStr for Quantity {
    type Err = MeasureError;

    fn from_str(text: &str) -> Result<Self, MeasureError> {
        let found = Self::ALL.into_iter().find(|one| one.slug() == text);
        found.ok_or(MeasureError::NoQuantity)
    }
}

/// A reading in whole thousandths of the unit of its quantity; serde as that number.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Reading(pub i32);

impl Reading {
    pub fn value(self) -> f64 {
        f64::from(self.0) / 1000.0
    }
}

impl FromStr for Reading {
    type Err = MeasureError;

    /// A number with point or comma and at most three decimals; the minus may be typographic.
    fn from_str(text: &str) -> Result<Self, MeasureError> {
        let error = || MeasureError::NotAReading(text.to_owned());
        let (below, figures) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, part) = figures.split_once(['.', ',']).unwrap_or((figures, ""));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || whole.len() > 6 || part.len() > 3 || !digits(whole) || !digits(part)
        {
            return Err(error());
        }
        let thousandths: i32 = format!("{whole}{part:0<3}").parse().map_err(|_| error())?;
        Ok(Self(if below { -thousandths } else { thousandths }))
    }
}

impl fmt::Display for Reading {
    /// Without zeros that say nothing: `136.05`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0.unsigned_abs() / 1000, self.0.unsigned_abs() % 1000);
        let sign = if self.0 < 0 { "-" } else { "" };
        let text = format!("{sign}{whole}.{part:03}");
        f.pad(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// What a quantity should be, and between what it must lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tolerance {
    pub target: Reading,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower: Option<Reading>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upper: Option<Reading>,
}

impl Tolerance {
    pub fn holds(&self, reading: Reading) -> bool {
        self.lower.is_none_or(|lower| lower <= reading)
            && self.upper.is_none_or(|upper| reading <= upper)
    }

    /// # Errors
    /// Limits that are missing or crossed, or a figure that no such note can have.
    pub fn check(&self, quantity: Quantity, layout: &LayoutSpec) -> Result<(), MeasureError> {
        if self.lower.is_none() && self.upper.is_none() {
            return Err(MeasureError::NoLimit);
        }
        let figures = [
            ("Lower limit", self.lower),
            ("Target", Some(self.target)),
            ("Upper limit", self.upper),
        ];
        for (field, figure) in figures {
            if let Some(given) = figure {
                check(field, None, given, quantity, layout)?;
            }
        }
        let target = self.target;
        if self.lower.is_some_and(|lower| lower > target) {
            return Err(MeasureError::LowerAboveTarget);
        }
        if self.upper.is_some_and(|upper| upper < target) {
            return Err(MeasureError::UpperBelowTarget);
        }
        match self.lower.is_some() && self.lower == self.upper {
            true => Err(MeasureError::NoRoom),
            false => Ok(()),
        }
    }
}

/// Checks the readings of one sample.
///
/// # Errors
/// None or too many of them, or the first that no such note can have.
pub fn check_readings(
    readings: &[Reading],
    quantity: Quantity,
    layout: &LayoutSpec,
) -> Result<(), MeasureError> {
    if readings.is_empty() || readings.len() > READINGS_MAX {
        return Err(MeasureError::Count(readings.len()));
    }
    let mut numbered = (1..).zip(readings);
    numbered.try_for_each(|(n, given)| check("Reading", Some(n), *given, quantity, layout))
}

fn check(
    field: &'static str,
    number: Option<usize>,
    given: Reading,
    quantity: Quantity,
    layout: &LayoutSpec,
) -> Result<(), MeasureError> {
    let (low, high) = quantity.plausible(layout);
    match (low..=high).contains(&given) {
        true => Ok(()),
        false => Err(MeasureError::Implausible {
            field,
            number,
            quantity,
            given,
            low,
            high,
        }),
    }
}

/// Why something cannot have been measured so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MeasureError {
    #[error("\"Quantity\" is not chosen. Choose what was measured.")]
    NoQuantity,
    #[error("\"{0}\" is not a reading. Write a number like 136.05, with at most 3 decimals.")]
    NotAReading(String),
    #[error("The sample has {0} readings. Give 1 to {READINGS_MAX}.")]
    Count(usize),
    #[error(
        "\"{field}{}\" is {given} {}, which no {} of this product can be. Give {low} to {high}.",
        .number.map(|n| format!(" {n}")).unwrap_or_default(), .quantity.unit(), .quantity.name()
    )]
    Implausible {
        field: &'static str,
        /// Which reading, from 1.
        number: Option<usize>,
        quantity: Quantity,
        given: Reading,
        low: Reading,
        high: Reading,
    },
    #[error("Neither \"Lower limit\" nor \"Upper limit\" is given. Give one of them, or both.")]
    NoLimit,
    #[error("\"Lower limit\" is above the target. Give a limit at or below it.")]
    LowerAboveTarget,
    #[error("\"Upper limit\" is below the target. Give a limit at or above it.")]
    UpperBelowTarget,
    #[error("\"Lower limit\" and \"Upper limit\" are the same. Leave some room between them.")]
    NoRoom,
    #[error("The lot is of another product. Choose a lot of the product that was measured.")]
    OtherProduct,
    #[error("Entry {0} is no sample that can be corrected. Name one that is in force.")]
    NoSuchSample(u64),
    #[error("A correction needs its reason, and a reason the entry it corrects. Give both.")]
    ReasonAlone,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_exact_and_read_back() {
        for (text, thousandths) in [
            ("136.05", 136_050),
            ("136,05", 136_050),
            ("-0.5", -500),
            ("−0,012", -12),
            ("+3", 3_000),
            ("0", 0),
        ] {
            let reading: Reading = text.parse().unwrap();
            assert_eq!(reading, Reading(thousandths), "{text}");
            assert_eq!(reading.to_string().parse(), Ok(reading), "{text}");
        }
        for text in [
            "", "-", "1.2345", "1.2.3", "12e3", "1234567", "a", "1 2", ".5",
        ] {
            let wrong = MeasureError::NotAReading(text.to_owned());
            assert_eq!(text.parse::<Reading>(), Err(wrong), "{text}");
        }
    }

    #[test]
    fn a_quantity_is_written_as_its_slug() {
        for quantity in Quantity::ALL {
            let written = serde_json::to_string(&quantity).unwrap();
            assert_eq!(written, format!("\"{}\"", quantity.slug()));
            assert_eq!(quantity.slug().parse(), Ok(quantity));
        }
    }
}
