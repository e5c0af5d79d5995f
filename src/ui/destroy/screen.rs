//! The screen as a whole: the session that is open, the past ones, and what was corrected.

use yew::prelude::*;

use crate::custody::SessionId;
use crate::people::Duty;
use crate::ui::{Shop, use_shop};

use super::corrections::Corrections;
use super::past::Past;
use super::recorded::Recorded;
use super::session::Session;

#[derive(Clone, Copy, PartialEq)]
enum View {
    Now,
    Past,
    Corrections,
}

#[function_component]
pub fn DestroyScreen() -> Html {
    let shop = use_shop();
    let view = use_state(|| View::Now);
    let under_way = shop.state().session.as_ref().map(|log| log.session);
    let tab = |to: View, name: &'static str| {
        let selected = *view == to;
        let view = view.clone();
        let onclick = Callback::from(move |_: MouseEvent| view.set(to));
        html! { <button type="button" role="tab" aria-selected={selected.to_string()} {onclick} data-view={name}>{ name }</button> }
    };
    let content = match *view {
        View::Past => html! { <Past /> },
        View::Corrections => html! { <Corrections /> },
        View::Now => now(&shop, under_way),
    };
    let open = match under_way {
        Some(_) => "Session under way",
        None => "New session",
    };
    html! {
        <div class="destroy">
            <header class="screen-head"><h1>{ "Destroy" }</h1></header>
            <div class="tabs" role="tablist" aria-label="Sessions">
                { tab(View::Now, open) }
                { tab(View::Past, "Past sessions") }
                { tab(View::Corrections, "Corrections") }
            </div>
            { content }
        </div>
    }
}

fn now(shop: &Shop, under_way: Option<SessionId>) -> Html {
    let done = shop.desk().destruction.done;
    if let (Some(session), None) = (done, under_way) {
        return html! { <Recorded {session} /> };
    }
    if shop.desk().may(Duty::LeadDestruction) {
        return html! { <Session /> };
    }
    let waits = under_way.map(|session| {
        format!(" Session {session} is under way and goes on with whoever of them signs in.")
    });
    html! {
        <p class="panel">{ "Leading a destruction is for custodians and supervisors." }{ waits }</p>
    }
}
