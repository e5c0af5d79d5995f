//! Archiving: closed days leave the browser. The steps follow each other, none can lose a line,
//! and a crash between any two leaves a book that reads.

use crate::book::{
    Archived, Book, BookCheckpoint, Entry, Hash, HeadAnswer, KeptHead, Refusal, Unsettled, carry,
    unsettled,
};
use crate::people::{Duty, PersonId};
use crate::sheet::grouped;

use super::core::Desk;
use super::forms::{FieldErrors, Reader, Typed};
use super::ports::Effect;

/// The field in which the second person is chosen.
pub const SECOND: &str = "archive-second";

/// How far archiving has come. It follows from the book, so it goes on after a reload.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// No lot has been closed since the book was opened or cut last.
    NothingClosed,
    Unsettled(Vec<Unsettled>),
    /// The archive is saved, and shown to be kept elsewhere.
    Show,
    /// Two people sign the checkpoint.
    Sign,
    /// The book goes on from its checkpoint; the lines before it may leave the browser.
    Remove,
}

/// Why a file is not the archive of the book as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotTheArchive {
    #[error(
        "The signatures of the book are still being checked. Wait until all are, and choose the file again."
    )]
    StillChecking,
    #[error("This file is the book up to entry {}, and more was recorded since. Save the archive again.", grouped(*.last))]
    Older { last: u64 },
    #[error("This file differs from the book, first in entry {}. Save the archive again; if it stays so, compare both (cullbook-audit compare).", grouped(*.entry))]
    Differs { entry: u64 },
    #[error("{}", .0)]
    OtherHead(&'static str),
}

/// Whether a file is, byte for byte, what the book has here.
///
/// # Errors
/// The first difference.
pub fn is_archive(book: &Book, file: &[u8]) -> Result<(), NotTheArchive> {
    if book.unchecked() > 0 {
        return Err(NotTheArchive::StillChecking);
    }
    let mut lines = file.split_inclusive(|byte| *byte == b'\n');
    for seq in book.first_seq()..book.len() {
        let text = book.text(seq).map(|text| text.as_bytes());
        match (lines.next().map(|line| line.strip_suffix(b"\n")), text) {
            (Some(Some(line)), Some(text)) if line == text => {}
            (None, _) if seq > book.first_seq() => {
                return Err(NotTheArchive::Older { last: seq - 1 });
            }
            _ => return Err(NotTheArchive::Differs { entry: seq }),
        }
    }
    match lines.next() {
        None => Ok(()),
        Some(_) => Err(NotTheArchive::Differs { entry: book.len() }),
    }
}

/// Whether a head that was read from the archive elsewhere is that of the book as it stands.
///
/// # Errors
/// Another head, or signatures that are still being checked.
pub fn is_archive_head(book: &Book, kept: &KeptHead) -> Result<(), NotTheArchive> {
    if book.unchecked() > 0 {
        return Err(NotTheArchive::StillChecking);
    }
    match book.answer(kept) {
        HeadAnswer::Contained { after: 0, .. } => Ok(()),
        HeadAnswer::Contained { entry, .. } => Err(NotTheArchive::Older { last: entry }),
        _ => Err(NotTheArchive::OtherHead(
            "This is not the head of the book. Verify the archive again, and type the head that is shown.",
        )),
    }
}

/// The checkpoint of the book as it stands, confirmed by whoever is chosen in [`SECOND`].
///
/// # Errors
/// By field: who is missing or may not, what is not settled.
pub fn checkpoint(typed: &Typed, book: &Book, by: PersonId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let second: Option<PersonId> = match form.text(SECOND).is_empty() {
        true => form.wrong(SECOND, "Choose who has seen the archive with you."),
        false => form.read(SECOND),
    };
    if second == Some(by) {
        form.wrong::<()>(SECOND, "Choose someone other than yourself.");
    }
    let second = form.finish(second)?;
    let carried = carry(book.state());
    let carried = carried.map_err(|why| FieldErrors::one("", Refusal::NotSettled(why)))?;
    let lines = book.len().try_into();
    let lines = lines.map_err(|_| FieldErrors::one("", Refusal::NotOpened))?;
    let head = book.head();
    Ok(Entry::BookCheckpoint(BookCheckpoint {
        archived: Archived { lines, head },
        second,
        carried: Box::new(carried),
    }))
}

impl Desk {
    pub fn archiving(&self) -> Step {
        let (book, state) = (&self.book, self.state());
        if book.first_seq() < state.archive.lines() {
            return Step::Remove;
        }
        if state.lots.values().all(|lot| lot.closed.is_none()) {
            return Step::NothingClosed;
        }
        let left = match carry(state) {
            Ok(_) => Vec::new(),
            Err(why @ Unsettled::TooMuch { .. }) => vec![why],
            Err(_) => unsettled(state),
        };
        match left.is_empty() {
            false => Step::Unsettled(left),
            true if self.archive == Some(book.head()) => Step::Sign,
            true => Step::Show,
        }
    }

    /// Bytes that leave the browser with the lines that are here now, and what stays in their
    /// place. Nothing while something is not settled.
    pub fn archive_saves(&self) -> Option<(u64, u64)> {
        let stays = carry(self.state()).ok()?.text().len() as u64;
        let lines = self.book.texts().iter();
        Some((lines.map(|text| text.len() as u64 + 1).sum(), stays))
    }

    pub(super) fn archive_seen(&mut self, head: Hash) -> Vec<Effect> {
        self.archive = Some(head);
        Vec::new()
    }

    /// Only what a checkpoint behind it carries over may be removed, and only by who may archive.
    pub(super) fn drop_archived(&mut self) -> Result<Vec<Effect>, Refusal> {
        self.homes.may_write()?;
        let by = self.signed_in.ok_or(Refusal::NobodySignedIn)?;
        if !self.may(Duty::Archive) {
            let duty = Duty::Archive;
            return Err(Refusal::NotAllowed { person: by, duty });
        }
        if self.archiving() != Step::Remove || self.is_saving() || self.book.unchecked() > 0 {
            return Err(Refusal::NothingArchived);
        }
        let (space, below) = (self.space, self.state().archive.lines());
        Ok(vec![
            Effect::DropLines { space, below },
            Effect::Load(space),
        ])
    }
}
