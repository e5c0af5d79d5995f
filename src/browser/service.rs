//! The service worker (`sw.js`), which holds the app on this machine: registers it, hears when a
//! newer version waits, and gives it the word.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::EventListener;
use gloo::timers::callback::Interval;
use js_sys::{Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    DomException, ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration,
    ServiceWorkerState,
};

use crate::desk::{Action, Held, NotHeld};

use super::trusted::Script;

const WORD: &str = "use";
/// How often a page that stays open asks whether there is a newer version.
const ASK_EVERY_MS: u32 = 60 * 60 * 1000;

/// The worker of this page.
pub struct Service {
    registration: ServiceWorkerRegistration,
    asked: Rc<Cell<bool>>,
}

type Report = Rc<dyn Fn(Action)>;

impl Service {
    /// Registers the worker and reports from now on what becomes of it.
    ///
    /// # Errors
    /// Why this browser does not hold the app.
    pub async fn start(report: Report) -> Result<Self, NotHeld> {
        let container = container().ok_or(NotHeld::NotOffered)?;
        let registered = register(&container).await;
        let registration = registered.map_err(|why| NotHeld::Refused(said(&why)))?;
        let asked = Rc::new(Cell::new(false));
        watch_taking_over(&container, &report, &asked);
        watch_versions(&registration, &report);
        Ok(Self {
            registration,
            asked,
        })
    }

    /// Gives a waiting version the word; the page opens anew when it has taken over. When it took
    /// over before (another tab asked), the page opens anew at once.
    pub fn use_update(&self) {
        self.asked.set(true);
        match self.registration.waiting() {
            // A worker that is gone meanwhile leaves nothing to hand over to: reload all the same.
            Some(waiting) if waiting.post_message(&WORD.into()).is_ok() => {}
            _ => open_anew(),
        }
    }
}

/// The browser's workers, where it offers them: not over plain http, nor in some private windows.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    let offered = Reflect::get(&navigator, &"serviceWorker".into()).ok()?;
    offered.dyn_into().ok()
}

/// By name, because web-sys takes no trusted address.
async fn register(
    container: &ServiceWorkerContainer,
) -> Result<ServiceWorkerRegistration, JsValue> {
    let options = Object::new();
    // Whether there is a newer version is asked of the server, not of the browser's cache.
    Reflect::set(&options, &"updateViaCache".into(), &"none".into())?;
    let register: Function = Reflect::get(container, &"register".into())?.dyn_into()?;
    let promise: Promise = register
        .call2(container, &Script::Service.trusted()?, &options)?
        .dyn_into()?;
    JsFuture::from(promise).await?.dyn_into()
}

/// Another version took over: this page asked for it and opens anew, or another tab did.
fn watch_taking_over(container: &ServiceWorkerContainer, report: &Report, asked: &Rc<Cell<bool>>) {
    let (report, asked) = (Rc::clone(report), Rc::clone(asked));
    // On a first visit there was no version before.
    let had_one = Cell::new(container.controller().is_some());
    EventListener::new(container, "controllerchange", move |_| {
        if asked.get() {
            open_anew();
        } else if had_one.replace(true) {
            report(Action::UpdateReady);
        }
    })
    .forget();
}

fn watch_versions(registration: &ServiceWorkerRegistration, report: &Report) {
    if registration.active().is_some() {
        report(Action::AppHeld(Held::Yes));
    }
    if registration.waiting().is_some() {
        report(Action::UpdateReady);
    }
    if let Some(installing) = registration.installing() {
        follow(&installing, registration, report);
    }
    let (found, heard) = (registration.clone(), Rc::clone(report));
    EventListener::new(registration, "updatefound", move |_| {
        if let Some(installing) = found.installing() {
            follow(&installing, &found, &heard);
        }
    })
    .forget();
    let asked = registration.clone();
    Interval::new(ASK_EVERY_MS, move || ask(asked.clone())).forget();
}

/// Follows a version that is being fetched until it is held, waits, or was given up.
fn follow(worker: &ServiceWorker, registration: &ServiceWorkerRegistration, report: &Report) {
    let (watched, registration, report) = (worker.clone(), registration.clone(), Rc::clone(report));
    EventListener::new(worker, "statechange", move |_| {
        let before = registration.active();
        match watched.state() {
            ServiceWorkerState::Installed if before.is_some() => report(Action::UpdateReady),
            ServiceWorkerState::Activated => report(Action::AppHeld(Held::Yes)),
            ServiceWorkerState::Redundant if before.is_none() => {
                report(Action::AppHeld(Held::No(NotHeld::Incomplete)));
            }
            _ => {}
        }
    })
    .forget();
}

/// Asks the server for a newer version. With the server stopped there is none, which is fine.
fn ask(registration: ServiceWorkerRegistration) {
    spawn_local(async move {
        if let Ok(promise) = registration.update() {
            JsFuture::from(promise).await.map(drop).unwrap_or_default();
        }
    });
}

fn open_anew() {
    if let Some(window) = web_sys::window() {
        // Reloading one's own page is never refused.
        window.location().reload().unwrap_or_default();
    }
}

fn said(why: &JsValue) -> String {
    match why.dyn_ref::<DomException>() {
        Some(error) => format!("{}: {}", error.name(), error.message()),
        None => format!("{why:?}"),
    }
}
