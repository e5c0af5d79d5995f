//! Sealing a container, and reading seal numbers: typed twice, or scanned once.

use crate::book::{CageRefusal, ContainerSealed, Entry, State};
use crate::custody::{ContainerId, Mass, ScaleId, Seal, SealNumber, TareAndScale};
use crate::people::PersonId;
use crate::sheet::IdError;

use super::super::destroy::scale_of;
use super::super::{FieldErrors, Reader, Typed};
use super::{condition, known_container, second_person};

/// Reads the form that seals a container: `seal-container`, `seal-number` and `seal-again` (or
/// `seal-scanned`, what a scanner read), `seal-gross` and `seal-tare` (grams, may be empty),
/// `seal-scale` (asked with a gross mass where the works has any) and `seal-second`, who signs too
/// before it is recorded. `first` is who is signed in.
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
    let seal = new_seal(&mut form, state);
    let masses = masses(&mut form, &SEAL_MASSES, state, false);
    let second = second_person(&mut form, "seal-second", state, first);
    let entry = (|| {
        let (gross, TareAndScale { tare, scale }) = masses?;
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

/// The fields of a form for gross mass, tare and scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MassFields {
    pub gross: &'static str,
    pub tare: &'static str,
    pub scale: &'static str,
}

/// Of a seal that is put on.
pub const SEAL_MASSES: MassFields = MassFields {
    gross: "seal-gross",
    tare: "seal-tare",
    scale: "seal-scale",
};

/// Of a sealing that is corrected.
pub const MEND_MASSES: MassFields = MassFields {
    gross: "mend-gross",
    tare: "mend-tare",
    scale: "mend-scale",
};

impl MassFields {
    /// The net mass and the scale, as far as what is typed can be read.
    pub fn net_and_scale(&self, typed: &Typed) -> (Option<Mass>, Option<ScaleId>) {
        let mass = |field| Mass::from_grams_text(typed.get(field)).ok();
        let both = mass(self.gross).zip(mass(self.tare));
        let net = both.and_then(|(gross, tare)| gross.less(tare));
        (net, typed.get(self.scale).parse().ok())
    }
}

/// Gross, tare and scale: none, the gross alone, or both. With a gross mass the scale must be named
/// where the works has any, unless `unnamed` says that it may be left empty.
pub(super) fn masses(
    form: &mut Reader,
    fields: &MassFields,
    state: &State,
    unnamed: bool,
) -> Option<(Option<Mass>, TareAndScale)> {
    let (full, empty) = (mass(form, fields.gross), mass(form, fields.tare));
    match (full?, empty?) {
        (None, None) => Some((None, TareAndScale::default())),
        (None, Some(_)) => form.wrong(
            fields.gross,
            "The tare is typed, but not the gross mass. Weigh the full container, too, or leave both empty.",
        ),
        (Some(gross), Some(tare)) if gross < tare => form.wrong(
            fields.gross,
            "The gross mass is below the tare. Weigh again.",
        ),
        (gross, tare) => {
            let scale = match unnamed && form.text(fields.scale).is_empty() {
                true => None,
                false => scale_of(form, fields.scale, state)?,
            };
            Some((gross, TareAndScale { tare, scale }))
        }
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

/// The number of a seal that is being put on: `seal-number`, and the same in `seal-again` unless
/// `seal-scanned` says that a scanner read exactly it.
pub(super) fn new_seal(form: &mut Reader, state: &State) -> Option<SealNumber> {
    let seal = form.read_with("seal-number", |text| unused_seal(state, text))?;
    let typed = form.text("seal-number").trim();
    let scanned = form.text("seal-scanned") == typed;
    if !scanned && form.text("seal-again").trim() != typed {
        return form.wrong(
            "seal-again",
            "The two seal numbers differ. Read the seal again and type it twice, or scan it.",
        );
    }
    Some(seal)
}

pub(super) fn read_number(text: &str) -> Result<SealNumber, String> {
    text.parse().map_err(|why: IdError| why.to_string())
}

/// A seal number of the works' form that was never used.
pub(super) fn unused_seal(state: &State, text: &str) -> Result<SealNumber, String> {
    let seal = read_number(text)?;
    if let Some(form) = &state.rules.seal_form
        && !form.accepts(seal.as_str())
    {
        let form = form.to_string();
        return Err(CageRefusal::SealForm { seal, form }.to_string());
    }
    // Two numbers that differ in the shift key alone are one number on one seal.
    let alike = |known: &&SealNumber| known.as_str().eq_ignore_ascii_case(seal.as_str());
    match state.cage.seals.iter().find(|(known, _)| alike(known)) {
        None => Ok(seal),
        Some((known, container)) => Err(used(state, *known, *container)),
    }
}

/// Where, when and by whom a seal was used.
fn used(state: &State, seal: SealNumber, container: ContainerId) -> String {
    let known = state.cage.containers.get(&container);
    let sealing = known.and_then(|known| known.sealings().find(|one| one.number == seal));
    let when = sealing.map_or_else(String::new, |sealing| {
        let (at, by) = (sealing.at.dated(), state.name_of(sealing.by));
        format!(" on {at} by {by}")
    });
    format!(
        "Seal {seal} was used on container {container}{when}. A seal number is used once: look at the seal again."
    )
}

/// A mass in grams, or nothing.
fn mass(form: &mut Reader, field: &'static str) -> Option<Option<Mass>> {
    match form.text(field).trim() {
        "" => Some(None),
        _ => form.read_with(field, Mass::from_grams_text).map(Some),
    }
}
