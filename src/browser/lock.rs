//! One writing tab: a Web Lock that is held for as long as the page works on a space. web-sys has
//! the interface only behind a compiler switch, hence by name.

use std::cell::{Cell, RefCell};
use std::future::poll_fn;
use std::pin::pin;
use std::rc::Rc;
use std::task::Poll;

use futures_channel::oneshot;
use gloo::timers::future::TimeoutFuture;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

use crate::desk::Space;
use crate::desk::homes::Tab;

/// How long a lock that is not free at once is waited for: a page that was just closed or
/// reloaded lets go of it within that time.
const PATIENCE_MS: u32 = 400;

/// The lock of this tab. Cheap to clone.
#[derive(Clone, Default)]
pub struct TabLock {
    inner: Rc<Inner>,
}

#[derive(Default)]
struct Inner {
    asked: Cell<Option<(Space, Tab)>>,
    /// Counts the spaces asked for, so that a lock which comes too late is given back.
    turn: Cell<u32>,
    release: RefCell<Option<Function>>,
}

impl TabLock {
    /// What this tab may do with a space. Asks for its lock when it has not yet; `freed` is called
    /// when the lock comes later.
    pub async fn ask(&self, space: Space, freed: Rc<dyn Fn()>) -> Tab {
        if let Some((asked, tab)) = self.inner.asked.get()
            && asked == space
        {
            return tab;
        }
        self.give_up();
        let tab = match self.request(space, freed) {
            Some(granted) => granted.await,
            None => Tab::Unguarded,
        };
        self.inner.asked.set(Some((space, tab)));
        tab
    }

    /// Lets another tab write.
    pub fn give_up(&self) {
        self.inner.turn.set(self.inner.turn.get() + 1);
        self.inner.asked.set(None);
        if let Some(release) = self.inner.release.take() {
            // Settling a promise runs nothing that could fail.
            release
                .call0(&JsValue::UNDEFINED)
                .map(drop)
                .unwrap_or_default();
        }
    }

    /// Nothing where the browser has no locks.
    fn request(
        &self,
        space: Space,
        freed: Rc<dyn Fn()>,
    ) -> Option<impl Future<Output = Tab> + use<>> {
        let navigator = web_sys::window()?.navigator();
        let locks = Reflect::get(&navigator, &"locks".into()).ok()?;
        let request: Function = Reflect::get(&locks, &"request".into())
            .ok()?
            .dyn_into()
            .ok()?;
        let (answer, answered) = oneshot::channel();
        let answer = Rc::new(Cell::new(Some(answer)));
        let on_grant = self.on_grant(space, Rc::clone(&answer), freed);
        let name = format!("cullbook-{}", space.name());
        let promise = request.call2(&locks, &name.into(), &on_grant).ok()?;
        let promise: Promise = promise.dyn_into().ok()?;
        let refused = Rc::clone(&answer);
        // It settles when the lock is given back, or at once when the page may have none.
        spawn_local(async move {
            if JsFuture::from(promise).await.is_err() {
                tell(&refused, Tab::Unguarded);
            }
        });
        Some(async move {
            let tab = in_time(answered).await;
            // Whatever comes from here on comes late.
            drop(answer.take());
            tab.and_then(Result::ok).unwrap_or(Tab::Reads)
        })
    }

    /// What the browser calls when the lock is this tab's; it is kept until the promise is
    /// settled.
    fn on_grant(
        &self,
        space: Space,
        answer: Rc<Cell<Option<Answer>>>,
        freed: Rc<dyn Fn()>,
    ) -> JsValue {
        let (inner, turn) = (Rc::clone(&self.inner), self.inner.turn.get());
        Closure::once_into_js(move |_: JsValue| {
            if inner.turn.get() != turn {
                return Promise::resolve(&JsValue::UNDEFINED);
            }
            let held = Promise::new(&mut |settle, _| drop(inner.release.replace(Some(settle))));
            if !tell(&answer, Tab::Writes) {
                inner.asked.set(Some((space, Tab::Writes)));
                freed();
            }
            held
        })
    }
}

type Answer = oneshot::Sender<Tab>;

/// Answers whoever waits for the lock; says whether anyone still does.
fn tell(answer: &Cell<Option<Answer>>, tab: Tab) -> bool {
    answer.take().is_some_and(|answer| answer.send(tab).is_ok())
}

/// The answer, if it comes within [`PATIENCE_MS`].
async fn in_time<T>(answer: impl Future<Output = T>) -> Option<T> {
    let mut answer = pin!(answer);
    let mut over = pin!(TimeoutFuture::new(PATIENCE_MS));
    poll_fn(|context| {
        if let Poll::Ready(answer) = answer.as_mut().poll(context) {
            return Poll::Ready(Some(answer));
        }
        over.as_mut().poll(context).map(|()| None)
    })
    .await
}
