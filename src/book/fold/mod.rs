//! The fold: for each kind, what an entry must satisfy and what it changes.
//!
//! Each function checks everything first and only then gives back a [`Change`], so a refused
//! entry leaves no trace and an accepted one cannot fail half-way.

mod accept;
mod bench;
mod cage;
mod checkpoint;
mod close;
mod destroyed;
mod measure;
mod office;
mod overrule;
mod press;
mod replace;
mod session;
mod steps;
mod weigh;

pub(super) use cage::taggers;

use crate::people::{Duty, PersonId};

use super::entry::Entry;
use super::hash::Hash;
use super::line::Header;
use super::refusal::Refusal;
use super::state::{Change, State};

/// Checks one entry and says what it would change.
pub(super) fn plan(
    state: &State,
    header: &Header,
    entry: &Entry,
    hash: Hash,
) -> Result<Change, Refusal> {
    if let Entry::BookOpened(data) = entry {
        return office::book_opened(state, header, data);
    }
    if state.opened.is_none() {
        return Err(Refusal::NotOpened);
    }
    may(state, header.by, duty_of(entry))?;
    session::apart(state, entry)?;
    match entry {
        Entry::BookOpened(_) => Err(Refusal::OpenedTwice),
        Entry::PersonEnrolled(data) => office::person_enrolled(state, data),
        Entry::PersonRetired(data) => office::person_retired(state, data),
        Entry::PersonRekeyed(data) => office::person_rekeyed(state, data),
        Entry::ClassesSet(data) => Ok(office::classes_set(data)),
        Entry::RulesSet(data) => office::rules_set(data),
        Entry::ProductDefined(data) => office::product_defined(state, data),
        Entry::PaperSet(data) => weigh::paper_set(state, data),
        Entry::ScaleSet(data) => weigh::scale_set(header, data),
        Entry::SeriesAdded(data) => office::series_added(state, data),
        Entry::LotOpened(data) => office::lot_opened(state, header, data),
        Entry::LotNumbered(data) => press::lot_numbered(state, data),
        Entry::PressDiffered(data) => press::differed(state, header, data),
        Entry::MachineRead(data) => bench::machine_read(state, data),
        Entry::SheetsExamined(data) => bench::sheets_examined(state, header, data),
        Entry::VerdictOverruled(data) => overrule::verdict_overruled(state, header, data),
        Entry::AcceptanceDrawn(data) => accept::drawn(state, header, data),
        Entry::AcceptanceLooked(data) => accept::looked(state, header, data),
        Entry::MeasureTarget(data) => measure::target(state, data),
        Entry::MeasureTaken(data) => measure::taken(state, header, data),
        Entry::ReplacementsDrawn(data) => replace::drawn(state, header, data),
        Entry::ReplacementsInserted(data) => replace::inserted(state, header, data),
        Entry::ReplacementsSpoiled(data) => replace::spoiled(state, header, data),
        Entry::ReplacementsReturned(data) => replace::returned(state, header, data),
        Entry::ContainerOpened(data) => cage::opened(state, header, data),
        Entry::ContainerFilled(data) => cage::filled(state, header, data),
        Entry::ContainerSealed(data) => cage::sealed(state, header, data),
        Entry::ContainerMoved(data) => cage::moved(state, header, data),
        Entry::ContainerRetired(data) => cage::retired(state, header, data),
        Entry::SealChecked(data) => cage::hold::checked(state, header, data),
        Entry::ContainerHeld(data) => cage::hold::held(state, header, data),
        Entry::ContainerRecounted(data) => cage::hold::recounted(state, header, data),
        Entry::ContainerResealed(data) => cage::hold::resealed(state, header, data),
        Entry::FillingCorrected(data) => cage::correct::filling(state, header, data),
        Entry::SealingCorrected(data) => cage::correct::sealing(state, header, data),
        Entry::SpoilsLost(data) => cage::lost::declared(state, header, data),
        Entry::SpoilsFound(data) => cage::lost::found(state, header, data),
        Entry::SessionBegun(data) => session::begun(state, header, hash, data),
        Entry::SessionStep(data) => session::step(state, header, data),
        Entry::TeamChanged(data) => session::team_changed(state, header, data),
        Entry::SessionAbandoned(data) => session::abandoned(state, header, data),
        Entry::SpoilsDestroyed(data) => destroyed::destroyed(state, header, hash, data),
        Entry::ResidueSent(data) => weigh::residue_sent(state, header, data),
        Entry::SessionCorrected(data) => destroyed::corrects(state, header, data),
        Entry::PassphraseFailed(data) => {
            session::passphrase_failed(state, header, data.person, data.tries)
        }
        Entry::LotClosed(data) => close::lot_closed(state, header, data),
        Entry::DayClosed(data) => close::day_closed(state, header, data),
        Entry::ShiftHandedOver(data) => close::shift_handed_over(state, header, data),
        Entry::CopyTaken(data) => close::copy_taken(header, data),
        Entry::BookCheckpoint(data) => checkpoint::book_checkpoint(state, header, data),
        Entry::StoreHealed(data) => close::store_healed(header, data),
    }
}

/// The duty an entry falls under.
fn duty_of(entry: &Entry) -> Duty {
    match entry {
        Entry::BookOpened(_)
        | Entry::PersonEnrolled(_)
        | Entry::PersonRetired(_)
        | Entry::PersonRekeyed(_)
        | Entry::ClassesSet(_)
        | Entry::RulesSet(_)
        | Entry::ProductDefined(_)
        | Entry::PaperSet(_)
        | Entry::ScaleSet(_)
        | Entry::SeriesAdded(_)
        | Entry::LotOpened(_)
        | Entry::LotNumbered(_)
        | Entry::PressDiffered(_)
        | Entry::MeasureTarget(_) => Duty::RunTheOffice,
        Entry::MachineRead(_) => Duty::ReadMachineFile,
        Entry::SheetsExamined(_) | Entry::AcceptanceLooked(_) => Duty::Examine,
        Entry::MeasureTaken(_) => Duty::Measure,
        Entry::AcceptanceDrawn(_) => Duty::DrawSample,
        Entry::VerdictOverruled(_) => Duty::Overrule,
        Entry::ReplacementsDrawn(_)
        | Entry::ReplacementsInserted(_)
        | Entry::ReplacementsSpoiled(_)
        | Entry::ReplacementsReturned(_) => Duty::DrawReplacements,
        Entry::ContainerOpened(_)
        | Entry::ContainerFilled(_)
        | Entry::ContainerMoved(_)
        | Entry::ContainerRetired(_)
        | Entry::FillingCorrected(_)
        | Entry::SpoilsFound(_) => Duty::FillContainers,
        Entry::ContainerSealed(_)
        | Entry::SealChecked(_)
        | Entry::ContainerHeld(_)
        | Entry::ContainerRecounted(_)
        | Entry::ContainerResealed(_)
        | Entry::SealingCorrected(_) => Duty::Seal,
        Entry::SpoilsLost(_) => Duty::DeclareLost,
        Entry::SessionBegun(_)
        | Entry::SessionStep(_)
        | Entry::TeamChanged(_)
        | Entry::SessionAbandoned(_)
        | Entry::SpoilsDestroyed(_)
        | Entry::ResidueSent(_) => Duty::LeadDestruction,
        Entry::SessionCorrected(_) => Duty::CorrectSession,
        Entry::PassphraseFailed(_) => Duty::NoteFailedKey,
        Entry::LotClosed(_) | Entry::DayClosed(_) => Duty::Close,
        Entry::ShiftHandedOver(_) => Duty::HandOver,
        Entry::CopyTaken(_) => Duty::NoteCopy,
        Entry::BookCheckpoint(_) => Duty::Archive,
        Entry::StoreHealed(_) => Duty::NoteHealing,
    }
}

fn may(state: &State, person: PersonId, duty: Duty) -> Result<(), Refusal> {
    if duty.allows(state.person(person)?) {
        Ok(())
    } else {
        Err(Refusal::NotAllowed { person, duty })
    }
}

/// Checks a text that must be there.
fn required(field: &'static str, text: &str, max: usize) -> Result<(), Refusal> {
    if text.trim().is_empty() {
        return Err(Refusal::Empty { field });
    }
    if text.chars().count() > max {
        return Err(Refusal::TooLong { field, max });
    }
    Ok(())
}

/// Checks that a list has something, and not more than one entry may carry.
fn listed(len: usize) -> Result<(), Refusal> {
    match len {
        0 => Err(Refusal::EmptyList),
        1..=super::entry::LIST_PART => Ok(()),
        _ => Err(Refusal::LongList {
            max: super::entry::LIST_PART,
        }),
    }
}
