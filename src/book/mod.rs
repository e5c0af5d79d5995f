//! The book: everything that happens is a line appended to it, and all that a screen shows is a
//! pure function of its lines.
//!
//! - [`Line`]: one entry with its header, its exact bytes and its hash; [`Line::read`] is strict
//! - [`Entry`]: what a line says, one variant a kind
//! - [`Book`]: lines in order, the head, and the folded [`State`]
//! - [`Refusal`]: why an entry cannot be taken, in a sentence
//! - [`lay_together`]: the books of several benches, and the conflicts between them
//!
//! # The format
//!
//! A book is a file of lines in UTF-8, each ended by one byte `\n`, the last one too. There is no
//! byte order mark, no empty line and no carriage return. A line has at most 1,048,576 bytes
//! without its end. It is one JSON object (RFC 8259), its members in this order:
//!
//! | member | value |
//! |---|---|
//! | `v` | 2 |
//! | `seq` | 0 for the first line, then one more each |
//! | `id` | a UUID version 7 in small letters with hyphens |
//! | `bench` | the bench that wrote it, the same in every line |
//! | `at` | RFC 3339 date-time with offset, with a capital `T` and `Z` |
//! | `by` | the code of the person who acted |
//! | `prev` | hash of the line before; 64 zeros for the first |
//! | `kind` | what `data` is |
//! | `data` | an object |
//! | `statement` | what others than the author signed, as text; only in lines that need it |
//! | `also` | their signatures: a list, not empty, of objects `by`, `as`, `sig`; only with `statement` |
//! | `sig` | the author's signature |
//!
//! `bench` and every `by` are 1 to 24 of `A-Z a-z 0-9 . _ -`, the first a letter or a digit.
//!
//! What a line says can be written in one way only, and any other is refused:
//!
//! - no white space between tokens
//! - no member twice in one object, none that the format or the kind does not have, and those of
//!   `data` in the kind's order; a member that may be left out is left out rather than `null`
//! - numbers are whole, written without sign, leading zero, fraction or exponent; a number below
//!   zero, where a kind has one, begins with `-` and is not `-0`
//! - in texts only `"`, `\` and the characters below U+0020 are escaped, as `\" \\ \b \t \n \f \r`
//!   and otherwise as `\u00` and two small hexadecimal digits
//!
//! Texts are any Unicode, kept as they were given and not normalised: two texts are the same when
//! their bytes are. The rules of this page hold for a reader that knows no kinds; the order of
//! members in `data`, and what each kind allows, is checked besides by those that do.
//!
//! A book may begin with a line of the kind `book.checkpoint`: the lines before it are in an
//! archive. Its `seq` and `prev` are then what its `data.archived` says (`lines`, `head`), and the
//! keys of its people are those of `data.carried.people`. `data.carried` is the last member of its
//! `data`; the statement under it names the SHA-256 of that member's bytes. The archive's file and
//! the book behind it, one after the other, are one book again.
//!
//! Keys and signatures are Ed25519 (RFC 8032), written like hashes in lower-case hexadecimal
//! digits: 64 for a key, 128 for a signature.
//!
//! The author signs the ASCII text `cullbook sign v2`, one byte `\n`, and the line's bytes up to,
//! and without, `,"sig":`. The key is the `key` that the line's `by` was enrolled with (the
//! `supervisor` of the first line), or was given last by `person.rekeyed`.
//!
//! Each of `also` signs the text `cullbook statement v2`, one byte `\n`, the `statement`, one byte
//! `\n`, and `Signed by {by} as {meaning}.` where the meaning is `as` with a space for each `_`.
//! The statement names the book and the head that the line builds on.
//!
//! The hash of a line is SHA-256 over the ASCII text `cullbook line v2`, one byte `\n`, and the
//! line's bytes without their line end, written as 64 lower-case hexadecimal digits. The head of
//! a book is the hash of its last line. `tests/python/check_book.py` is a reader in Python. The
//! short code of a head is described in `head_code.rs`.

mod acceptance;
mod alike;
mod archive;
mod begun_before;
mod cage;
mod cage_refusal;
mod checkpoint;
mod defects;
mod entry;
mod figures;
mod findings;
mod fold;
mod glance;
mod guest;
mod handover;
mod hash;
mod head_code;
mod homes;
mod kept;
mod life;
mod line;
mod lot;
mod measured;
mod obstacle;
mod pairs;
mod pool;
mod refusal;
mod says;
mod several;
mod sheet_text;
mod shelf;
mod shown;
mod state;
mod statement;
mod stock;
mod subgroups;
mod trace;
mod trail;
mod verifier;
mod weighing;

pub use acceptance::{Acceptance, Look, Planned};
pub use alike::{
    Brought, By, ClassesAlike, MeasuredGroup, QuantityAlike, Tested, Unlike, brought,
    classes_alike, classes_alike_on, measured_alike, measured_alike_on,
};
pub use archive::{Archive, ArchivedLot};
pub use cage::{Cage, Came, Loss, Place};
pub use cage_refusal::CageRefusal;
pub use checkpoint::{
    Archived, BookCheckpoint, Carried, CarriedContainer, CarriedLot, CarriedSeries, Unsettled,
    carry, unsettled,
};
pub use defects::DefectCounts;
pub use entry::*;
pub use figures::{
    Account, book_account, carried, lot_account, lot_of, on_hand, sheet_figures, spoils_of,
};
pub use findings::{Findings, Mark, Press, Repeater, ZoneFinding, family};
pub use glance::{Glance, glance};
pub use guest::{Chained, Guest, GuestReader, Heads};
pub use handover::{Finish, Handover, Unfinished};
pub use hash::Hash;
pub use head_code::{HeadCode, HeadCodeError};
pub use homes::{Home, StoreHealed};
pub use kept::{Head, HeadAnswer, KeptHead};
pub use life::{Step, Subject};
pub use line::{BenchId, Countersigned, Header, LINE_MAX, Line, LineError};
pub use lot::{AtPress, Differed, Exam, Gone, Lot, Overruling, PressRecord, Serials, SheetState};
pub use measured::Sample;
pub use obstacle::Obstacle;
pub use pool::{Fate, Pool, Settled};
pub use refusal::Refusal;
pub use says::{KindGroup, fact_words, kind_words, says};
pub use several::{
    BookName, Conflict, Contained, GUESTS_MAX, Guests, Laying, LotTogether, NotTaken, Several,
    Taken, Where, lay_together,
};
pub use sheet_text::SheetText;
pub use shelf::{Author, Batch, Book};
pub use state::{
    AbandonedSession, DayClosing, Healing, LastCopy, Opened, Product, SessionCorrection,
    SessionRecord, State,
};
pub use statement::{cosigners, sample_says};
pub use stock::{Stock, stock, stocks};
pub use subgroups::{Subgroup, subgroups};
pub use trace::{ArchivedNote, Life, PrintedLife, ReplacementLife, Trace};
pub use verifier::{BookError, Unchecked, Verifier, text_of};
pub use weighing::{ResidueRecord, WeighCheck};
