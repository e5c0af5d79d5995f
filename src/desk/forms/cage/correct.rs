//! Corrections of container facts: pieces in the wrong container, a sealing written amiss.

use std::collections::BTreeMap;

use crate::book::{Entry, FillingCorrected, LIST_PART, Place, SealingCorrected, State};
use crate::custody::{Container, ContainerId, Item, Mass, ScaleId, Sealing};
use crate::people::PersonId;

use super::super::spoils::whereabouts;
use super::super::{FieldErrors, Reader, Typed};
use super::seal::{MEND_MASSES, masses, read_number, unused_seal};
use super::{REASON_MAX, open_container, second_person, some_pieces};

/// Reads the form that takes pieces out of an open container: `out-list`, `out-to` (another open
/// container, or empty for loose) and `out-reason`. Gives an entry for each entry that is
/// corrected.
///
/// # Errors
/// Every wrong field; each wrong line of the list, with where the piece is.
pub fn filling_corrected(
    typed: &Typed,
    state: &State,
    container: ContainerId,
) -> Result<Vec<Entry>, FieldErrors> {
    let mut form = Reader::new(typed);
    let in_it = |item: Item| match state.cage.spoils.get(&item) {
        Some(Place::In(lies)) if *lies == container => Ok(()),
        place => Err(whereabouts(item, place.copied())),
    };
    let items = some_pieces(&mut form, "out-list", state, &in_it);
    let to = match form.text("out-to").trim() {
        "" => Some(None),
        text if text == container.as_str() => form.wrong(
            "out-to",
            "The pieces lie in it already. Choose another container, or none.",
        ),
        _ => form.read_with("out-to", |text| open_container(state, text).map(Some)),
    };
    let reason = form.required("out-reason", "The reason", REASON_MAX);
    let entries = (|| {
        let (to, reason) = (to?, reason?);
        let entries = by_filling(state, items?)
            .into_iter()
            .flat_map(|(corrects, items)| {
                let parts: Vec<Vec<Item>> = items.chunks(LIST_PART).map(<[Item]>::to_vec).collect();
                parts.into_iter().map(move |part| (corrects, part))
            });
        let entry = |(corrects, part): (u64, Vec<Item>)| {
            Entry::FillingCorrected(FillingCorrected {
                container,
                to,
                pieces: part.into_iter().collect(),
                corrects,
                reason: reason.clone(),
            })
        };
        Some(entries.map(entry).collect())
    })();
    form.finish(entries)
}

/// Pieces by the entry that put them in.
fn by_filling(state: &State, items: Vec<Item>) -> BTreeMap<u64, Vec<Item>> {
    let mut fillings = BTreeMap::<u64, Vec<Item>>::new();
    for item in items {
        // Every spoil came by some entry.
        let seq = state.cage.came(&item).map_or(0, |came| came.seq);
        fillings.entry(seq).or_default().push(item);
    }
    fillings
}

/// The form that corrects a sealing, filled with what stands.
pub fn sealing_typed(sealing: &Sealing) -> Typed {
    let grams = |mass: Option<Mass>| mass.map_or_else(String::new, Mass::grams_text);
    let (gross, tare) = (grams(sealing.gross), grams(sealing.weighed.tare));
    let scale = sealing.weighed.scale;
    Typed::with([
        ("mend-seal", sealing.number.as_str()),
        (MEND_MASSES.gross, &gross),
        (MEND_MASSES.tare, &tare),
        (
            MEND_MASSES.scale,
            scale.as_ref().map_or("", ScaleId::as_str),
        ),
    ])
}

/// Reads the form that corrects a sealing: `mend-seal` (with `mend-again` when it is
/// another number), `mend-gross`, `mend-tare` and `mend-scale` as they should be, `mend-reason` and
/// `mend-second`. The scale of a mass that was read long ago may be unknown still.
///
/// # Errors
/// Every wrong field; nothing that differs.
pub fn sealing_corrected(
    typed: &Typed,
    state: &State,
    container: ContainerId,
    first: PersonId,
) -> Result<Entry, FieldErrors> {
    let known = state.cage.containers.get(&container);
    let Some(before) = known.and_then(Container::sealing) else {
        let message = format!("Container {container} is not sealed.");
        return Err(FieldErrors::one("", message));
    };
    let mut form = Reader::new(typed);
    let seal = form.read_with("mend-seal", |text| match read_number(text)? {
        same if same == before.number => Ok(same),
        _ => unused_seal(state, text),
    });
    if seal.is_some_and(|seal| seal != before.number)
        && form.text("mend-again").trim() != form.text("mend-seal").trim()
    {
        form.wrong::<()>(
            "mend-again",
            "The two seal numbers differ. Read the seal again and type its number twice.",
        );
    }
    let unnamed = before.gross.is_some() && before.weighed.scale.is_none();
    let masses = masses(&mut form, &MEND_MASSES, state, unnamed);
    if seal == Some(before.number) && masses == Some((before.gross, before.weighed)) {
        form.wrong::<()>(
            "mend-seal",
            "Seal number, masses and scale are as they stand already. Correct what is wrong.",
        );
    }
    let reason = form.required("mend-reason", "The reason", REASON_MAX);
    let second = second_person(&mut form, "mend-second", state, first);
    let entry = (|| {
        let (gross, weighed) = masses?;
        let named = gross.is_some() && weighed != before.weighed;
        Some(Entry::SealingCorrected(SealingCorrected {
            container,
            corrects: before.last_word(),
            seal: seal?,
            gross,
            weighed: named.then_some(weighed),
            reason: reason?,
            second: second?,
        }))
    })();
    form.finish(entry)
}
