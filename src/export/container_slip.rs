//! The slip that goes with a container: what lies in it, under which seal, how heavy, for people,
//! for a bar code and for a QR code.

use serde::Serialize;

use crate::book::State;
use crate::custody::{CagePlace, Container, ContainerId, Mass, ScaleId, SealNumber};
use crate::people::Stamp;

use super::contents::{NoteRange, SheetSpan, note_ranges, sheet_spans};

/// Ranges that find room on a slip.
pub const ON_SLIP: usize = 18;
/// Bytes of JSON that a QR code 32 mm wide still holds readably (common practice, no source).
const SLIP_QR_BYTES: usize = 450;

/// What the slip of a container says.
#[derive(Clone, Debug, PartialEq)]
pub struct ContainerSlip {
    pub works: String,
    pub practice: bool,
    pub bench: String,
    pub container: ContainerId,
    pub state: &'static str,
    /// Why it is held, if it is.
    pub held: Option<String>,
    /// Where it stands, once that was said.
    pub place: Option<CagePlace>,
    pub sheets: u32,
    pub notes: u32,
    pub sheet_numbers: Vec<SheetSpan>,
    pub serials: Vec<NoteRange>,
    /// Absent while it is open.
    pub sealed: Option<SlipSeal>,
}

/// The sealing of a container.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipSeal {
    pub seal: SealNumber,
    /// Printed names.
    pub by: [String; 2],
    pub at: Stamp,
    pub gross: Option<Mass>,
    pub tare: Option<Mass>,
    pub net: Option<Mass>,
    pub scale: Option<ScaleId>,
}

#[derive(Serialize)]
struct Content<'a> {
    works: &'a str,
    bench: &'a str,
    container: String,
    seal: Option<String>,
    sheets: u32,
    notes: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    gross: Option<Mass>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tare: Option<Mass>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sheet_numbers: Option<&'a [SheetSpan]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    serials: Option<Vec<(&'a str, &'a str)>>,
}

/// The slip of a container; nothing for one that is not in the cage.
pub fn container_slip(state: &State, id: ContainerId) -> Option<ContainerSlip> {
    let container = state.cage.containers.get(&id)?;
    let opened = state.opened.as_ref()?;
    let contents = container.contents();
    Some(ContainerSlip {
        works: opened.works.clone(),
        practice: opened.practice,
        bench: opened.bench.to_string(),
        container: id,
        state: container.state_name(),
        held: container.hold().map(|hold| hold.why.to_string()),
        place: container.place.as_ref().map(|(place, _)| place.clone()),
        sheets: contents.sheets,
        notes: contents.notes,
        sheet_numbers: sheet_spans(container),
        serials: note_ranges(state, container),
        sealed: sealed(state, container),
    })
}

fn sealed(state: &State, container: &Container) -> Option<SlipSeal> {
    let sealing = container.sealing()?;
    Some(SlipSeal {
        seal: sealing.number,
        by: [sealing.by, sealing.second].map(|person| state.name_of(person)),
        at: sealing.at.clone(),
        gross: sealing.gross,
        tare: sealing.weighed.tare,
        net: sealing
            .gross
            .zip(sealing.weighed.tare)
            .and_then(|(gross, tare)| gross.less(tare)),
        scale: sealing.weighed.scale,
    })
}

impl ContainerSlip {
    /// What the bar code says: the container number.
    pub fn bar_text(&self) -> String {
        self.container.to_string()
    }

    /// What the QR code says, as JSON: all of it while that fits, else without the ranges.
    pub fn qr_text(&self) -> String {
        let whole = self.content(true);
        match whole.len() <= SLIP_QR_BYTES {
            true => whole,
            false => self.content(false),
        }
    }

    fn content(&self, ranges: bool) -> String {
        let sealed = self.sealed.as_ref();
        let serials = || self.serials.iter().map(|range| (&*range.from, &*range.to));
        let content = Content {
            works: &self.works,
            bench: &self.bench,
            container: self.container.to_string(),
            seal: sealed.map(|sealed| sealed.seal.to_string()),
            sheets: self.sheets,
            notes: self.notes,
            gross: sealed.and_then(|sealed| sealed.gross),
            tare: sealed.and_then(|sealed| sealed.tare),
            sheet_numbers: ranges.then_some(&self.sheet_numbers),
            serials: ranges.then(|| serials().collect()),
        };
        // Texts and numbers always become JSON.
        serde_json::to_string(&content).unwrap_or_default()
    }

    /// The first ranges that find room, and how many more there are.
    pub fn ranges(&self) -> (Vec<String>, usize) {
        let sheets = self
            .sheet_numbers
            .iter()
            .map(|span| match span.from == span.to {
                true => format!("sheet {} of lot {}", span.from, span.lot),
                false => format!("sheets {} of lot {}", span.readable(), span.lot),
            });
        let notes = self.serials.iter().map(|range| match range.replacements {
            true => format!("{}, replacement", range.readable()),
            false => range.readable(),
        });
        let all: Vec<String> = sheets.chain(notes).collect();
        let more = all.len().saturating_sub(ON_SLIP);
        (all.into_iter().take(ON_SLIP).collect(), more)
    }
}

#[cfg(test)]
mod tests;
