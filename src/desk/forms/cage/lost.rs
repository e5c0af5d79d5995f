//! Spoils that are given up by two, and spoils that turn up again.

use crate::book::{Entry, Place, SpoilsFound, SpoilsLost, State};
use crate::custody::Item;
use crate::people::PersonId;

use super::super::spoils::whereabouts;
use super::super::{FieldErrors, Reader, Typed};
use super::{REASON_MAX, second_person, some_pieces};

/// Reads the form that declares spoils lost: `lost-list`, `lost-reason` and `lost-second`.
///
/// # Errors
/// Every wrong field; each wrong line of the list, with where the piece is.
pub fn spoils_lost(typed: &Typed, state: &State, first: PersonId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let may_be = |item: Item| match state.cage.spoils.get(&item) {
        Some(Place::Missing(_) | Place::Loose) => Ok(()),
        Some(Place::In(container)) => Err(format!(
            "{item} lies in container {container}. Count that container again first; what is missing there can be declared lost."
        )),
        place => Err(whereabouts(item, place.copied())),
    };
    let items = some_pieces(&mut form, "lost-list", state, &may_be);
    let reason = form.required("lost-reason", "The reason", REASON_MAX);
    let second = second_person(&mut form, "lost-second", state, first);
    let entry = (|| {
        Some(Entry::SpoilsLost(SpoilsLost {
            pieces: items?.into_iter().collect(),
            reason: reason?,
            second: second?,
        }))
    })();
    form.finish(entry)
}

/// Reads the form for spoils that turned up: `found-list` and `found-remark`.
///
/// # Errors
/// Every wrong field; each wrong line of the list, with where the piece is.
pub fn spoils_found(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let gone = |item: Item| match state.cage.spoils.get(&item) {
        Some(Place::Missing(_) | Place::Lost(_)) => Ok(()),
        place => Err(whereabouts(item, place.copied())),
    };
    let items = some_pieces(&mut form, "found-list", state, &gone);
    let remark = form.required("found-remark", "Where it was found", REASON_MAX);
    let entry = items.zip(remark).map(|(items, remark)| {
        Entry::SpoilsFound(SpoilsFound {
            pieces: items.into_iter().collect(),
            remark,
        })
    });
    form.finish(entry)
}
