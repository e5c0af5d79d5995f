//! The cage's forms: open a container, fill it, seal it.

use crate::book::{
    ContainerFilled, ContainerOpened, ContainerSealed, Entry, LIST_PART, Place, State, spoils_of,
};
use crate::custody::{Container, ContainerId, Item, Mass, ScaleId, Seal, SealNumber};
use crate::people::{Duty, PersonId};
use crate::sheet::LotId;

use super::destroy::scale_of;
use super::spoils::{SpoilError, read_spoils};
use super::{FieldErrors, Reader, Typed};

/// Most wrong lines of a list that are told one by one.
const TOLD: usize = 20;

/// Reads the form that opens a container: `container`.
///
/// # Errors
/// A wrong number, or one that is taken, with what is known of it.
pub fn container_opened(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let container = form.read_with("container", |text| {
        let id: ContainerId = text
            .parse()
            .map_err(|why: crate::sheet::IdError| why.to_string())?;
        match state.cage.containers.get(&id) {
            None => Ok(id),
            Some(known) => Err(format!(
                "Container {id} exists: {}. Give the new one another number.",
                condition(known)
            )),
        }
    });
    form.finish(container.map(|container| Entry::ContainerOpened(ContainerOpened { container })))
}

/// What is known of a container, in a few words.
fn condition(container: &Container) -> String {
    match &container.seal {
        Seal::Open => "it is open".to_owned(),
        Seal::Sealed(sealing) => format!("it is sealed with {}", sealing.number),
        Seal::Destroyed { session, .. } => format!("it was destroyed in session {session}"),
    }
}

/// Reads the form that fills a container: `fill-container`, `fill-what` (`all`, `sheets`, `notes`
/// or `list`), `fill-lot`, `fill-list`. Gives entries of at most [`LIST_PART`] pieces each.
///
/// # Errors
/// Every wrong field; each wrong line of a list, with what is known of the piece.
pub fn container_filled(typed: &Typed, state: &State) -> Result<Vec<Entry>, FieldErrors> {
    let mut form = Reader::new(typed);
    let container = form.read_with("fill-container", |text| open_container(state, text));
    let items = match typed.get("fill-what") {
        "list" => listed(&mut form, state),
        what @ ("all" | "sheets" | "notes") => loose_of_lot(&mut form, state, what),
        _ => form.wrong("fill-what", "Choose what goes in."),
    };
    let entries = container.zip(items).map(|(container, items)| {
        items
            .chunks(LIST_PART)
            .map(|part| filled(container, part))
            .collect()
    });
    form.finish(entries)
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

fn known_container<'a>(state: &'a State, text: &str) -> Result<&'a Container, String> {
    if text.is_empty() {
        return Err("Choose a container.".to_owned());
    }
    let id: ContainerId = text
        .parse()
        .map_err(|why: crate::sheet::IdError| why.to_string())?;
    state.container(id).map_err(|why| why.to_string())
}

fn loose_of_lot(form: &mut Reader, state: &State, what: &str) -> Option<Vec<Item>> {
    let lot: LotId = match form.text("fill-lot").trim() {
        "" => return form.wrong("fill-lot", "Choose the lot whose spoils go in."),
        _ => form.read("fill-lot")?,
    };
    let wanted = |item: &Item| match what {
        "sheets" => matches!(item, Item::Sheet(..)),
        "notes" => !matches!(item, Item::Sheet(..)),
        _ => true,
    };
    let spoils = state.lots.get(&lot).into_iter();
    let items: Vec<Item> = spoils
        .flat_map(|lot| spoils_of(state, lot))
        .filter(|(item, place)| *place == Place::Loose && wanted(item))
        .map(|(item, _)| *item)
        .collect();
    if items.is_empty() {
        let kind = if what == "all" { "spoils" } else { what };
        return form.wrong("fill-lot", format!("Lot {lot} has no loose {kind}."));
    }
    Some(items)
}

fn listed(form: &mut Reader, state: &State) -> Option<Vec<Item>> {
    let lot = form.text("fill-lot").trim().parse().ok();
    let (items, errors) = read_spoils(form.text("fill-list"), lot, state);
    if items.is_empty() && errors.is_empty() {
        return form.wrong("fill-list", "The list is empty. Type or scan at least one.");
    }
    let wrong = errors.len();
    for SpoilError { line, why } in errors.into_iter().take(TOLD) {
        form.wrong::<()>("fill-list", format!("Line {line}: {why}"));
    }
    if wrong > TOLD {
        let more = wrong - TOLD;
        form.wrong::<()>("fill-list", format!("{more} more lines are wrong."));
    }
    (wrong == 0).then_some(items)
}

fn filled(container: ContainerId, items: &[Item]) -> Entry {
    let mut data = ContainerFilled {
        container,
        sheets: Vec::new(),
        notes: Vec::new(),
        replacements: Vec::new(),
    };
    for item in items {
        match *item {
            Item::Sheet(lot, sheet) => data.sheets.push((lot, sheet)),
            Item::Note(serial) => data.notes.push(serial),
            Item::Replacement(serial) => data.replacements.push(serial),
        }
    }
    Entry::ContainerFilled(data)
}

/// Reads the form that seals a container: `seal-container`, `seal-number` and `seal-again`,
/// `seal-gross` and `seal-tare` (grams, may be empty), `seal-scale` (asked with a gross mass where
/// the works has any) and `seal-second`, who signs too before it is recorded.
/// `first` is who is signed in.
///
/// # Errors
/// Every wrong field.
pub fn container_sealed(
    typed: &Typed,
    state: &State,
    first: PersonId,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let container = form.read_with("seal-container", |text| full_container(state, text));
    let seal = form.read_with("seal-number", |text| unused_seal(state, text));
    if seal.is_some() && typed.get("seal-again").trim() != typed.get("seal-number").trim() {
        form.wrong::<()>(
            "seal-again",
            "The two seal numbers differ. Read the seal again and type it twice.",
        );
    }
    let masses = sealing_masses(&mut form, state);
    let second = second_person(&mut form, state, first);
    let entry = (|| {
        let (gross, tare, scale) = masses?;
        Some(Entry::ContainerSealed(ContainerSealed {
            container: container?,
            seal: seal?,
            second: second?,
            gross,
            tare,
            scale,
        }))
    })();
    form.finish(entry)
}

type SealingMasses = (Option<Mass>, Option<Mass>, Option<ScaleId>);

/// Gross, tare and scale: none, the gross alone, or both.
fn sealing_masses(form: &mut Reader, state: &State) -> Option<SealingMasses> {
    let mut mass = |field| match form.text(field).trim() {
        "" => Some(None),
        _ => form.read_with(field, Mass::from_grams_text).map(Some),
    };
    let (gross, tare) = (mass("seal-gross"), mass("seal-tare"));
    match (gross?, tare?) {
        (None, None) => Some((None, None, None)),
        (None, Some(_)) => form.wrong(
            "seal-gross",
            "The tare is typed, but not the gross mass. Weigh the full container, too.",
        ),
        (Some(gross), Some(tare)) if gross < tare => form.wrong(
            "seal-gross",
            "The gross mass is below the tare. Weigh again.",
        ),
        (gross, tare) => Some((gross, tare, scale_of(form, "seal-scale", state)?)),
    }
}

fn full_container(state: &State, text: &str) -> Result<ContainerId, String> {
    let known = known_container(state, text)?;
    let id = known.id;
    match known.seal {
        Seal::Open if known.items.is_empty() => {
            Err(format!("Container {id} is empty. Fill it before sealing."))
        }
        Seal::Open => Ok(id),
        _ => Err(format!(
            "Container {id}: {}. It is sealed once.",
            condition(known)
        )),
    }
}

fn unused_seal(state: &State, text: &str) -> Result<SealNumber, String> {
    let seal: SealNumber = text
        .parse()
        .map_err(|why: crate::sheet::IdError| why.to_string())?;
    let Some(container) = state.cage.seals.get(&seal) else {
        return Ok(seal);
    };
    let sealing = state
        .cage
        .containers
        .get(container)
        .and_then(Container::sealing);
    let when = sealing.map_or_else(String::new, |sealing| {
        format!(
            " at {} by {}",
            sealing.at.clock(),
            state.name_of(sealing.by)
        )
    });
    Err(format!(
        "Seal {seal} was used on container {container}{when}. A seal number is used once: look at the seal again."
    ))
}

fn second_person(form: &mut Reader, state: &State, first: PersonId) -> Option<PersonId> {
    if form.text("seal-second").is_empty() {
        return form.wrong("seal-second", "Choose the second person.");
    }
    let second: PersonId = form.read("seal-second")?;
    if second == first {
        return form.wrong(
            "seal-second",
            "The second person must be someone other than the one who is signed in.",
        );
    }
    let person = match state.person(second) {
        Ok(person) => person,
        Err(why) => return form.wrong("seal-second", why),
    };
    if !Duty::Seal.allows(person) {
        let message = format!(
            "{} may not seal. Sealing is for custodians and supervisors.",
            person.name
        );
        return form.wrong("seal-second", message);
    }
    Some(second)
}

#[cfg(test)]
mod tests;
