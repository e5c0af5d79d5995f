//! The Book screen as a whole: its tabs.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

use crate::desk::{Action, BookView};
use crate::ui::{Shop, use_shop};

use super::archive::Archive;
use super::heads::Heads;
use super::health::health;
use super::log::Log;

const VIEWS: [(BookView, &str, &str); 4] = [
    (BookView::Health, "Health", "health"),
    (BookView::Log, "Log", "log"),
    (BookView::Heads, "Heads", "heads"),
    (BookView::Archive, "Archive", "archive"),
];

#[function_component]
pub fn BookScreen() -> Html {
    let shop = use_shop();
    let view = shop.desk().book_view;
    let content = match view {
        BookView::Health => health(&shop),
        BookView::Log => html! { <Log /> },
        BookView::Heads => html! { <Heads /> },
        BookView::Archive => html! { <Archive /> },
    };
    let here = VIEWS.iter().find(|(one, ..)| *one == view);
    let slug = here.map_or("", |(_, _, slug)| slug);
    html! {
        <div class="book">
            <header class="screen-head no-print"><h1>{ "Book" }</h1></header>
            <div class="tabs no-print" role="tablist" aria-label="Book">
                { for VIEWS.iter().map(|one| tab(&shop, one, view)) }
            </div>
            <div role="tabpanel" id="book-panel" class={format!("book-{slug}")} aria-labelledby={format!("book-tab-{slug}")}>{ content }</div>
        </div>
    }
}

fn tab(shop: &Shop, one: &(BookView, &'static str, &'static str), chosen: BookView) -> Html {
    let (view, name, slug) = *one;
    let onclick = shop.on(move |_: MouseEvent| Action::GoBook(view));
    let onkeydown = {
        let shop = shop.clone();
        Callback::from(move |event: KeyboardEvent| {
            if let Some((next, _, slug)) = after(view, &event.key()) {
                event.prevent_default();
                shop.act(Action::GoBook(next));
                focus(&format!("book-tab-{slug}"));
            }
        })
    };
    let selected = view == chosen;
    html! {
        <button key={slug} type="button" role="tab" id={format!("book-tab-{slug}")} data-tab={slug}
            aria-selected={selected.to_string()} aria-controls="book-panel"
            tabindex={if selected { "0" } else { "-1" }} {onclick} {onkeydown}>{ name }</button>
    }
}

/// The tab that an arrow key leads to.
fn after(view: BookView, key: &str) -> Option<(BookView, &'static str, &'static str)> {
    let here = VIEWS.iter().position(|(one, ..)| *one == view)?;
    let there = match key {
        "ArrowRight" => (here + 1) % VIEWS.len(),
        "ArrowLeft" => (here + VIEWS.len() - 1) % VIEWS.len(),
        "Home" => 0,
        "End" => VIEWS.len() - 1,
        _ => return None,
    };
    Some(VIEWS[there])
}

fn focus(id: &str) {
    let element = gloo::utils::document().get_element_by_id(id);
    if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        // The keyboard only moves; a failure leaves it on the tab before.
        element.focus().unwrap_or_default();
    }
}
