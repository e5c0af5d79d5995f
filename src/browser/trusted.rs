//! Addresses of scripts that this page may run as workers, passed through a Trusted Types policy
//! where the browser has them: the served policy refuses plain text there. web-sys does not know
//! these types, hence by name.

use std::cell::RefCell;

use js_sys::{Function, Object, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// The only name that the served policy allows (Content-Security-Policy, `trusted-types`).
const POLICY: &str = "cullbook";

/// The service worker, and the worker for keys. Nothing else can be asked for.
#[derive(Clone, Copy)]
pub enum Script {
    Service,
    Sealer,
}

impl Script {
    fn address(self) -> &'static str {
        match self {
            Script::Service => "/sw.js",
            Script::Sealer => "/sealer.js",
        }
    }

    /// The address as the browser wants it.
    ///
    /// # Errors
    /// What the browser said to the policy.
    pub fn trusted(self) -> Result<JsValue, JsValue> {
        let address = JsValue::from_str(self.address());
        let types = Reflect::get(&js_sys::global(), &"trustedTypes".into())?;
        if types.is_undefined() {
            return Ok(address);
        }
        let policy = policy(&types)?;
        let trust: Function = Reflect::get(&policy, &"createScriptURL".into())?.dyn_into()?;
        trust.call1(&policy, &address)
    }
}

thread_local! {
    /// A policy of one name can be made once.
    static MADE: RefCell<Option<JsValue>> = const { RefCell::new(None) };
}

fn policy(types: &JsValue) -> Result<JsValue, JsValue> {
    if let Some(policy) = MADE.with_borrow(Clone::clone) {
        return Ok(policy);
    }
    // It is only ever asked for the addresses above, so it has nothing to refuse.
    let pass = Closure::<dyn Fn(JsValue) -> JsValue>::new(|address: JsValue| address);
    let rules = Object::new();
    Reflect::set(&rules, &"createScriptURL".into(), &pass.into_js_value())?;
    let create: Function = Reflect::get(types, &"createPolicy".into())?.dyn_into()?;
    let policy = create.call2(types, &POLICY.into(), &rules)?;
    MADE.set(Some(policy.clone()));
    Ok(policy)
}
