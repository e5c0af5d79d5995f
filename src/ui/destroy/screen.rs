//! The screen as a whole: a new session, or the past ones.

use yew::prelude::*;

use crate::custody::SessionId;
use crate::people::Duty;
use crate::ui::use_shop;

use super::past::Past;
use super::recorded::Recorded;
use super::session::Session;

#[function_component]
pub fn DestroyScreen() -> Html {
    let shop = use_shop();
    let past = use_state(|| false);
    let may = shop.desk().may(Duty::LeadDestruction);
    let tab = |shows_past: bool, name: &'static str| {
        let selected = *past == shows_past;
        let past = past.clone();
        let onclick = Callback::from(move |_: MouseEvent| past.set(shows_past));
        html! { <button type="button" role="tab" aria-selected={selected.to_string()} {onclick} data-view={name}>{ name }</button> }
    };
    let content = match (*past, recorded(&shop), may) {
        (true, ..) => html! { <Past /> },
        (false, Some(session), _) => html! { <Recorded {session} /> },
        (false, None, true) => html! { <Session /> },
        (false, None, false) => html! {
            <p class="panel">{ "Leading a destruction is for custodians and supervisors. Whoever leads signs in first." }</p>
        },
    };
    html! {
        <div class="destroy">
            <header class="screen-head"><h1>{ "Destroy" }</h1></header>
            <div class="tabs" role="tablist" aria-label="Sessions">
                { tab(false, "New session") }
                { tab(true, "Past sessions") }
            </div>
            { content }
        </div>
    }
}

/// The session that was handed in, once the book has it.
fn recorded(shop: &crate::ui::Shop) -> Option<SessionId> {
    let desk = shop.desk();
    let id = desk.destruction.handed_in?;
    let mut sessions = desk.state().sessions.iter();
    sessions
        .any(|session| session.record.session == id)
        .then_some(id)
}
