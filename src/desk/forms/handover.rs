//! The form by which a shift is handed over.

use crate::book::{Entry, Refusal, ShiftHandedOver, State};
use crate::people::{Duty, Person, PersonId};

use super::{FieldErrors, Reader, Typed};

pub const TO: &str = "handover-to";
pub const TOLD: &str = "handover-told";

/// Longest account of who was told, in characters.
const TOLD_MAX: usize = 400;

/// Who may take a shift over from this person.
pub fn next_shift(state: &State, by: Option<PersonId>) -> impl Iterator<Item = &Person> {
    let people = state.people.values();
    people.filter(move |person| Duty::HandOver.allows(person) && Some(person.person) != by)
}

/// Reads the form.
///
/// # Errors
/// Nobody chosen; a missing or over-long account.
pub fn handed_over(typed: &Typed) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let to = form.read_with(TO, |text| match text {
        "" => Err("Nobody is chosen. Choose who takes the shift over.".to_owned()),
        code => code.parse::<PersonId>().map_err(|why| why.to_string()),
    });
    let told = form.required(TOLD, "Who was told", TOLD_MAX);
    let entry = to
        .zip(told)
        .map(|(to, told)| Entry::ShiftHandedOver(ShiftHandedOver { to, told }));
    form.finish(entry)
}

/// The field that a refusal of the book is about.
pub fn handover_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::HandedToSelf(_) | Refusal::NotAllowed { .. } => TO,
        Refusal::Empty { .. } | Refusal::TooLong { .. } => TOLD,
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_fields_are_asked_for_at_once() {
        let errors = handed_over(&Typed::default()).unwrap_err();
        assert!(errors.of(TO).unwrap().contains("Nobody is chosen"));
        assert!(errors.of(TOLD).unwrap().contains("Who was told is empty"));
        let typed = Typed::with([(TO, "ivo"), (TOLD, " Cal, of container C2 ")]);
        let (to, told) = ("ivo".parse().unwrap(), "Cal, of container C2".to_owned());
        let expected = Entry::ShiftHandedOver(ShiftHandedOver { to, told });
        assert_eq!(handed_over(&typed), Ok(expected));
    }
}
