//! The room that the browser gives this address, and whether it promises to keep what is there.

use js_sys::Reflect;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{StorageEstimate, StorageManager};

use crate::desk::homes::Room;

/// Asks the browser for its promise, unless it gave it before, and measures. Nothing where it does
/// not say.
pub async fn measure() -> Option<Room> {
    let navigator = web_sys::window()?.navigator();
    let storage = Reflect::get(&navigator, &"storage".into()).ok()?;
    let storage: StorageManager = storage.dyn_into().ok()?;
    let promised = is_promised(&storage).await.unwrap_or_default();
    let estimate = JsFuture::from(storage.estimate().ok()?).await.ok()?;
    let estimate: StorageEstimate = estimate.unchecked_into();
    Some(Room {
        used: estimate.get_usage()? as u64,
        allowed: estimate.get_quota()? as u64,
        promised,
    })
}

async fn is_promised(storage: &StorageManager) -> Result<bool, JsValue> {
    let before = JsFuture::from(storage.persisted()?).await?;
    if before.is_truthy() {
        return Ok(true);
    }
    Ok(JsFuture::from(storage.persist()?).await?.is_truthy())
}
