//! A container in doubt: its seal looked at, put on hold, counted again by two, sealed anew.

use crate::book::{
    ContainerHeld, ContainerRecounted, ContainerResealed, Entry, Pieces, Place, SealChecked, State,
};
use crate::custody::{Container, ContainerId, Contents, Item, TareAndScale};
use crate::people::PersonId;

use super::super::spoils::whereabouts;
use super::super::{FieldErrors, Reader, Typed};
use super::seal::{SEAL_MASSES, masses, new_seal, read_number};
use super::{REASON_MAX, pieces, second_person};

/// Says that a whole seal does bear another number.
pub const CHECK_DIFFERS: &str = "check-differs";

/// Reads the form for a seal that was looked at: `check-how` (`whole`, `broken` or `none`) and
/// `check-found`, its number, which may be empty for a broken one. It is the book that holds the
/// container when the seal is not what it should be; a whole one with another number has to be
/// said so ([`CHECK_DIFFERS`]), for it may be mistyped.
///
/// # Errors
/// No choice, no number for a seal that is whole, or another one that was not said to differ.
pub fn seal_checked(
    typed: &Typed,
    container: ContainerId,
    state: &State,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let checked = |found, broken| {
        Entry::SealChecked(SealChecked {
            container,
            found,
            broken,
        })
    };
    let known = state.cage.containers.get(&container);
    let known = known.and_then(|known| Some(known.sealing()?.number));
    let entry = match typed.get("check-how") {
        "none" => Some(checked(None, false)),
        "broken" if form.text("check-found").trim().is_empty() => Some(checked(None, true)),
        how @ ("whole" | "broken") => {
            let broken = how == "broken";
            let found = form.read_with("check-found", |text| {
                let found = read_number(text)?;
                match known {
                    Some(known) if known.as_str().eq_ignore_ascii_case(found.as_str()) => Ok(known),
                    Some(known) if !broken && !typed.ticked(CHECK_DIFFERS) => Err(format!(
                        "It was sealed with {known}, not {found}. Read the seal again; if it does bear {found}, tick that it differs."
                    )),
                    _ => Ok(found),
                }
            });
            found.map(|found| checked(Some(found), broken))
        }
        _ => form.wrong("check-how", "Choose how the seal was found."),
    };
    form.finish(entry)
}

/// Reads the form that puts a sealed container on hold: `hold-reason`.
///
/// # Errors
/// No reason, or one that is too long.
pub fn container_held(typed: &Typed, container: ContainerId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let reason = form.required("hold-reason", "The reason", REASON_MAX);
    form.finish(reason.map(|reason| Entry::ContainerHeld(ContainerHeld { container, reason })))
}

/// Reads the form for a held container counted again: `recount-how` (`all`: every piece that is
/// there is listed; or `named`: counts, and the pieces that differ), `recount-list` for the first;
/// `recount-sheets`, `recount-notes`, `recount-missing` and `recount-found` for the second;
/// `recount-why` and `recount-second`.
///
/// # Errors
/// Every wrong field; for counts that do not agree, how many pieces are still to be named.
pub fn container_recounted(
    typed: &Typed,
    state: &State,
    container: ContainerId,
    first: PersonId,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let known = match state.container(container) {
        Ok(known) => known,
        Err(why) => return Err(FieldErrors::one("", why)),
    };
    let found = match typed.get("recount-how") {
        "all" => every_piece(&mut form, state, known),
        "named" => by_difference(&mut form, state, known),
        _ => form.wrong("recount-how", "Choose how you counted."),
    };
    let explanation = form.required("recount-why", "The explanation", REASON_MAX);
    let second = second_person(&mut form, "recount-second", state, first);
    let entry = (|| {
        let Counted {
            counted,
            missing,
            found,
        } = found?;
        Some(Entry::ContainerRecounted(ContainerRecounted {
            container,
            sheets: counted.sheets,
            notes: counted.notes,
            missing,
            found,
            explanation: explanation?,
            second: second?,
        }))
    })();
    form.finish(entry)
}

/// What two people found in a container.
struct Counted {
    counted: Contents,
    missing: Pieces,
    found: Pieces,
}

/// Everything that lies in it was listed; the rest of what is declared is missing.
fn every_piece(form: &mut Reader, state: &State, known: &Container) -> Option<Counted> {
    let here = |item: Item| match known.items.contains(&item) {
        true => Ok(()),
        false => found_besides(state, item),
    };
    let there = pieces(form, "recount-list", None, state, &here)?;
    let missing = known.items.iter().filter(|item| !there.contains(item));
    let found = there.iter().filter(|item| !known.items.contains(item));
    Some(Counted {
        counted: Contents::of(&there),
        missing: missing.copied().collect(),
        found: found.copied().collect(),
    })
}

fn by_difference(form: &mut Reader, state: &State, known: &Container) -> Option<Counted> {
    let sheets = form.number("recount-sheets", "Sheets counted", 0..=1_000_000);
    let notes = form.number("recount-notes", "Notes counted", 0..=1_000_000);
    let declared_here = |item: Item| match known.items.contains(&item) {
        true => Ok(()),
        false => Err(format!(
            "{item} is not declared for container {}.",
            known.id
        )),
    };
    let missing = pieces(form, "recount-missing", None, state, &declared_here);
    let found = pieces(form, "recount-found", None, state, &|item| {
        found_besides(state, item)
    });
    let (missing, found) = (missing?, found?);
    let counted = Contents {
        sheets: sheets?,
        notes: notes?,
    };
    agrees(form, known.contents(), counted, &missing, &found)?;
    Some(Counted {
        counted,
        missing: missing.into_iter().collect(),
        found: found.into_iter().collect(),
    })
}

/// A piece that lies in a container, though the book has it elsewhere: it must be missing or loose.
fn found_besides(state: &State, item: Item) -> Result<(), String> {
    match state.cage.spoils.get(&item) {
        Some(Place::Missing(_) | Place::Loose) => Ok(()),
        place => Err(whereabouts(item, place.copied())),
    }
}

/// Says at the field of a count how many pieces are still to be named.
fn agrees(
    form: &mut Reader,
    declared: Contents,
    counted: Contents,
    missing: &[Item],
    found: &[Item],
) -> Option<()> {
    let (missing, found) = (Contents::of(missing), Contents::of(found));
    let figures = [
        (
            "recount-sheets",
            "sheets",
            declared.sheets,
            counted.sheets,
            missing.sheets,
            found.sheets,
        ),
        (
            "recount-notes",
            "notes",
            declared.notes,
            counted.notes,
            missing.notes,
            found.notes,
        ),
    ];
    let mut agree = Some(());
    for (field, kind, declared, counted, missing, found) in figures {
        let expected = i64::from(declared) - i64::from(missing) + i64::from(found);
        let unnamed = expected - i64::from(counted);
        if unnamed != 0 {
            let what = match unnamed > 0 {
                true => "missing",
                false => "found besides",
            };
            let message = format!(
                "Declared: {declared} {kind}. Counted: {counted}. Name {} more as {what} below, or count again.",
                unnamed.abs()
            );
            agree = form.wrong(field, message);
        }
    }
    agree
}

/// Reads the form that seals a held container anew: the fields of a seal, its masses and scale as
/// at the first sealing, and `seal-second`.
///
/// # Errors
/// Every wrong field.
pub fn container_resealed(
    typed: &Typed,
    state: &State,
    container: ContainerId,
    first: PersonId,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let seal = new_seal(&mut form, state);
    let masses = masses(&mut form, &SEAL_MASSES, state, false);
    let second = second_person(&mut form, "seal-second", state, first);
    let entry = (|| {
        let (gross, TareAndScale { tare, scale }) = masses?;
        Some(Entry::ContainerResealed(ContainerResealed {
            container,
            seal: seal?,
            second: second?,
            gross,
            tare,
            scale,
        }))
    })();
    form.finish(entry)
}
