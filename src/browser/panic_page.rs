//! If the program should fail, the page says what to do. The book is safe: a line is either on
//! disk or was never acknowledged.

use gloo::events::EventListener;
use web_sys::{Document, Element};

/// Replaces the page by instructions when the program panics.
///
/// Set through Yew, which would overwrite a hook set in the plain way when it draws the app.
pub fn show_page_on_panic() {
    yew::set_custom_panic_hook(Box::new(|info| {
        let what = info.to_string();
        web_sys::console::error_1(&what.as_str().into());
        if let Some(document) = web_sys::window().and_then(|window| window.document()) {
            // Nothing is left to report a failure to.
            show(&document, &what).unwrap_or_default();
        }
    }));
}

fn show(document: &Document, what: &str) -> Option<()> {
    let body = document.body()?;
    body.set_text_content(None);
    let page = document.create_element("main").ok()?;
    page.set_class_name("stopped");
    let add = |tag: &str, text: &str| -> Option<Element> {
        let element = document.create_element(tag).ok()?;
        element.set_text_content(Some(text));
        page.append_child(&element).ok()?;
        Some(element)
    };
    add("h1", "Cullbook has stopped")?;
    add(
        "p",
        "The book is safe: everything that was shown as recorded is on this machine's disk.",
    )?;
    add(
        "p",
        "Reload the page and go on. The sheet you were tagging comes back with its tags.",
    )?;
    add(
        "p",
        "If this page comes again, note the line below and give it to whoever looks after this bench.",
    )?;
    add("pre", what)?;
    let again = add("button", "Reload the page")?;
    EventListener::new(&again, "click", |_| {
        if let Some(window) = web_sys::window() {
            window.location().reload().unwrap_or_default();
        }
    })
    .forget();
    body.append_child(&page).ok()?;
    Some(())
}
