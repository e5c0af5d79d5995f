//! Forms: typed text in, entries or errors by field out. Nothing here knows how a field is drawn.

pub mod acceptance;
mod book;
mod cage;
pub mod classes;
mod close;
mod destroy;
mod draw;
pub mod handover;
mod head;
mod keys;
pub mod lot;
pub mod measure;
pub mod number_lot;
pub mod numbering;
pub mod overrule;
pub mod person;
pub mod press;
pub mod product;
pub mod residue;
pub mod rules;
#[cfg(test)]
pub(crate) mod sample;
pub mod scale;
pub mod serial;
pub mod series;
mod spoils;

use std::collections::BTreeMap;
use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

pub use book::{NewBook, new_book};
pub use cage::{
    CHECK_DIFFERS, LOT_ANY, MEND_MASSES, MassFields, SEAL_MASSES, container_filled, container_held,
    container_moved, container_opened, container_recounted, container_resealed, container_retired,
    container_sealed, filling_corrected, seal_checked, sealing_corrected, sealing_typed,
    spoils_found, spoils_lost,
};
pub use close::{SEEN, close_day};
pub use destroy::{
    DestructionDraft, FACTS, LEAVING, OFF_BECAUSE, SAMPLE_STATEMENT, STATEMENT, Setting, Standing,
    Step, TeamForm, abandon, correction, drawn_text, fact_as_it_is, local_text, offset_of,
    progress, team_change,
};
pub use draw::{
    draw_entries, drawable, inserted_entries, replacement_returned, replacement_spoiled,
    sheets_left,
};
pub use head::{TOLD_TO, head_told};
pub use keys::{read_keys, write_keys};
pub use spoils::{SpoilError, read_spoils, scan_spoil};

/// What is typed into a form, by field name. Kept as typed, whatever is wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Typed(BTreeMap<&'static str, String>);

impl Typed {
    /// A form that starts with these texts.
    pub fn with<const N: usize>(texts: [(&'static str, &str); N]) -> Self {
        Self(texts.map(|(field, text)| (field, text.to_owned())).into())
    }

    /// The text of a field, empty when nothing was typed.
    pub fn get(&self, field: &str) -> &str {
        self.0.get(field).map_or("", String::as_str)
    }

    /// The fields that have any text.
    pub fn filled(&self) -> impl Iterator<Item = &'static str> + '_ {
        let filled = self.0.iter().filter(|(_, text)| !text.trim().is_empty());
        filled.map(|(field, _)| *field)
    }

    pub fn set(&mut self, field: &'static str, text: String) {
        self.0.insert(field, text);
    }

    /// Whether a tick box is ticked.
    pub fn ticked(&self, field: &str) -> bool {
        self.get(field) == TICKED
    }

    pub fn tick(&mut self, field: &'static str, ticked: bool) {
        self.set(field, if ticked { TICKED } else { "" }.to_owned());
    }
}

const TICKED: &str = "yes";

/// What is wrong with a form: for each bad field a sentence that says what to do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FieldErrors(Vec<(&'static str, String)>);

impl FieldErrors {
    pub fn one(field: &'static str, message: impl Display) -> Self {
        Self(vec![(field, message.to_string())])
    }

    pub fn of(&self, field: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|(name, _)| *name == field)
            .map(|(_, message)| message.as_str())
    }

    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &str)> {
        self.0
            .iter()
            .map(|(field, message)| (*field, message.as_str()))
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Only what is wrong at the fields that a choice takes.
    pub fn only(mut self, chosen: impl Fn(&str) -> bool) -> Self {
        self.0.retain(|(field, _)| chosen(field));
        self
    }
}

/// Reads fields one after the other and gathers everything that is wrong.
pub struct Reader<'a> {
    typed: &'a Typed,
    errors: FieldErrors,
}

impl<'a> Reader<'a> {
    pub fn new(typed: &'a Typed) -> Self {
        Self {
            typed,
            errors: FieldErrors::default(),
        }
    }

    /// The text of a field as typed.
    pub fn text(&self, field: &str) -> &'a str {
        self.typed.get(field)
    }

    /// Notes that a field is wrong.
    pub fn wrong<T>(&mut self, field: &'static str, message: impl Display) -> Option<T> {
        self.errors.0.push((field, message.to_string()));
        None
    }

    /// A field of a type that can be read from text, trimmed.
    pub fn read<T: FromStr<Err: Display>>(&mut self, field: &'static str) -> Option<T> {
        self.read_with(field, |text| text.parse())
    }

    /// A field read by a function.
    pub fn read_with<T, E: Display>(
        &mut self,
        field: &'static str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<T> {
        match read(self.typed.get(field).trim()) {
            Ok(value) => Some(value),
            Err(why) => self.wrong(field, why),
        }
    }

    /// A text that must be there and has at most `max` characters.
    pub fn required(&mut self, field: &'static str, label: &str, max: usize) -> Option<String> {
        let text = self.typed.get(field).trim();
        match text.chars().count() {
            0 => self.wrong(field, format!("{label} is empty. Fill it in.")),
            length if length > max => self.wrong(
                field,
                format!("{label} is longer than {max} characters. Shorten it."),
            ),
            _ => Some(text.to_owned()),
        }
    }

    /// A whole number within a range. Spaces between its figures are allowed.
    pub fn number<T>(
        &mut self,
        field: &'static str,
        label: &str,
        range: RangeInclusive<T>,
    ) -> Option<T>
    where
        T: FromStr + PartialOrd + Display + Copy,
    {
        let text: String = self
            .typed
            .get(field)
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        let (low, high) = (*range.start(), *range.end());
        match text.parse() {
            Ok(number) if range.contains(&number) => Some(number),
            Ok(number) => self.wrong(field, format!("{label} is {number}. Give {low} to {high}.")),
            Err(_) => self.wrong(
                field,
                format!("{label} is not a whole number. Give {low} to {high}."),
            ),
        }
    }

    /// The value if every field was right.
    ///
    /// # Errors
    /// Everything that was wrong.
    pub fn finish<T>(self, value: Option<T>) -> Result<T, FieldErrors> {
        match value {
            Some(value) if self.errors.is_empty() => Ok(value),
            _ => Err(self.errors),
        }
    }
}
