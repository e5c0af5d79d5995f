//! Local storage: the second home of the book (see [`crate::desk::homes`]), and a pocket for small
//! things, the lamp and the space.

use web_sys::Storage;

use crate::book::Hash;
use crate::desk::homes::{DRAFT, Keep, Reach, SESSION, Second, key_name};
use crate::desk::{Lamp, Space};
use crate::people::SealedKey;

/// Values written before the page gets its turn.
const KEPT_AT_ONCE: usize = 200;

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
    keep_typed(space, DRAFT, draft);
}

/// Keeps what is typed at the open step of a destruction, or forgets it.
pub fn keep_session(space: Space, draft: Option<&str>) {
    keep_typed(space, SESSION, draft);
}

fn keep_typed(space: Space, name: &str, typed: Option<&str>) {
    let key = prefix(space) + name;
    match typed {
        // What is not recorded is worth trying to keep, not worth stopping for.
        Some(typed) => {
            put(&key, typed);
        }
        None => remove(&key),
    }
}

/// What the second home holds of a space; nothing where the browser keeps none.
pub fn second(space: Space) -> Option<Second> {
    let (storage, prefix) = (storage()?, prefix(space));
    let names = (0..storage.length().ok()?).filter_map(|index| storage.key(index).ok()?);
    let own = names.filter(|name| name.starts_with(&prefix));
    let values = own.filter_map(|name| {
        let value = storage.get_item(&name).ok()??;
        Some((name[prefix.len()..].to_owned(), value))
    });
    Some(Second::read(values))
}

/// Writes to the second home, in order.
///
/// # Errors
/// What there was no room for, from the first that did not fit.
pub fn keep(space: Space, keeps: Vec<Keep>) -> Result<(), Vec<Keep>> {
    for (at, keep) in keeps.iter().enumerate() {
        let name = prefix(space) + &keep.name();
        match keep.value() {
            Some(value) if !put(&name, &value) => return Err(keeps[at..].to_vec()),
            Some(_) => {}
            None => remove(&name),
        }
    }
    Ok(())
}

/// The same for as much as a whole book, without holding the page up.
///
/// # Errors
/// What there was no room for, from the first that did not fit.
pub async fn keep_all(space: Space, mut keeps: Vec<Keep>) -> Result<(), Vec<Keep>> {
    while keeps.len() > KEPT_AT_ONCE {
        let later = keeps.split_off(KEPT_AT_ONCE);
        if let Err(left) = keep(space, keeps) {
            return Err(left.into_iter().chain(later).collect());
        }
        gloo::timers::future::TimeoutFuture::new(0).await;
        keeps = later;
    }
    keep(space, keeps)
}

/// Keeps a sealed key. Where there is no room the first home still has it.
pub fn keep_key(space: Space, key: &SealedKey, text: &str) {
    put(&(prefix(space) + &key_name(key)), text);
}

/// The name of how far the book reached, by which tabs hear of each other.
pub fn reach_name(space: Space) -> String {
    let any = Keep::Reach(Reach {
        lines: 0,
        head: Hash::NONE,
    });
    prefix(space) + &any.name()
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
    let prefix = prefix(space);
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|index| storage.key(index).ok()?);
    for key in keys
        .filter(|key| key.starts_with(&prefix))
        .collect::<Vec<_>>()
    {
        remove(&key);
    }
}

fn prefix(space: Space) -> String {
    format!("cullbook/{}/", space.name())
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
