//! Which lines speak of what, so that the life of one note is found without reading the book
//! again. Only numbers of lines are kept; the lines themselves say the rest.

use std::collections::BTreeMap;

use crate::custody::{ContainerId, Item, SessionId};
use crate::sheet::{AcceptanceId, LotId, Replacement, Serial, SheetNo};

use super::entry::{Entry, Pieces};

/// Numbers of the lines that speak of a lot, a container or a replacement note, each rising.
#[derive(Clone, Debug, Default)]
pub(super) struct Trail {
    lots: BTreeMap<LotId, Vec<u64>>,
    /// Lines of machine files: the line, its lowest and its highest sheet.
    machine: BTreeMap<LotId, Vec<(u64, SheetNo, SheetNo)>>,
    /// The lot of each acceptance sample.
    samples: BTreeMap<AcceptanceId, LotId>,
    containers: BTreeMap<ContainerId, Vec<u64>>,
    /// The line that recorded each session, and what it destroyed: residue is of sessions, not of
    /// containers.
    sessions: BTreeMap<SessionId, (u64, Vec<ContainerId>)>,
    notes: BTreeMap<Serial<Replacement>, Vec<u64>>,
    /// Only lines that take a spoil out of its container, or say that it is missing, found or lost.
    spoils: BTreeMap<Item, Vec<u64>>,
    /// Lines that correct a line, by that line.
    corrections: BTreeMap<u64, Vec<u64>>,
}

impl Trail {
    /// Takes in one more line of the book.
    pub fn take(&mut self, seq: u64, entry: &Entry) {
        if let Some(corrected) = self.corrected_by(entry) {
            self.corrections.entry(corrected).or_default().push(seq);
        }
        match entry {
            Entry::LotOpened(data) => self.lot(data.lot, seq),
            Entry::LotNumbered(data) => self.lot(data.lot, seq),
            Entry::PressDiffered(data) => self.lot(data.lot, seq),
            Entry::LotClosed(data) => self.lot(data.lot, seq),
            Entry::AcceptanceDrawn(data) => {
                self.samples.insert(data.acceptance, data.lot);
                self.lot(data.lot, seq);
            }
            Entry::AcceptanceLooked(data) => {
                if let Some(lot) = self.samples.get(&data.acceptance).copied() {
                    self.lot(lot, seq);
                }
            }
            Entry::MachineRead(data) => {
                let sheets = data.tags.iter().map(|tag| tag.0);
                if let (Some(low), Some(high)) = (sheets.clone().min(), sheets.max()) {
                    let parts = self.machine.entry(data.lot).or_default();
                    parts.push((seq, low, high));
                }
            }
            Entry::ReplacementsDrawn(data) => {
                data.pairs.iter().for_each(|(_, new)| self.note(*new, seq));
            }
            Entry::ReplacementsInserted(data) => {
                data.notes.iter().for_each(|note| self.note(*note, seq));
            }
            Entry::ReplacementsSpoiled(data) => {
                data.notes.iter().for_each(|note| self.note(*note, seq));
            }
            Entry::ReplacementsReturned(data) => {
                data.notes.iter().for_each(|note| self.note(*note, seq));
            }
            Entry::ContainerOpened(data) => self.container(data.container, seq),
            Entry::ContainerFilled(data) => self.container(data.container, seq),
            Entry::ContainerSealed(data) => self.container(data.container, seq),
            Entry::SessionBegun(data) => {
                let named = data.containers.iter();
                named.for_each(|container| self.container(*container, seq));
            }
            Entry::SessionStep(data) => {
                let named = data.done.containers().into_iter();
                named.for_each(|container| self.container(container, seq));
            }
            Entry::ContainerMoved(data) => self.container(data.container, seq),
            Entry::ContainerRetired(data) => self.container(data.container, seq),
            Entry::SealChecked(data) => self.container(data.container, seq),
            Entry::ContainerHeld(data) => self.container(data.container, seq),
            Entry::ContainerResealed(data) => self.container(data.container, seq),
            Entry::SealingCorrected(data) => self.container(data.container, seq),
            Entry::ContainerRecounted(data) => {
                self.container(data.container, seq);
                self.spoils(&data.missing, seq);
                self.spoils(&data.found, seq);
            }
            Entry::FillingCorrected(data) => {
                self.container(data.container, seq);
                if let Some(to) = data.to {
                    self.container(to, seq);
                }
                self.spoils(&data.pieces, seq);
            }
            Entry::SpoilsLost(data) => self.spoils(&data.pieces, seq),
            Entry::SpoilsFound(data) => self.spoils(&data.pieces, seq),
            Entry::SpoilsDestroyed(data) => {
                let found = data.containers.iter().map(|found| found.container);
                let found: Vec<ContainerId> = found.collect();
                found.iter().for_each(|id| self.container(*id, seq));
                self.sessions.insert(data.session, (seq, found));
            }
            Entry::ResidueSent(data) => {
                for session in &data.sessions {
                    let (_, found) = self.sessions.get(session).cloned().unwrap_or_default();
                    found.into_iter().for_each(|id| self.container(id, seq));
                }
            }
            _ => {}
        }
    }

    fn lot(&mut self, lot: LotId, seq: u64) {
        self.lots.entry(lot).or_default().push(seq);
    }

    fn container(&mut self, container: ContainerId, seq: u64) {
        self.containers.entry(container).or_default().push(seq);
    }

    fn note(&mut self, note: Serial<Replacement>, seq: u64) {
        self.notes.entry(note).or_default().push(seq);
    }

    fn spoils(&mut self, pieces: &Pieces, seq: u64) {
        for item in pieces.items() {
            self.spoils.entry(item).or_default().push(seq);
        }
    }

    /// The line that an entry corrects: the one it names, or the record of the session it names.
    pub fn corrected_by(&self, entry: &Entry) -> Option<u64> {
        match entry {
            Entry::SheetsExamined(data) => data.corrects,
            Entry::VerdictOverruled(data) => Some(data.corrects),
            Entry::AcceptanceLooked(data) => data.corrects,
            Entry::MeasureTaken(data) => data.corrects,
            Entry::FillingCorrected(data) => Some(data.corrects),
            Entry::SealingCorrected(data) => Some(data.corrects),
            Entry::SessionStep(data) => data.corrects,
            Entry::SessionCorrected(data) => self.sessions.get(&data.session).map(|(seq, _)| *seq),
            _ => None,
        }
    }

    /// Lines that correct a line, rising.
    pub fn corrections_of(&self, seq: u64) -> &[u64] {
        self.corrections.get(&seq).map_or(&[], Vec::as_slice)
    }

    /// Lines about the lot as a whole.
    pub fn of_lot(&self, lot: LotId) -> &[u64] {
        self.lots.get(&lot).map_or(&[], Vec::as_slice)
    }

    /// Lines of machine files that may have tags of this sheet.
    pub fn machine(&self, lot: LotId, sheet: SheetNo) -> impl Iterator<Item = u64> + '_ {
        let parts = self.machine.get(&lot).into_iter().flatten();
        let spanning = parts.filter(move |(_, low, high)| *low <= sheet && sheet <= *high);
        spanning.map(|(seq, _, _)| *seq)
    }

    /// Lines that took a spoil out of its container, or said that it was missing, found or lost.
    pub fn of_spoil(&self, item: &Item) -> &[u64] {
        self.spoils.get(item).map_or(&[], Vec::as_slice)
    }

    /// Lines about a container, from its opening to its end.
    pub fn of_container(&self, container: ContainerId) -> &[u64] {
        self.containers.get(&container).map_or(&[], Vec::as_slice)
    }

    /// Lines that name a replacement note as drawn, inserted or spoiled.
    pub fn of_note(&self, note: &Serial<Replacement>) -> &[u64] {
        self.notes.get(note).map_or(&[], Vec::as_slice)
    }
}
