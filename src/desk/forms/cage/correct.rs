//! Corrections of container facts: pieces in the wrong container, a sealing written amiss.

use std::collections::BTreeMap;

use crate::book::{Entry, FillingCorrected, LIST_PART, Place, SealingCorrected, State};
use crate::custody::{Container, ContainerId, Item, Sealing};
use crate::people::PersonId;

use super::super::spoils::whereabouts;
use super::super::{FieldErrors, Reader, Typed};
use super::seal::{gross, read_number, unused_seal};
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
    let gross = sealing
        .gross
        .map_or_else(String::new, |mass| mass.grams_text());
    Typed::with([
        ("mend-seal", sealing.number.as_str()),
        ("mend-gross", &gross),
    ])
}

/// Reads the form that corrects a sealing: `mend-seal` (with `mend-again` when it is
/// another number) and `mend-gross` as they should be, `mend-reason` and `mend-second`.
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
    let gross = gross(&mut form, "mend-gross");
    if seal == Some(before.number) && gross == Some(before.gross) {
        form.wrong::<()>(
            "mend-seal",
            "Seal number and mass are as they stand already. Correct what is wrong.",
        );
    }
    let reason = form.required("mend-reason", "The reason", REASON_MAX);
    let second = second_person(&mut form, "mend-second", state, first);
    let entry = (|| {
        Some(Entry::SealingCorrected(SealingCorrected {
            container,
            corrects: before.last_word(),
            seal: seal?,
            gross: gross?,
            reason: reason?,
            second: second?,
        }))
    })();
    form.finish(entry)
}
