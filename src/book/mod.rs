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
//! A book is a text file of lines ended by `\n`. Each line is one JSON object without white space
//! between its tokens, its members in this order:
//!
//! | member | value |
//! |---|---|
//! | `v` | 2 |
//! | `seq` | 0 for the first line, then one more each |
//! | `id` | a UUID version 7 |
//! | `bench` | the bench that wrote it |
//! | `at` | RFC 3339 date-time with offset |
//! | `by` | the code of the person who acted |
//! | `prev` | hash of the line before; 64 zeros for the first |
//! | `kind` | what `data` is |
//! | `data` | an object |
//! | `statement` | what others than the author signed, as text; only in lines that need it |
//! | `also` | their signatures: a list of objects `by`, `as`, `sig`; only with `statement` |
//! | `sig` | the author's signature |
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
//! a book is the hash of its last line. `tests/python/check_book.py` is a reader in Python.

mod defects;
mod entry;
mod figures;
mod findings;
mod fold;
mod hash;
mod life;
mod line;
mod lot;
mod obstacle;
mod pool;
mod refusal;
mod several;
mod sheet_text;
mod shelf;
mod state;
mod statement;
mod stock;
mod trace;
mod trail;
mod weighing;

pub use defects::DefectCounts;
pub use entry::*;
pub use figures::{Account, book_account, lot_account, lot_of, on_hand, sheet_figures, spoils_of};
pub use findings::{Findings, Mark, Press, Repeater, ZoneFinding, family};
pub use hash::Hash;
pub use life::{Step, Subject};
pub use line::{BenchId, Countersigned, Header, LINE_MAX, Line, LineError};
pub use lot::{AtPress, Differed, Exam, Gone, Lot, Overruling, PressRecord, Serials, SheetState};
pub use obstacle::Obstacle;
pub use pool::{Fate, Pool};
pub use refusal::Refusal;
pub use several::{BookName, Conflict, Contained, LotTogether, Several, Where, lay_together};
pub use sheet_text::SheetText;
pub use shelf::{Author, Batch, Book, BookError};
pub use state::{Cage, DayClosing, LastCopy, Opened, Place, Product, SessionRecord, State};
pub use statement::cosigners;
pub use stock::{Stock, stock, stocks};
pub use trace::{Life, PrintedLife, ReplacementLife, Trace};
pub use weighing::{ResidueRecord, WeighCheck};
