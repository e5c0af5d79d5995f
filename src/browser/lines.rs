//! The first home of the book: an IndexedDB database, one record a line, written in strict
//! transactions, so that "recorded" stays true when the plug is pulled. The sealed keys of the
//! people who sign in it lie beside it.

use std::cell::Cell;
use std::rc::Rc;

use futures_channel::oneshot;
use gloo::events::EventListener;
use idb::request::futures::GetAllStoreRequestFuture;
use idb::{
    CursorDirection, Database, DatabaseEvent, Factory, KeyRange, ObjectStore, ObjectStoreParams,
    Query, Transaction, TransactionMode, TransactionResult,
};
use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{DomException, IdbDatabase, IdbTransaction};

use crate::book::Line;
use crate::desk::{Part, Space, StoreError};

const STORE: &str = "lines";
const KEYS: &str = "keys";
const VERSION: u32 = 2;
/// Lines taken out at one go: all of a long book would hold the page up.
const PART: u32 = 1_000;

/// An open store of one space.
#[derive(Clone)]
pub struct Lines {
    database: IdbDatabase,
}

impl Lines {
    /// Opens the store of a space, making it when it is not there.
    ///
    /// # Errors
    /// [`StoreError::Blocked`] when the browser keeps nothing for this page,
    /// [`StoreError::HeldByOlder`] and [`StoreError::Newer`] when another version of the app is in
    /// the way.
    pub async fn open(space: Space) -> Result<Self, StoreError> {
        let factory = Factory::new().map_err(|_| StoreError::Blocked)?;
        let mut request = factory
            .open(&database_name(space), Some(VERSION))
            .map_err(failed)?;
        request.on_upgrade_needed(|event| {
            // A failure here fails the whole opening, which is reported below.
            if let Ok(database) = event.database() {
                let known = database.store_names();
                for store in [STORE, KEYS]
                    .into_iter()
                    .filter(|store| !known.contains(&(*store).to_owned()))
                {
                    drop(database.create_object_store(store, ObjectStoreParams::new()));
                }
            }
        });
        let (answer, answered) = oneshot::channel();
        let answer = Rc::new(Cell::new(Some(answer)));
        let say = |answer: &Cell<Option<oneshot::Sender<_>>>, result| {
            if let Some(answer) = answer.take() {
                // Whoever asked always waits for the first answer.
                drop(answer.send(result));
            }
        };
        let blocked = Rc::clone(&answer);
        request.on_blocked(move |_| say(&blocked, Err(StoreError::HeldByOlder)));
        // The request lives on when it is blocked: the browser goes on with it all the same.
        spawn_local(async move {
            let opened = request.await.map_err(not_opened);
            say(
                &answer,
                opened.map(|database| Self {
                    database: database.into(),
                }),
            );
        });
        answered.await.unwrap_or(Err(StoreError::Blocked))
    }

    /// Lets go of the store when a newer version of the app wants it in another tab, and says so.
    pub fn when_outdated(&self, say: impl Fn() + 'static) {
        let database = self.database.clone();
        EventListener::once(&self.database, "versionchange", move |_| {
            database.close();
            say();
        })
        .forget();
    }

    /// All stored lines in order, told part by part: while one is told, the next is on its way.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn load(&self, told: impl Fn(Part)) -> Result<Vec<String>, StoreError> {
        self.from(0, told).await
    }

    /// All sealed keys, as text.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn keys(&self) -> Result<Vec<String>, StoreError> {
        let store = self.readable(KEYS)?;
        let values = store.get_all(None, None).map_err(failed)?;
        texts(values.await.map_err(failed)?).collect()
    }

    /// Keeps a sealed key under its public half. Back only once it is on disk.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn keep_key(&self, name: &str, sealed: &str) -> Result<(), StoreError> {
        let transaction = self.strict_transaction(KEYS)?;
        let store = transaction.object_store(KEYS).map_err(failed)?;
        let (key, value) = (JsValue::from_str(name), JsValue::from_str(sealed));
        store.put(&value, Some(&key)).map_err(failed)?;
        committed(transaction).await
    }

    /// The lines from a number on, part by part within one transaction: between two parts the page
    /// gets its turn.
    async fn from(&self, first: u64, told: impl Fn(Part)) -> Result<Vec<String>, StoreError> {
        let store = self.readable(STORE)?;
        let (Some(least), Some(last)) = (
            end(&store, CursorDirection::Next).await?,
            end(&store, CursorDirection::Prev).await?,
        ) else {
            return Ok(Vec::new());
        };
        let mut starts = (least.max(first)..=last).step_by(PART as usize);
        let of = (last + 1).saturating_sub(least.max(first));
        let mut lines = Vec::new();
        let mut coming = starts.next().map(|start| part(&store, start)).transpose()?;
        while let Some(asked) = coming {
            coming = starts.next().map(|start| part(&store, start)).transpose()?;
            let values = asked.await.map_err(failed)?;
            let before = lines.len() as u64;
            let lines_of_part = texts(values).collect::<Result<Vec<_>, _>>()?;
            lines.extend_from_slice(&lines_of_part);
            told(Part {
                before,
                of,
                lines: lines_of_part,
            });
        }
        Ok(lines)
    }

    fn readable(&self, store: &str) -> Result<ObjectStore, StoreError> {
        let database = Database::from(self.database.clone());
        let transaction = database.transaction(&[store], TransactionMode::ReadOnly);
        transaction
            .map_err(failed)?
            .object_store(store)
            .map_err(failed)
    }

    /// Stores lines after exactly `expected` others, all or none. Back only once they are on disk.
    ///
    /// # Errors
    /// [`StoreError::Conflict`] when the store holds another number of lines; nothing is stored
    /// then.
    pub async fn append(&self, expected: u64, lines: &[Rc<str>]) -> Result<(), StoreError> {
        let transaction = self.strict_transaction(STORE)?;
        let store = transaction.object_store(STORE).map_err(failed)?;
        let found = next_key(&store).await?;
        if found != expected {
            transaction.abort().map_err(failed)?;
            return Err(StoreError::Conflict { expected, found });
        }
        for (seq, line) in (first_seq(lines, expected)..).zip(lines) {
            let (key, value) = (JsValue::from_f64(seq as f64), JsValue::from_str(line));
            store.add(&value, Some(&key)).map_err(failed)?;
        }
        committed(transaction).await
    }

    /// Removes the lines before `below`, all or none. Back only once they are gone from the disk.
    ///
    /// # Errors
    /// What the browser said; nothing is removed then.
    pub async fn drop_below(&self, below: u64) -> Result<(), StoreError> {
        let transaction = self.strict_transaction(STORE)?;
        let store = transaction.object_store(STORE).map_err(failed)?;
        let range = KeyRange::upper_bound(&JsValue::from_f64(below as f64), Some(true));
        let range = Query::KeyRange(range.map_err(failed)?);
        store.delete(range).map_err(failed)?.await.map_err(failed)?;
        committed(transaction).await
    }

    /// The lines after the first `from`.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn load_from(&self, from: u64) -> Result<Vec<String>, StoreError> {
        self.from(from, drop).await
    }

    /// Puts these lines in the place of all others, all or nothing.
    ///
    /// # Errors
    /// What the browser said; nothing has changed then.
    pub async fn rewrite(&self, lines: &[Rc<str>]) -> Result<(), StoreError> {
        let transaction = self.strict_transaction(STORE)?;
        let store = transaction.object_store(STORE).map_err(failed)?;
        store.clear().map_err(failed)?;
        for (seq, line) in (first_seq(lines, 0)..).zip(lines) {
            let (key, value) = (JsValue::from_f64(seq as f64), JsValue::from_str(line));
            store.add(&value, Some(&key)).map_err(failed)?;
        }
        committed(transaction).await
    }

    /// Forgets every line. Another tab that has the store open does not hold this up.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn clear(&self) -> Result<(), StoreError> {
        let transaction = self.strict_transaction(STORE)?;
        let store = transaction.object_store(STORE).map_err(failed)?;
        store.clear().map_err(failed)?;
        committed(transaction).await
    }

    /// A transaction that completes only when the data is on disk. The library has no way to ask
    /// for it, so the browser is asked directly.
    fn strict_transaction(&self, store: &str) -> Result<Transaction, StoreError> {
        let options = Object::new();
        let ask = || -> Result<JsValue, JsValue> {
            Reflect::set(&options, &"durability".into(), &"strict".into())?;
            let function: Function =
                Reflect::get(&self.database, &"transaction".into())?.dyn_into()?;
            function.call3(
                &self.database,
                &Array::of1(&store.into()),
                &"readwrite".into(),
                &options,
            )
        };
        let transaction: IdbTransaction = ask().map_err(|why| from_js(&why))?.unchecked_into();
        Ok(transaction.into())
    }
}

/// Asks for one part of the lines. Its answer may come before anyone waits for it.
fn part(store: &ObjectStore, start: u64) -> Result<GetAllStoreRequestFuture, StoreError> {
    let [from, to] = [start, start + u64::from(PART)].map(|seq| JsValue::from_f64(seq as f64));
    let range = KeyRange::bound(&from, &to, None, Some(true)).map_err(failed)?;
    let asked = store.get_all(Some(Query::KeyRange(range)), None);
    Ok(asked.map_err(failed)?.into_future())
}

fn texts(values: Vec<JsValue>) -> impl Iterator<Item = Result<String, StoreError>> {
    let not_text = || StoreError::Failed("a stored line is not text".to_owned());
    values
        .into_iter()
        .map(move |value| value.as_string().ok_or_else(not_text))
}

/// The number of the line at one end of the store.
async fn end(store: &ObjectStore, towards: CursorDirection) -> Result<Option<u64>, StoreError> {
    let any = KeyRange::lower_bound(&JsValue::from_f64(0.0), None).map_err(failed)?;
    let found = store.open_key_cursor(Some(Query::KeyRange(any)), Some(towards));
    let Some(found) = found.map_err(failed)?.await.map_err(failed)? else {
        return Ok(None);
    };
    let not_a_number = || StoreError::Failed("a stored line has no number".to_owned());
    let key = found.key().map_err(failed)?.as_f64();
    Ok(Some(key.ok_or_else(not_a_number)? as u64))
}

/// The number that the next line must have: one more than the last. Counting the lines would take
/// longer with every line.
async fn next_key(store: &ObjectStore) -> Result<u64, StoreError> {
    let last = end(store, CursorDirection::Prev).await?;
    Ok(last.map_or(0, |last| last + 1))
}

/// A book that is brought in may begin with a checkpoint; its lines keep their numbers.
fn first_seq(lines: &[Rc<str>], expected: u64) -> u64 {
    let first = lines.first().filter(|_| expected == 0);
    let read = first.and_then(|text| Line::read(text).ok());
    read.map_or(expected, |line| line.header.seq)
}

/// Waits until a transaction is on disk. Why one was given up (a full disk, say) only the browser's
/// own handle tells.
async fn committed(transaction: Transaction) -> Result<(), StoreError> {
    let handle = IdbTransaction::from(transaction);
    match Transaction::from(handle.clone()).await.map_err(failed)? {
        TransactionResult::Committed => Ok(()),
        TransactionResult::Aborted => Err(match handle.error() {
            Some(why) => from_js(&why),
            None => StoreError::Failed("the browser gave the write up".to_owned()),
        }),
    }
}

fn database_name(space: Space) -> String {
    format!("cullbook-{}", space.name())
}

fn not_opened(error: idb::Error) -> StoreError {
    match error.to_string().contains("VersionError") {
        true => StoreError::Newer,
        false => StoreError::Blocked,
    }
}

fn failed(error: idb::Error) -> StoreError {
    let text = error.to_string();
    if text.contains("QuotaExceeded") {
        StoreError::Quota
    } else {
        StoreError::Failed(text)
    }
}

fn from_js(value: &JsValue) -> StoreError {
    match value.dyn_ref::<DomException>() {
        Some(error) if error.name() == "QuotaExceededError" => StoreError::Quota,
        Some(error) => StoreError::Failed(format!("{}: {}", error.name(), error.message())),
        None => StoreError::Failed(format!("{value:?}")),
    }
}
