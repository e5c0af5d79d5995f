//! What every component needs: the desk to read, and one way to act on it.

use std::cell::{Ref, RefCell};
use std::rc::Rc;

use yew::prelude::*;

use crate::book::{Entry, Refusal, State};
use crate::desk::{Action, Desk, Env, Machine, Screen};
use crate::people::Stamp;

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
