//! Who is at the desk.

use yew::prelude::*;

use crate::desk::Action;
use crate::people::{Person, Role};
use crate::ui::kit::Dialog;
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct SignInProps {
    /// Absent when nobody is signed in yet: then there is nothing to go back to.
    #[prop_or_default]
    pub onclose: Option<Callback<()>>,
}

/// Choosing who acts from now on. Every entry carries the code of whoever is signed in.
#[function_component]
pub fn SignIn(props: &SignInProps) -> Html {
    let shop = use_shop();
    let people: Vec<Person> = shop.state().people.values().cloned().collect();
    let onclose = props.onclose.clone().unwrap_or_default();
    let button = |person: &Person| {
        let (shop, onclose, id) = (shop.clone(), onclose.clone(), person.person);
        let onclick = Callback::from(move |_: MouseEvent| {
            shop.act(Action::SignIn(id));
            onclose.emit(());
        });
        let roles: Vec<&str> = person.roles.iter().copied().map(Role::name).collect();
        html! {
            <li key={id.to_string()}>
                <button type="button" class="person" {onclick} data-person={id.to_string()}>
                    <b>{ person.name.to_string() }</b>
                    <span>{ format!("{} · {}", id, roles.join(", ")) }</span>
                </button>
            </li>
        }
    };
    let list = html! { <ul class="people">{ for people.iter().map(button) }</ul> };
    let lead = "Every entry carries the code of whoever is signed in. Change it whenever the person at the desk changes.";
    match &props.onclose {
        Some(onclose) => {
            html! { <Dialog title="Who is at the desk?" onclose={onclose.clone()}><p>{ lead }</p>{ list }</Dialog> }
        }
        None => html! {
            <div class="veil"><div class="dialog" role="dialog" aria-label="Who is at the desk?">
                <header><h2>{ "Who is at the desk?" }</h2></header><p>{ lead }</p>{ list }
            </div></div>
        },
    }
}
