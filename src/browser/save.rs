//! Offers a file for saving, and prints.

use gloo::timers::callback::Timeout;
use js_sys::{Array, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

use crate::desk::Download;

/// How long the file stays available to the browser's own saving.
const KEPT_MS: u32 = 60_000;

/// Hands a file to the browser's saving.
///
/// # Errors
/// What the browser said, as text.
pub fn save(file: &Download) -> Result<(), String> {
    offer(file).map_err(|why| format!("The file {} could not be saved ({why:?}).", file.name))
}

fn offer(file: &Download) -> Result<(), JsValue> {
    let kind = BlobPropertyBag::new();
    kind.set_type(file.mime);
    let parts = Array::of1(&Uint8Array::from(file.bytes.as_slice()));
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &kind)?;
    let url = Url::create_object_url_with_blob(&blob)?;
    let document = web_sys::window()
        .and_then(|window| window.document())
        .ok_or("no document")?;
    let link: HtmlAnchorElement = document.create_element("a")?.dyn_into()?;
    link.set_href(&url);
    link.set_download(&file.name);
    link.click();
    Timeout::new(KEPT_MS, move || {
        // Revoking only frees memory; a failure changes nothing for anyone.
        Url::revoke_object_url(&url).unwrap_or_default();
    })
    .forget();
    Ok(())
}

/// Opens the browser's print dialog.
///
/// # Errors
/// What the browser said, as text.
pub fn print() -> Result<(), String> {
    let window = web_sys::window().ok_or("There is no window to print from.")?;
    window
        .print()
        .map_err(|why| format!("Printing did not start ({why:?})."))
}
