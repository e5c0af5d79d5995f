//! The checkpoint: the book goes on from what is carried over.

use crate::people::Duty;

use super::super::checkpoint::{BookCheckpoint, carry};
use super::super::entry::Copied;
use super::super::line::Header;
use super::super::refusal::Refusal;
use super::super::state::{Change, LastCopy, State};
use super::may;

/// What was before is in the archive from now on, even for a reader who still has it: so that both
/// readings of the book come to the same, and a change of screens after a reload surprises nobody.
pub fn book_checkpoint(
    state: &State,
    header: &Header,
    data: &BookCheckpoint,
) -> Result<Change, Refusal> {
    let archived = data.archived;
    if (archived.lines.get(), archived.head) != (header.seq, header.prev) {
        return Err(Refusal::OtherArchive);
    }
    if data.second == header.by {
        return Err(Refusal::SamePerson(data.second));
    }
    may(state, data.second, Duty::ConfirmArchive)?;
    let carried = carry(state).map_err(Refusal::NotSettled)?;
    if carried.hash() != data.carried.hash() {
        return Err(Refusal::CarriedDiffers);
    }
    let behind = State {
        last_copy: Some(LastCopy {
            what: Copied::Book,
            at: header.at.clone(),
            seq: header.seq,
        }),
        ..carried.state(archived)?
    };
    Ok(Change::new(move |state| *state = behind))
}
