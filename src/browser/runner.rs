//! Carries out the desk's effects, one after the other, and reports back by actions.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use gloo::events::EventListener;
use gloo::utils::document;
use uuid::Uuid;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{Event, HtmlElement, StorageEvent, SvgElement};

use crate::book::Home;
use crate::desk::homes::{Reach, Second, both};
use crate::desk::{
    Action, Effect, Held, HowFar, KeyringError, Lamp, Later, Machine, Making, Space, StoreError,
    Stored,
};
use crate::export::{Cover, DayTables};
use crate::people::{Passphrase, PersonId, SealedKey, SecretKey, Stamp};

use super::keyring::Keyring;
use super::lines::Lines;
use super::lock::TabLock;
use super::service::Service;
use super::{clock, keyring, pocket, room, save, workbook};

/// Runs effects in the order they come. Cheap to clone.
#[derive(Clone, Default)]
pub struct Runner {
    inner: Rc<Inner>,
    keyring: Keyring,
}

/// Where answers go.
type Report = Rc<dyn Fn(Action)>;

#[derive(Default)]
struct Inner {
    report: RefCell<Option<Report>>,
    waiting: RefCell<VecDeque<Effect>>,
    running: Cell<bool>,
    store: RefCell<Option<(Space, Lines)>>,
    service: RefCell<Option<Service>>,
    lock: TabLock,
}

impl Machine for Runner {
    fn now(&self) -> Stamp {
        clock::now()
    }

    fn new_id(&self) -> Uuid {
        clock::new_id()
    }

    fn dice(&self) -> Result<u128, KeyringError> {
        let mut bytes = [0; 16];
        keyring::fill_randomly(&mut bytes)?;
        Ok(u128::from_le_bytes(bytes))
    }

    fn space(&self) -> Space {
        pocket::stored_space()
    }

    fn lamp(&self) -> Lamp {
        pocket::stored_lamp()
    }

    fn make_key(&self, person: PersonId, passphrase: Passphrase) -> Later<(SealedKey, SecretKey)> {
        let keyring = self.keyring.clone();
        Box::pin(async move { keyring.make(person, passphrase).await })
    }

    fn open_key(&self, sealed: SealedKey, passphrase: Passphrase) -> Later<SecretKey> {
        let keyring = self.keyring.clone();
        Box::pin(async move { keyring.open(sealed, passphrase).await })
    }

    fn keep_key(&self, space: Space, sealed: SealedKey) -> Later<()> {
        let inner = Rc::clone(&self.inner);
        Box::pin(async move {
            let text = serde_json::to_string(&sealed);
            let text = text.map_err(|why| KeyringError::Failed(why.to_string()))?;
            let store = inner.store(space).await?;
            store.keep_key(&sealed.key.to_string(), &text).await?;
            pocket::keep_key(space, &sealed, &text);
            Ok(())
        })
    }

    fn make_workbook(
        &self,
        cover: Cover,
        tables: DayTables,
        told: Box<dyn Fn(HowFar)>,
    ) -> Box<dyn Making> {
        workbook::make(cover, tables, told)
    }

    fn answer_to(&self, report: Box<dyn Fn(Action)>) {
        self.inner.report.replace(Some(Rc::from(report)));
        listen_to_other_tabs(&self.inner);
    }

    fn run(&self, effects: Vec<Effect>) {
        self.inner.waiting.borrow_mut().extend(effects);
        if self.inner.running.replace(true) {
            return;
        }
        let inner = Rc::clone(&self.inner);
        spawn_local(async move {
            while let Some(effect) = inner.next() {
                inner.carry_out(effect).await;
            }
            inner.running.set(false);
        });
    }
}

impl Inner {
    fn next(&self) -> Option<Effect> {
        self.waiting.borrow_mut().pop_front()
    }

    fn report(&self, action: Action) {
        // Cloned out, so that the answer may lead to further effects.
        let report = self.report.borrow().clone();
        if let Some(report) = report {
            report(action);
        }
    }

    async fn carry_out(self: &Rc<Self>, effect: Effect) {
        match effect {
            Effect::Load(space) => self.load(space).await,
            Effect::Append {
                space,
                expected_seq,
                lines,
            } => {
                let result = self.append(space, expected_seq, &lines).await;
                self.report(Action::Stored(result));
            }
            Effect::DropLines { space, below } => {
                let dropped = match self.store(space).await {
                    Ok(store) => store.drop_below(below).await,
                    Err(why) => Err(why),
                };
                match dropped {
                    Ok(()) => pocket::drop_below(space, below),
                    Err(why) => self.report(Action::Problem(format!("Nothing was removed. {why}"))),
                }
            }
            Effect::KeepSecond { space, keeps } => {
                if let Err(left) = pocket::keep_all(space, keeps).await {
                    self.report(Action::SecondFull(left));
                }
            }
            Effect::Rewrite { space, lines } => {
                let result = self.rewrite(space, &lines).await;
                self.report(Action::Stored(result));
            }
            Effect::Follow { space, from } => self.follow(space, from).await,
            // The browser may ask the person first; nothing else waits for it.
            Effect::Measure => {
                let inner = Rc::clone(self);
                spawn_local(async move {
                    inner.report(Action::Measured(room::measure().await));
                });
            }
            Effect::ReadSoon => self.soon(Action::ReadOn).await,
            Effect::CheckSoon => self.soon(Action::CheckSignatures).await,
            Effect::ClearPractice => self.clear_practice().await,
            Effect::Save(file) => self.or_problem(save::save(&file)),
            Effect::Print => self.or_problem(save::print()),
            Effect::KeepDraft { space, draft } => pocket::keep_draft(space, draft.as_deref()),
            Effect::KeepSession { space, draft } => pocket::keep_session(space, draft.as_deref()),
            Effect::SetLamp(lamp) => set_lamp(lamp),
            Effect::FocusSheet => focus_sheet(),
            // Fetching the whole app may take a while; nothing else waits for it.
            Effect::HoldApp => spawn_local(Rc::clone(self).hold_app()),
            Effect::UseUpdate => {
                if let Some(service) = &*self.service.borrow() {
                    service.use_update();
                }
            }
        }
    }

    async fn hold_app(self: Rc<Self>) {
        let inner = Rc::clone(&self);
        match Service::start(Rc::new(move |action| inner.report(action))).await {
            Ok(service) => drop(self.service.replace(Some(service))),
            Err(why) => self.report(Action::AppHeld(Held::No(why))),
        }
    }

    fn or_problem(&self, result: Result<(), String>) {
        if let Err(why) = result {
            self.report(Action::Problem(why));
        }
    }

    async fn store(self: &Rc<Self>, space: Space) -> Result<Lines, StoreError> {
        if let Some((of, lines)) = &*self.store.borrow()
            && *of == space
        {
            return Ok(lines.clone());
        }
        let lines = Lines::open(space).await?;
        let inner = Rc::downgrade(self);
        lines.when_outdated(move || {
            if let Some(inner) = inner.upgrade() {
                inner.lock.give_up();
                inner.report(Action::Outdated);
            }
        });
        self.store.replace(Some((space, lines.clone())));
        Ok(lines)
    }

    async fn load(self: &Rc<Self>, space: Space) {
        let inner = Rc::downgrade(self);
        let freed = move || {
            if let Some(inner) = inner.upgrade() {
                inner.report(Action::LockFreed(space));
            }
        };
        let mut tab = self.lock.ask(space, Rc::new(freed)).await;
        let stored = loop {
            // The second home first: whatever it knows of is in the first by then, also while
            // another tab writes.
            let second = pocket::second(space);
            let (lines, in_first) = self.first(space).await;
            let keys = self.keys(space, in_first, second.as_ref()).await;
            let stored = Stored {
                lines,
                second,
                keys,
                tab,
            };
            // A lock that came while this was read brings the right to write, and whatever the
            // other tab wrote last: read again.
            match self.lock.now(space) {
                Some(now) if now != tab => tab = now,
                _ => break stored,
            }
        };
        pocket::keep_space(space);
        self.report(Action::Loaded { space, stored });
    }

    /// Lines and keys of the first home. Keys that cannot be read come without them.
    async fn first(
        self: &Rc<Self>,
        space: Space,
    ) -> (Result<Vec<String>, StoreError>, Vec<SealedKey>) {
        let store = match self.store(space).await {
            Ok(store) => store,
            Err(why) => return (Err(why), Vec::new()),
        };
        let keys = match store.keys().await {
            Ok(texts) => texts.iter().filter_map(|text| self.key(text)).collect(),
            Err(why) => {
                self.report(Action::Problem(why.to_string()));
                Vec::new()
            }
        };
        let arrived = |part| self.report(Action::Arrived(part));
        (store.load(arrived).await, keys)
    }

    fn key(&self, text: &str) -> Option<SealedKey> {
        match serde_json::from_str(text) {
            Ok(sealed) => Some(sealed),
            Err(why) => {
                let text = format!(
                    "A stored key cannot be read ({why}). Whoever cannot sign in needs the saved keys or a new key."
                );
                self.report(Action::Problem(text));
                None
            }
        }
    }

    /// The keys of both homes; each gets what it lacks.
    async fn keys(
        self: &Rc<Self>,
        space: Space,
        in_first: Vec<SealedKey>,
        second: Option<&Second>,
    ) -> Vec<SealedKey> {
        let in_second = second.map_or(&[][..], |second| &second.keys);
        let (all, lacking) = both(&in_first, in_second);
        for (home, key) in lacking {
            // A key that is not kept once more is still where it was found.
            let Ok(text) = serde_json::to_string(&key) else {
                continue;
            };
            match (home, self.store(space).await) {
                (Home::First, Ok(store)) => {
                    let kept = store.keep_key(&key.key.to_string(), &text).await;
                    self.or_problem(kept.map_err(|why| why.to_string()));
                }
                (Home::First, Err(_)) => {}
                (Home::Second, _) => pocket::keep_key(space, &key, &text),
            }
        }
        all
    }

    async fn rewrite(self: &Rc<Self>, space: Space, lines: &[Rc<str>]) -> Result<(), StoreError> {
        self.store(space).await?.rewrite(lines).await
    }

    async fn follow(self: &Rc<Self>, space: Space, from: u64) {
        let lines = match self.store(space).await {
            Ok(store) => store.load_from(from).await,
            Err(why) => Err(why),
        };
        match lines {
            Ok(lines) => self.report(Action::Followed { from, lines }),
            Err(why) => self.report(Action::Problem(why.to_string())),
        }
    }

    /// Lets the page draw and answer first, then reports without holding up other effects.
    async fn soon(&self, action: Action) {
        gloo::timers::future::TimeoutFuture::new(0).await;
        self.report(action);
    }

    async fn append(
        self: &Rc<Self>,
        space: Space,
        expected: u64,
        lines: &[Rc<str>],
    ) -> Result<(), StoreError> {
        self.store(space).await?.append(expected, lines).await
    }

    async fn clear_practice(self: &Rc<Self>) {
        pocket::clear(Space::Practice);
        let cleared = match self.store(Space::Practice).await {
            Ok(store) => store.clear().await,
            Err(why) => Err(why),
        };
        if let Err(why) = cleared {
            self.report(Action::Problem(why.to_string()));
        }
    }
}

/// Another tab that records writes how far its book reaches, and the browser tells this one.
fn listen_to_other_tabs(inner: &Rc<Inner>) {
    let inner = Rc::downgrade(inner);
    let on_storage = move |event: &Event| {
        let Some((inner, event)) = inner.upgrade().zip(event.dyn_ref::<StorageEvent>()) else {
            return;
        };
        let name = event.key();
        let mut spaces = [Space::Real, Space::Practice].into_iter();
        if let Some(space) = spaces.find(|space| name == Some(pocket::reach_name(*space))) {
            let reach: Option<Reach> = event.new_value().and_then(|text| text.parse().ok());
            let lines = reach.map_or(0, |reach| reach.lines);
            inner.report(Action::OtherTabWrote { space, lines });
        }
    };
    EventListener::new(&gloo::utils::window(), "storage", on_storage).forget();
}

fn set_lamp(lamp: Lamp) {
    pocket::keep_lamp(lamp);
    if let Some(root) = document().document_element() {
        // The attribute's name is fixed and valid, so this cannot fail.
        root.set_attribute("data-lamp", lamp.name())
            .unwrap_or_default();
    }
}

/// Brings the keyboard to the sheet once it is drawn.
fn focus_sheet() {
    gloo::timers::callback::Timeout::new(0, || {
        let Ok(Some(sheet)) = document().query_selector("[data-sheet-grid]") else {
            return;
        };
        if let Some(drawn) = sheet.dyn_ref::<SvgElement>() {
            drawn.focus().unwrap_or_default();
        } else if let Some(element) = sheet.dyn_ref::<HtmlElement>() {
            element.focus().unwrap_or_default();
        }
    })
    .forget();
}
