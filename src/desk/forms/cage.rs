//! The cage's forms: containers from opening to retirement, their seals, spoils that are lost.

use crate::book::{ContainerMoved, ContainerOpened, ContainerRetired, Entry, State};
use crate::custody::{CagePlace, Container, ContainerId, Item, Seal};
use crate::people::{Duty, PersonId};
use crate::sheet::{IdError, LotId};

use super::spoils::{SpoilError, read_pieces};
use super::{FieldErrors, Reader, Typed};

mod correct;
mod fill;
mod hold;
mod lost;
mod seal;

pub use correct::{filling_corrected, sealing_corrected, sealing_typed};
pub use fill::{LOT_ANY, container_filled};
pub use hold::{
    CHECK_DIFFERS, container_held, container_recounted, container_resealed, seal_checked,
};
pub use lost::{spoils_found, spoils_lost};
pub use seal::{MEND_MASSES, MassFields, SEAL_MASSES, container_sealed};

/// Most wrong lines of a list that are told one by one.
const TOLD: usize = 20;
const REASON_MAX: usize = 200;

/// Reads the form that opens a container: `container`, and `container-place` (may be empty).
///
/// # Errors
/// A wrong number, or one that is taken, with what is known of it; a wrong place.
pub fn container_opened(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let container = form.read_with("container", |text| {
        let id: ContainerId = text.parse().map_err(|why: IdError| why.to_string())?;
        let alike = |known: &&Container| known.id.as_str().eq_ignore_ascii_case(id.as_str());
        match state.cage.containers.values().find(alike) {
            None => Ok(id),
            Some(known) => Err(format!(
                "Container {} exists: {}. Give the new one another number.",
                known.id,
                condition(known)
            )),
        }
    });
    let place = match form.text("container-place").trim() {
        "" => Some(None),
        _ => form.read::<CagePlace>("container-place").map(Some),
    };
    let entry = container
        .zip(place)
        .map(|(container, place)| Entry::ContainerOpened(ContainerOpened { container, place }));
    form.finish(entry)
}

/// Reads the form that moves a container: `move-place`.
///
/// # Errors
/// An empty or wrong place, or the one where it stands.
pub fn container_moved(
    typed: &Typed,
    state: &State,
    container: ContainerId,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let known = state.cage.containers.get(&container);
    let stands = known.and_then(|known| known.place.as_ref());
    let place = form.read_with("move-place", |text| {
        let place: CagePlace = text.parse().map_err(|why| format!("{why}"))?;
        match stands {
            Some((now, _)) if *now == place => {
                Err(format!("Container {container} stands there already."))
            }
            _ => Ok(place),
        }
    });
    form.finish(place.map(|place| Entry::ContainerMoved(ContainerMoved { container, place })))
}

/// Reads the form that takes an empty container out of use: `retire-reason`.
///
/// # Errors
/// No reason, or one that is too long.
pub fn container_retired(typed: &Typed, container: ContainerId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let reason = form.required("retire-reason", "The reason", REASON_MAX);
    form.finish(
        reason.map(|reason| Entry::ContainerRetired(ContainerRetired { container, reason })),
    )
}

/// What is known of a container, in a few words.
fn condition(container: &Container) -> String {
    match &container.seal {
        Seal::Open => "it is open".to_owned(),
        Seal::Sealed(sealing) => format!("it is sealed with {}", sealing.number),
        Seal::Held(_, hold) => format!("it is held: {}", hold.why),
        Seal::Destroyed { session, .. } => format!("it was destroyed in session {session}"),
        Seal::Retired { reason, .. } => format!("it was taken out of use: {reason}"),
    }
}

/// A container of the cage, as typed or picked.
fn known_container<'a>(state: &'a State, text: &str) -> Result<&'a Container, String> {
    if text.is_empty() {
        return Err("Choose a container.".to_owned());
    }
    let id: ContainerId = text.parse().map_err(|why: IdError| why.to_string())?;
    state.container(id).map_err(|why| why.to_string())
}

fn open_container(state: &State, text: &str) -> Result<ContainerId, String> {
    let known = known_container(state, text)?;
    match known.seal {
        Seal::Open => Ok(known.id),
        _ => Err(format!(
            "Container {}: {}. Spoils go into an open container.",
            known.id,
            condition(known)
        )),
    }
}

/// Reads a list of pieces that must each pass `in_place`. Each wrong line is told at the field.
fn pieces(
    form: &mut Reader,
    field: &'static str,
    lot: Option<LotId>,
    state: &State,
    in_place: &dyn Fn(Item) -> Result<(), String>,
) -> Option<Vec<Item>> {
    let (items, errors) = read_pieces(form.text(field), lot, state, in_place);
    let wrong = errors.len();
    for SpoilError { line, why } in errors.into_iter().take(TOLD) {
        form.wrong::<()>(field, format!("Line {line}: {why}"));
    }
    if wrong > TOLD {
        let more = wrong - TOLD;
        form.wrong::<()>(field, format!("{more} more lines are wrong."));
    }
    (wrong == 0).then_some(items)
}

/// The same, with at least one piece.
fn some_pieces(
    form: &mut Reader,
    field: &'static str,
    state: &State,
    in_place: &dyn Fn(Item) -> Result<(), String>,
) -> Option<Vec<Item>> {
    let items = pieces(form, field, None, state, in_place)?;
    if items.is_empty() {
        return form.wrong(field, "The list is empty. Type or scan at least one.");
    }
    Some(items)
}

/// Someone other than `first` who may seal, and so may sign as the second person.
fn second_person(
    form: &mut Reader,
    field: &'static str,
    state: &State,
    first: PersonId,
) -> Option<PersonId> {
    if form.text(field).is_empty() {
        return form.wrong(field, "Choose the second person.");
    }
    let second: PersonId = form.read(field)?;
    if second == first {
        return form.wrong(
            field,
            "The second person must be someone other than the one who is signed in.",
        );
    }
    let person = match state.person(second) {
        Ok(person) => person,
        Err(why) => return form.wrong(field, why),
    };
    if !Duty::Seal.allows(person) {
        let message = format!(
            "{} may not seal. Sealing is for custodians and supervisors.",
            person.name
        );
        return form.wrong(field, message);
    }
    Some(second)
}

#[cfg(test)]
mod tests;
