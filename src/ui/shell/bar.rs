//! The bar: whose book, which lot, who is signed in, what is recorded, when a copy left.

use gloo::timers::callback::Interval;
use yew::prelude::*;

use crate::desk::homes::{Homes, SecondState, Tab};
use crate::desk::{Action, BookView, DUE_ENTRIES, DUE_HOURS, Desk, Saved, Space, head_out};
use crate::ui::book::{tab_slug, tab_words};
use crate::ui::kit::count;
use crate::ui::{Shop, use_shop};

use super::frame::Over;

/// In milliseconds.
const A_MINUTE: u32 = 60_000;

#[derive(Properties, PartialEq)]
pub struct BarProps {
    pub onshow: Callback<Over>,
}

#[function_component]
pub fn Bar(props: &BarProps) -> Html {
    let shop = use_shop();
    let again = use_force_update();
    use_effect_with((), move |()| {
        // Time passes without anybody acting.
        let each = Interval::new(A_MINUTE, move || again.force_update());
        move || drop(each)
    });
    let desk = shop.desk();
    let onshow = props.onshow.clone();
    let sign_in = Callback::from(move |_: MouseEvent| onshow.emit(Over::SignIn));
    let opened = desk.state().opened.as_ref();
    html! {
        <header class="bar">
            <span class="brand">{ "Cullbook" }</span>
            if desk.space == Space::Practice {
                <strong class="practice-mark">{ "PRACTICE" }</strong>
            }
            if let Some(opened) = opened {
                <span class="fact" data-bench="">{ "Bench " }<b>{ opened.bench.to_string() }</b></span>
            }
            { lot_on_bar(&shop) }
            <span class="gap" />
            { checking(&desk) }
            { tab(&desk.homes) }
            { homes(&desk.homes) }
            { saved(&desk) }
            { room(&desk.homes) }
            { head_left(&shop, &desk) }
            <button type="button" class="quiet signer" onclick={sign_in} title="Hand the desk over to someone else">
                { desk.signer_name().unwrap_or_else(|| "Sign in".to_owned()) }
            </button>
        </header>
    }
}

/// The lot on the bench.
fn lot_on_bar(shop: &Shop) -> Html {
    let desk = shop.desk();
    match desk.bench.lot(desk.state()) {
        None => Html::default(),
        Some(lot) => html! {
            <span class="fact">{ "Lot " }<b>{ lot.id.to_string() }</b>{ format!(" · {}{}", lot.product.title, if lot.closed.is_some() { ", closed" } else { "" }) }</span>
        },
    }
}

/// How many signatures of a book just opened are still to be checked.
fn checking(desk: &Desk) -> Html {
    match desk.book.unchecked() {
        0 => Html::default(),
        left => {
            html! { <span class="fact" role="status">{ "Checking signatures: " }<b>{ count(left as u64) }</b>{ " left" }</span> }
        }
    }
}

fn saved(desk: &Desk) -> Html {
    let entries = html! { <><b>{ count(desk.book.len()) }</b>{ " entries" }</> };
    match &desk.saved {
        Saved::NotYet => html! { <span class="fact">{ entries }</span> },
        Saved::Saving => {
            html! { <span class="fact" role="status">{ "Saving… " }{ entries }</span> }
        }
        Saved::At(at) => html! {
            <span class="fact" role="status" data-recorded={desk.book.len().to_string()} title={kept_in(&desk.homes)}>
                { "Recorded " }<b>{ at.clock() }</b>{ " · " }{ entries }
            </span>
        },
        Saved::Failed(_) => {
            html! { <span class="fact bad" role="status">{ "Not recorded · " }{ entries }</span> }
        }
    }
}

fn kept_in(homes: &Homes) -> &'static str {
    match homes.second {
        SecondState::Serves => {
            "On this machine's disk, in the browser's database for this address, and in local storage beside it"
        }
        _ => "On this machine's disk, in the browser's database for this address",
    }
}

/// Said only where this is not the one tab that writes.
fn tab(homes: &Homes) -> Html {
    let (class, word) = match homes.tab {
        Tab::Writes => return Html::default(),
        Tab::Reads => ("due", "This tab reads only"),
        Tab::Unguarded => ("", "Use one tab only"),
        Tab::Outdated => ("bad", "Reload this tab"),
    };
    html! { <span class={classes!("fact", class)} role="status" data-tab={tab_slug(homes.tab)} title={tab_words(homes.tab)}>{ word }</span> }
}

/// Said only where one home of the book is missing.
fn homes(homes: &Homes) -> Html {
    let (class, slug, word, title) = match (&homes.first_lost, homes.second) {
        (Some(_), _) => (
            "bad",
            "second",
            "Nothing can be recorded",
            "The browser's database is missing: what is shown comes from local storage.",
        ),
        (None, SecondState::Blocked) => (
            "due",
            "first",
            "One home only",
            "The browser keeps nothing in local storage, the book's second home.",
        ),
        (None, SecondState::Full) => (
            "due",
            "first",
            "One home only",
            "Local storage, the book's second home, is full.",
        ),
        (None, SecondState::Serves) => return Html::default(),
    };
    html! { <span class={classes!("fact", class)} role="status" data-homes={slug} {title}>{ word }</span> }
}

fn room(homes: &Homes) -> Html {
    let Some(room) = homes.room else {
        return Html::default();
    };
    let due = room.is_due().then_some("due");
    let title = if room.is_due() {
        "Of the room that the browser gives this address. Save a copy of the book (Day, Save the book), then free space on this machine."
    } else {
        "Of the room that the browser gives this address"
    };
    html! { <span class={classes!("fact", due)} {title} data-space={room.percent().to_string()}>{ "Space " }<b>{ room.percent() }{ " %" }</b></span> }
}

/// When a head last left, and what has happened since; leads to where one can leave.
fn head_left(shop: &Shop, desk: &Desk) -> Html {
    let out = head_out(&desk.book, &shop.now());
    let due = out.is_due();
    let onclick = shop.on(|_: MouseEvent| Action::GoBook(BookView::Heads));
    let title = format!(
        "A head of the book, alone or with a copy, left this machine: {}. It should after {DUE_ENTRIES} entries or {DUE_HOURS} hours.",
        out.ago()
    );
    html! {
        <button type="button" class={classes!("quiet", "fact", due.then_some("due"))} {title} {onclick} data-since={out.entries.to_string()}>
            { "Head out " }<b>{ out.ago() }</b>{ " · " }<b>{ count(out.entries) }</b>{ " since" }
        </button>
    }
}
