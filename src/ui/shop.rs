//! What every component needs: the desk to read, and one way to act on it.

use std::cell::{Ref, RefCell};
use std::rc::Rc;

use yew::prelude::*;

use crate::book::{Entry, Refusal, State};
use crate::desk::practice::practice_key;
use crate::desk::{Action, Desk, Env, HowFar, KeyringError, Machine, Making, Screen, Space};
use crate::export::{Cover, DayTables};
use crate::people::{KeyError, Passphrase, PersonId, SealedKey, SecretKey, Stamp};

pub(super) type Act = dyn Fn(Action) -> Result<(), Refusal>;

/// The desk as components see it. A new version comes with every change.
#[derive(Clone)]
pub struct Shop {
    desk: Rc<RefCell<Desk>>,
    machine: Rc<dyn Machine>,
    act: Rc<Act>,
    version: u64,
}

impl PartialEq for Shop {
    fn eq(&self, other: &Self) -> bool {
        self.version == other.version && Rc::ptr_eq(&self.desk, &other.desk)
    }
}

impl Shop {
    pub(super) fn new(
        desk: Rc<RefCell<Desk>>,
        machine: Rc<dyn Machine>,
        act: Rc<Act>,
        version: u64,
    ) -> Self {
        Self {
            desk,
            machine,
            act,
            version,
        }
    }

    /// The desk, for reading while rendering. Do not hold it across an action.
    pub fn desk(&self) -> Ref<'_, Desk> {
        self.desk.borrow()
    }

    /// The folded state, for reading while rendering. Do not hold it across an action.
    pub fn state(&self) -> Ref<'_, State> {
        Ref::map(self.desk.borrow(), Desk::state)
    }

    /// The moment now.
    pub fn now(&self) -> Stamp {
        self.machine.now()
    }

    /// Random bits fit for secrets.
    ///
    /// # Errors
    /// When the browser gives none.
    pub fn dice(&self) -> Result<u128, KeyringError> {
        self.machine.dice()
    }

    /// Time and ids for whoever makes lines outside the desk.
    pub fn with_env<T>(&self, make: impl FnOnce(&mut Env) -> T) -> T {
        let mut new_id = || self.machine.new_id();
        make(&mut Env {
            now: self.machine.now(),
            new_id: &mut new_id,
        })
    }

    /// Acts, and gives a refusal back to whoever can show it in its place.
    ///
    /// # Errors
    /// Why the desk refuses; nothing has changed then.
    pub fn try_act(&self, action: Action) -> Result<(), Refusal> {
        (self.act)(action)
    }

    /// Acts; a refusal is shown as a message on the page.
    pub fn act(&self, action: Action) {
        if let Err(why) = self.try_act(action) {
            // Showing a problem is never refused.
            (self.act)(Action::Problem(why.to_string())).unwrap_or_default();
        }
    }

    /// Records entries, all or none.
    ///
    /// # Errors
    /// Why the book refuses them; nothing is recorded then.
    pub fn record(&self, entries: Vec<Entry>) -> Result<(), Refusal> {
        self.try_act(Action::Record(entries))
    }

    /// The key of a person, opened with their passphrase. Everybody knows those of a practice
    /// book.
    ///
    /// # Errors
    /// Why it stays closed.
    pub async fn unlock(
        &self,
        person: PersonId,
        passphrase: Passphrase,
    ) -> Result<SecretKey, KeyringError> {
        if self.desk().space == Space::Practice {
            return Ok(practice_key(person));
        }
        if let Some(until) = self.desk().locked_until(person, &self.now()) {
            return Err(KeyringError::Locked { person, until });
        }
        let known = self.state().people.get(&person).map(|known| known.key);
        let sealed = known.and_then(|key| self.desk().keys.get(&key).cloned());
        let sealed = sealed.ok_or(KeyringError::NotHere)?;
        let opened = self.machine.open_key(sealed, passphrase).await;
        if opened.as_ref().err() == Some(&KeyringError::Key(KeyError::WrongPassphrase)) {
            self.act(Action::WrongPassphrase(person));
            if let Some(until) = self.desk().locked_until(person, &self.now()) {
                return Err(KeyringError::Locked { person, until });
            }
        }
        opened
    }

    /// Makes a key for a person and keeps it, sealed, on this machine. Without a passphrase it is
    /// the one that everybody knows, for a practice book.
    ///
    /// # Errors
    /// Why there is no new key.
    pub async fn new_key(
        &self,
        person: PersonId,
        passphrase: Option<Passphrase>,
    ) -> Result<SecretKey, KeyringError> {
        let Some(passphrase) = passphrase else {
            return Ok(practice_key(person));
        };
        let (sealed, key) = self.machine.make_key(person, passphrase).await?;
        self.keep_key(sealed).await?;
        Ok(key)
    }

    /// Keeps a sealed key on this machine.
    ///
    /// # Errors
    /// What the store said.
    pub async fn keep_key(&self, sealed: SealedKey) -> Result<(), KeyringError> {
        self.machine.keep_key(Space::Real, sealed.clone()).await?;
        self.act(Action::KeyKept(Box::new(sealed)));
        Ok(())
    }

    /// Makes a workbook away from the page; see [`Machine::make_workbook`].
    pub fn make_workbook(
        &self,
        cover: Cover,
        tables: DayTables,
        told: Box<dyn Fn(HowFar)>,
    ) -> Box<dyn Making> {
        self.machine.make_workbook(cover, tables, told)
    }

    pub fn go(&self, screen: Screen) {
        self.act(Action::Go(screen));
    }

    /// A callback that acts, for buttons.
    pub fn on<T>(&self, action: impl Fn(T) -> Action + 'static) -> Callback<T> {
        let shop = self.clone();
        Callback::from(move |event| shop.act(action(event)))
    }
}

/// The shop of the component's context.
#[hook]
pub fn use_shop() -> Shop {
    use_context::<Shop>().expect("every component is drawn inside the app, which provides it")
}
