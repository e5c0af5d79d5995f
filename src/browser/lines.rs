//! The first home of the book: an IndexedDB database, one record a line, written in strict
//! transactions, so that "recorded" stays true when the plug is pulled. The sealed keys of the
//! people who sign in it lie beside it.

use std::cell::Cell;
use std::rc::Rc;

use futures_channel::oneshot;
use gloo::events::EventListener;
use idb::{
    CursorDirection, Database, DatabaseEvent, Factory, KeyRange, ObjectStore, ObjectStoreParams,
    Query, Transaction, TransactionMode, TransactionResult,
};
use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{DomException, IdbDatabase, IdbTransaction};

use crate::book::Line;
use crate::desk::{Space, StoreError};

const STORE: &str = "lines";
const KEYS: &str = "keys";
const VERSION: u32 = 2;
/// Lines taken out at one go: all of a long book would hold the page up.
const PART: u32 = 2_000;

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

    /// All stored lines in order.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn load(&self) -> Result<Vec<String>, StoreError> {
        self.all(STORE).await
    }

    /// All sealed keys, as text.
    ///
    /// # Errors
    /// What the browser said.
    pub async fn keys(&self) -> Result<Vec<String>, StoreError> {
        self.all(KEYS).await
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

    async fn all(&self, store: &str) -> Result<Vec<String>, StoreError> {
        self.some(store, None).await
    }

    /// Everything behind a key, part by part within one transaction: between two parts the page
    /// gets its turn.
    async fn some(&self, store: &str, after: Option<JsValue>) -> Result<Vec<String>, StoreError> {
        let database = Database::from(self.database.clone());
        let transaction = database
            .transaction(&[store], TransactionMode::ReadOnly)
            .map_err(failed)?;
        let store = transaction.object_store(store).map_err(failed)?;
        let not_text = || StoreError::Failed("a stored line is not text".to_owned());
        let (mut texts, mut after) = (Vec::new(), after);
        loop {
            let values = store.get_all(behind(after.as_ref())?, Some(PART));
            for value in values.map_err(failed)?.await.map_err(failed)? {
                texts.push(value.as_string().ok_or_else(not_text)?);
            }
            let keys = store.get_all_keys(behind(after.as_ref())?, Some(PART));
            match keys.map_err(failed)?.await.map_err(failed)?.pop() {
                Some(last) => after = Some(last),
                None => return Ok(texts),
            }
        }
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
        let before = from.checked_sub(1).map(|seq| JsValue::from_f64(seq as f64));
        self.some(STORE, before).await
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

fn behind(key: Option<&JsValue>) -> Result<Option<Query>, StoreError> {
    let range = key.map(|key| KeyRange::lower_bound(key, Some(true)));
    Ok(range.transpose().map_err(failed)?.map(Query::KeyRange))
}

/// The number that the next line must have: one more than the last. Counting the lines would take
/// longer with every line.
async fn next_key(store: &ObjectStore) -> Result<u64, StoreError> {
    let any = KeyRange::lower_bound(&JsValue::from_f64(0.0), None).map_err(failed)?;
    let backwards = Some(CursorDirection::Prev);
    let last = store.open_key_cursor(Some(Query::KeyRange(any)), backwards);
    match last.map_err(failed)?.await.map_err(failed)? {
        None => Ok(0),
        Some(last) => {
            let not_a_number = || StoreError::Failed("a stored line has no number".to_owned());
            let key = last.key().map_err(failed)?.as_f64();
            Ok(key.ok_or_else(not_a_number)? as u64 + 1)
        }
    }
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
