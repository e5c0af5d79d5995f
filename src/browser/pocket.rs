//! Local storage: the second home of the witnessed destruction log and of every head, and a
//! pocket for small things (the lamp, the unfinished sheet).
//!
//! One key a line: rewriting one growing value would make the browser put its writing off.

use web_sys::Storage;

use crate::desk::{Lamp, Space};

const LAMP: &str = "cullbook/lamp";
const SPACE: &str = "cullbook/space";

/// The browser's local storage, if it lets this page use it.
fn storage() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

/// The lamp chosen on this machine.
pub fn stored_lamp() -> Lamp {
    let stored = storage().and_then(|storage| storage.get_item(LAMP).ok()?);
    if stored.as_deref() == Some(Lamp::Dim.name()) {
        Lamp::Dim
    } else {
        Lamp::Day
    }
}

/// The space used last.
pub fn stored_space() -> Space {
    let stored = storage().and_then(|storage| storage.get_item(SPACE).ok()?);
    if stored.as_deref() == Some(Space::Practice.name()) {
        Space::Practice
    } else {
        Space::Real
    }
}

/// Remembers the space; a blocked storage only means that the next start is at the real book.
pub fn keep_space(space: Space) {
    put(SPACE, space.name());
}

/// Remembers the lamp; a blocked storage only means that it is asked for again.
pub fn keep_lamp(lamp: Lamp) {
    put(LAMP, lamp.name());
}

/// Keeps the unfinished sheet, or forgets it.
pub fn keep_draft(space: Space, draft: Option<&str>) {
    let key = draft_key(space);
    match draft {
        Some(draft) => {
            put(&key, draft);
        }
        None => remove(&key),
    }
}

/// The unfinished sheet kept last.
pub fn draft(space: Space) -> Option<String> {
    storage()?.get_item(&draft_key(space)).ok()?
}

fn draft_key(space: Space) -> String {
    format!("cullbook/{}/draft", space.name())
}

/// Copies a line of the destruction log here. Says whether there was room.
pub fn copy_line(space: Space, seq: u64, line: &str) -> bool {
    put(&line_key(space, seq), line)
}

/// Remembers the head: the number of lines and the hash of the last.
pub fn copy_head(space: Space, lines: u64, head: &str) -> bool {
    put(
        &format!("cullbook/{}/head", space.name()),
        &format!("{lines} {head}"),
    )
}

/// Forgets the copies of the lines before `below`.
pub fn drop_below(space: Space, below: u64) {
    let Some(storage) = storage() else { return };
    let prefix = format!("cullbook/{}/line/", space.name());
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|index| storage.key(index).ok()?);
    let early = keys.filter(|key| {
        let seq = key.strip_prefix(&prefix).and_then(|seq| seq.parse().ok());
        seq.is_some_and(|seq: u64| seq < below)
    });
    early.collect::<Vec<_>>().iter().for_each(|key| remove(key));
}

/// Forgets everything of a space.
pub fn clear(space: Space) {
    let Some(storage) = storage() else { return };
    let prefix = format!("cullbook/{}/", space.name());
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|index| storage.key(index).ok()?);
    for key in keys
        .filter(|key| key.starts_with(&prefix))
        .collect::<Vec<_>>()
    {
        remove(&key);
    }
}

fn line_key(space: Space, seq: u64) -> String {
    format!("cullbook/{}/line/{seq:08}", space.name())
}

fn put(key: &str, value: &str) -> bool {
    storage().is_some_and(|storage| storage.set_item(key, value).is_ok())
}

fn remove(key: &str) {
    if let Some(storage) = storage() {
        // Only a blocked storage fails here, and then there is nothing to remove.
        storage.remove_item(key).unwrap_or_default();
    }
}
