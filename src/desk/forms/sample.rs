//! A book for the tests of forms.

use uuid::Uuid;

use super::{Typed, new_book};
use crate::book::{Author, Book, Entry, Refusal};
use crate::desk::Env;
use crate::desk::practice::practice_key;
use crate::people::Stamp;

fn now() -> Stamp {
    "2026-11-25T08:00:00+01:00".parse().unwrap()
}

/// UUIDs of version 7, counted on.
fn ids(from: u64) -> impl FnMut() -> Uuid {
    let mut next = 0x7000_8000_0000_0000_0000_u128 + u128::from(from);
    move || {
        next += 1;
        Uuid::from_u128(next)
    }
}

/// A new book of the Brackwater works with the supervisor `ada`.
pub fn book() -> Book {
    let typed = Typed::with([
        ("works", "Brackwater works"),
        ("bench", "BW-1"),
        ("person", "ada"),
        ("name", "Ada Quill"),
        ("passphrase", "long meadow at dusk"),
        ("passphrase-again", "long meadow at dusk"),
    ]);
    let mut new_id = ids(0);
    let mut env = Env {
        now: now(),
        new_id: &mut new_id,
    };
    let (new, _) = new_book(&typed).unwrap();
    let key = practice_key(new.supervisor);
    new.open(&key, &mut env).unwrap()
}

/// Records an entry as the supervisor.
pub fn take(book: &mut Book, entry: Entry) -> Result<(), Refusal> {
    take_all(book, vec![entry])
}

/// Records entries as the supervisor, all or none.
pub fn take_all(book: &mut Book, entries: Vec<Entry>) -> Result<(), Refusal> {
    let mut new_id = ids(book.len() * 1000);
    let by = "ada".parse().unwrap();
    let mut author = Author {
        by,
        key: &practice_key(by),
        also: Vec::new(),
        at: now(),
        new_id: &mut new_id,
    };
    let batch = book.prepare(&mut author, entries)?;
    book.append(batch).unwrap();
    Ok(())
}
