//! Locks the desk when nobody has touched it for a while: whoever comes back signs in again.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::EventListener;
use gloo::timers::callback::Interval;

/// Minutes without a key or a touch.
const IDLE_MINUTES: f64 = 10.0;
/// How often it is looked at.
const LOOK_MS: u32 = 15_000;

/// Calls `lock` once nobody has touched the page for [`IDLE_MINUTES`]; until what it gives back
/// is dropped.
pub fn lock_when_idle(lock: impl Fn() + 'static) -> Watch {
    let touched = Rc::new(Cell::new(js_sys::Date::now()));
    let document = gloo::utils::document();
    let listeners = ["keydown", "pointerdown"].map(|event| {
        let touched = Rc::clone(&touched);
        EventListener::new(&document, event, move |_| touched.set(js_sys::Date::now()))
    });
    let interval = Interval::new(LOOK_MS, move || {
        if js_sys::Date::now() - touched.get() > IDLE_MINUTES * 60_000.0 {
            touched.set(js_sys::Date::now());
            lock();
        }
    });
    Watch {
        _listeners: listeners,
        _interval: interval,
    }
}

/// Stops watching when it is dropped.
pub struct Watch {
    _listeners: [EventListener; 2],
    _interval: Interval,
}
