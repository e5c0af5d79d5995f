//! Carries out the desk's effects, one after the other, and reports back by actions.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use gloo::utils::document;
use uuid::Uuid;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::{HtmlElement, SvgElement};

use crate::book::Line;
use crate::desk::{
    Action, Effect, Held, HowFar, KeyringError, Lamp, Later, Machine, Making, Space, StoreError,
    Stored,
};
use crate::export::{Cover, DayTables};
use crate::people::{Passphrase, PersonId, SealedKey, SecretKey, Stamp};

use super::keyring::Keyring;
use super::lines::Lines;
use super::service::Service;
use super::{clock, keyring, pocket, save, workbook};

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
            Ok(store.keep_key(&sealed.key.to_string(), &text).await?)
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
            Effect::CheckSoon => self.check_soon().await,
            Effect::ClearPractice => self.clear_practice().await,
            Effect::Save(file) => self.or_problem(save::save(&file)),
            Effect::Print => self.or_problem(save::print()),
            Effect::KeepDraft { space, draft } => pocket::keep_draft(space, draft.as_deref()),
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

    async fn store(&self, space: Space) -> Result<Lines, StoreError> {
        if let Some((of, lines)) = &*self.store.borrow()
            && *of == space
        {
            return Ok(lines.clone());
        }
        let lines = Lines::open(space).await?;
        self.store.replace(Some((space, lines.clone())));
        Ok(lines)
    }

    async fn load(&self, space: Space) {
        let stored = self.stored(space).await;
        pocket::keep_space(space);
        self.report(Action::Loaded { space, stored });
    }

    async fn stored(&self, space: Space) -> Result<Stored, StoreError> {
        let store = self.store(space).await?;
        let lines = store.load().await?;
        let mut keys = Vec::new();
        for text in store.keys().await? {
            match serde_json::from_str(&text) {
                Ok(sealed) => keys.push(sealed),
                Err(why) => {
                    let text = format!(
                        "A stored key cannot be read ({why}). Whoever cannot sign in needs the saved keys or a new key."
                    );
                    self.report(Action::Problem(text));
                }
            }
        }
        let draft = pocket::draft(space);
        Ok(Stored { lines, keys, draft })
    }

    /// Lets the page draw and answer first, then reports without holding up other effects.
    async fn check_soon(&self) {
        gloo::timers::future::TimeoutFuture::new(0).await;
        self.report(Action::CheckSignatures);
    }

    async fn append(
        &self,
        space: Space,
        expected: u64,
        lines: &[Rc<str>],
    ) -> Result<(), StoreError> {
        self.store(space).await?.append(expected, lines).await?;
        if !copy_to_pocket(space, expected, lines) {
            let text = "Recorded. The second copy in local storage has no room left: save a copy of the book (Day) soon.";
            self.report(Action::Problem(text.to_owned()));
        }
        Ok(())
    }

    async fn clear_practice(&self) {
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

/// The second home: the destruction log and the head.
fn copy_to_pocket(space: Space, first: u64, lines: &[Rc<str>]) -> bool {
    let mut room = true;
    for (seq, text) in (first..).zip(lines) {
        let Ok(line) = Line::read(text) else { continue };
        if line.entry.belongs_to_destruction_log() {
            room &= pocket::copy_line(space, seq, text);
        }
        if seq + 1 == first + lines.len() as u64 {
            room &= pocket::copy_head(space, seq + 1, &line.hash.to_string());
        }
    }
    room
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
