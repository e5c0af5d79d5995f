//! Work on keys, done in a worker so that the page stays quick, and randomness for new ones.
//!
//! The worker runs this very program: `sealer.js` loads it again, and [`serve`] answers there
//! instead of drawing a page.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use futures_channel::oneshot;
use gloo::utils::document;
use js_sys::{Array, Function, Object, Reflect};
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, HtmlLinkElement, MessageEvent, Worker};

use crate::desk::KeyringError;
use crate::people::{KeyError, Passphrase, PersonId, SealedKey, SealingDice, SecretKey};

use super::trusted::Script;
use super::workbook;

/// What the worker is asked.
#[derive(Serialize, Deserialize)]
enum Ask {
    Make {
        person: PersonId,
        passphrase: String,
        seed: [u8; 32],
        salt: [u8; 16],
    },
    Open {
        sealed: SealedKey,
        passphrase: String,
    },
}

/// What it answers: the seed of the key, and how it is sealed.
#[derive(Serialize, Deserialize)]
struct Answer {
    seed: [u8; 32],
    sealed: SealedKey,
}

#[derive(Serialize, Deserialize)]
struct Numbered<T> {
    number: u32,
    what: T,
}

type Waiting = BTreeMap<u32, oneshot::Sender<Result<Answer, KeyError>>>;

/// The worker, started when it is first needed.
#[derive(Clone, Default)]
pub struct Keyring {
    inner: Rc<RefCell<Inner>>,
}

#[derive(Default)]
struct Inner {
    worker: Option<Worker>,
    next: u32,
    waiting: Waiting,
}

impl Keyring {
    /// Makes a key and seals it.
    ///
    /// # Errors
    /// [`KeyringError::Key`] for a passphrase that will not do; [`KeyringError::Failed`] when the
    /// browser lets no worker run.
    pub async fn make(
        &self,
        person: PersonId,
        passphrase: Passphrase,
    ) -> Result<(SealedKey, SecretKey), KeyringError> {
        let (mut seed, mut salt) = ([0; 32], [0; 16]);
        for bytes in [&mut seed[..], &mut salt[..]] {
            fill_randomly(bytes)?;
        }
        let passphrase = passphrase.to_string();
        let ask = Ask::Make {
            person,
            passphrase,
            seed,
            salt,
        };
        let Answer { seed, sealed } = self.ask(ask).await?;
        Ok((sealed, SecretKey::from_seed(&seed)))
    }

    /// Opens a sealed key.
    ///
    /// # Errors
    /// [`KeyringError::Key`] for a wrong passphrase or a damaged key.
    pub async fn open(
        &self,
        sealed: SealedKey,
        passphrase: Passphrase,
    ) -> Result<SecretKey, KeyringError> {
        let passphrase = passphrase.to_string();
        let Answer { seed, .. } = self.ask(Ask::Open { sealed, passphrase }).await?;
        Ok(SecretKey::from_seed(&seed))
    }

    async fn ask(&self, what: Ask) -> Result<Answer, KeyringError> {
        let (answer, answered) = oneshot::channel();
        self.send(what, answer)
            .map_err(|why| KeyringError::Failed(format!("{why:?}")))?;
        match answered.await {
            Ok(result) => Ok(result?),
            Err(_) => Err(KeyringError::Failed("its worker stopped".to_owned())),
        }
    }

    fn send(
        &self,
        what: Ask,
        answer: oneshot::Sender<Result<Answer, KeyError>>,
    ) -> Result<(), JsValue> {
        let mut inner = self.inner.borrow_mut();
        let worker = match &inner.worker {
            Some(worker) => worker.clone(),
            None => self.start()?,
        };
        inner.worker = Some(worker.clone());
        inner.next += 1;
        let number = inner.next;
        inner.waiting.insert(number, answer);
        worker.post_message(&as_text(&Numbered { number, what })?)
    }

    /// Starts the worker and listens to it.
    fn start(&self) -> Result<Worker, JsValue> {
        let worker = program_worker()?;
        let inner = Rc::downgrade(&self.inner);
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let answer: Option<Numbered<Result<Answer, String>>> = from_text(&event.data());
            if let (Some(inner), Some(answer)) = (inner.upgrade(), answer) {
                let waiting = inner.borrow_mut().waiting.remove(&answer.number);
                if let Some(waiting) = waiting {
                    // Nobody waits any more when the dialog was closed.
                    drop(waiting.send(answer.what.map_err(|why| key_error(&why))));
                }
            }
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        let inner = Rc::downgrade(&self.inner);
        let on_error = Closure::<dyn Fn(web_sys::Event)>::new(move |_| {
            if let Some(inner) = inner.upgrade() {
                let mut inner = inner.borrow_mut();
                inner.worker = None;
                inner.waiting.clear();
            }
        });
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        // They live as long as the page.
        on_message.forget();
        on_error.forget();
        Ok(worker)
    }
}

/// A worker that runs this program and has been told where its files are.
pub(super) fn program_worker() -> Result<Worker, JsValue> {
    let worker = new_worker()?;
    let files = Object::new();
    Reflect::set(&files, &"script".into(), &linked("modulepreload")?.into())?;
    Reflect::set(&files, &"program".into(), &linked("preload")?.into())?;
    worker.post_message(&files)?;
    Ok(worker)
}

/// Fills bytes from the browser's source of randomness for secrets.
pub fn fill_randomly(bytes: &mut [u8]) -> Result<(), KeyringError> {
    let no_luck = |why: JsValue| KeyringError::Failed(format!("{why:?}"));
    let window = web_sys::window().ok_or(KeyringError::Failed("there is no window".to_owned()))?;
    let crypto = window.crypto().map_err(no_luck)?;
    crypto
        .get_random_values_with_u8_array(bytes)
        .map_err(no_luck)?;
    Ok(())
}

/// `KeyError` crosses over as its sentence; only the wrong passphrase is told apart here, the
/// others having been ruled out before.
fn key_error(why: &str) -> KeyError {
    let known = [
        KeyError::TooShort,
        KeyError::TooLong,
        KeyError::WrongPassphrase,
    ];
    let mut known = known.into_iter();
    known
        .find(|error| error.to_string() == why)
        .unwrap_or(KeyError::Damaged)
}

/// The address of one of this program's files, from the page's own list of what to load first.
fn linked(rel: &str) -> Result<String, JsValue> {
    let link = document().query_selector(&format!("link[rel={rel}]"))?;
    let link = link.and_then(|link| link.dyn_into::<HtmlLinkElement>().ok());
    link.map(|link| link.href())
        .ok_or_else(|| JsValue::from_str("the page does not name its program"))
}

/// A module worker; by name, because web-sys takes no trusted address.
fn new_worker() -> Result<Worker, JsValue> {
    let options = Object::new();
    Reflect::set(&options, &"type".into(), &"module".into())?;
    let make: Function = Reflect::get(&js_sys::global(), &"Worker".into())?.dyn_into()?;
    let arguments = Array::of2(&Script::Sealer.trusted()?, &options);
    Reflect::construct(&make, &arguments)?.dyn_into()
}

pub(super) fn as_text<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    let text = serde_json::to_string(value).map_err(|why| JsValue::from_str(&why.to_string()))?;
    Ok(JsValue::from_str(&text))
}

pub(super) fn from_text<T: for<'a> Deserialize<'a>>(value: &JsValue) -> Option<T> {
    serde_json::from_str(&value.as_string()?).ok()
}

/// In a worker: answers what it is asked from now on. Says whether this is one.
pub fn serve() -> bool {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else {
        return false;
    };
    let answering = scope.clone();
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let data = event.data();
        let Some(Numbered { number, what }) = from_text::<Numbered<Ask>>(&data) else {
            // The other worker of the page makes workbooks.
            if let Some(ask) = from_text(&data) {
                workbook::serve(&answering, ask);
            }
            return;
        };
        let what = work(what).map_err(|why| why.to_string());
        if let Ok(answer) = as_text(&Numbered { number, what }) {
            // A page that is gone waits for nothing.
            answering.post_message(&answer).unwrap_or_default();
        }
    });
    scope.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    on_message.forget();
    true
}

fn work(ask: Ask) -> Result<Answer, KeyError> {
    match ask {
        Ask::Make {
            person,
            passphrase,
            seed,
            salt,
        } => {
            let dice = SealingDice { seed, salt };
            let (sealed, _) = SealedKey::make(person, &passphrase, &dice)?;
            Ok(Answer { seed, sealed })
        }
        Ask::Open { sealed, passphrase } => {
            let seed = *sealed.open(&passphrase)?.seed();
            Ok(Answer { seed, sealed })
        }
    }
}
