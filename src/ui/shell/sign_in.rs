//! Who is at the desk.

use yew::prelude::*;

use crate::desk::{Action, Space};
use crate::people::{Person, PersonId, Role, SecretKey};
use crate::ui::kit::Dialog;
use crate::ui::{Shop, use_shop};

use super::passphrase::Unlock;

#[derive(Properties, PartialEq)]
pub struct SignInProps {
    /// Absent when nobody is signed in yet: then there is nothing to go back to.
    #[prop_or_default]
    pub onclose: Option<Callback<()>>,
}

/// Choosing who acts from now on: every line is signed with their key.
#[function_component]
pub fn SignIn(props: &SignInProps) -> Html {
    let shop = use_shop();
    let chosen = use_state(|| None::<PersonId>);
    let onclose = props.onclose.clone().unwrap_or_default();
    let onkey = {
        let shop = shop.clone();
        Callback::from(move |(person, key): (PersonId, SecretKey)| {
            let key = Box::new(key);
            shop.act(Action::SignIn { person, key });
            onclose.emit(());
        })
    };
    let list = match *chosen {
        None => people(&shop, &chosen.setter(), &onkey),
        Some(person) => {
            let back = {
                let chosen = chosen.clone();
                Callback::from(move |_: MouseEvent| chosen.set(None))
            };
            html! {
                <>
                    <Unlock {person} action="Sign in" {onkey} />
                    <button type="button" class="quiet" onclick={back}>{ "Someone else" }</button>
                </>
            }
        }
    };
    let lead = "Every entry is signed with the key of whoever is signed in. Change it whenever the person at the desk changes.";
    match &props.onclose {
        Some(onclose) => html! {
            <Dialog title="Who is at the desk?" onclose={onclose.clone()}>
                <p>{ lead }</p>
                { list }
                if chosen.is_none() { { leaving(&shop, onclose) } }
            </Dialog>
        },
        None => html! {
            <div class="veil"><div class="dialog" role="dialog" aria-label="Who is at the desk?">
                <div class="dialog-head"><h2>{ "Who is at the desk?" }</h2></div><p>{ lead }</p>{ list }
            </div></div>
        },
    }
}

/// For whoever walks away: the desk does not wait until it has been idle.
fn leaving(shop: &Shop, onclose: &Callback<()>) -> Html {
    let onclick = {
        let (shop, onclose) = (shop.clone(), onclose.clone());
        Callback::from(move |_: MouseEvent| {
            shop.act(Action::SignOut);
            onclose.emit(());
        })
    };
    html! {
        <div class="submit">
            <button type="button" {onclick} data-action="lock">{ "Lock the desk" }</button>
            <span class="hint">{ "Nobody is signed in until someone signs in again." }</span>
        </div>
    }
}

/// Everybody enrolled. In a practice book one click does, its keys being known to all.
fn people(
    shop: &Shop,
    chosen: &UseStateSetter<Option<PersonId>>,
    onkey: &Callback<(PersonId, SecretKey)>,
) -> Html {
    let practice = shop.desk().space == Space::Practice;
    let button = |person: &Person| {
        let (id, chosen, onkey) = (person.person, chosen.clone(), onkey.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            if practice {
                onkey.emit((id, crate::desk::practice::practice_key(id)));
            } else {
                chosen.set(Some(id));
            }
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
    let people: Vec<Person> = shop.state().people.values().cloned().collect();
    html! { <ul class="people">{ for people.iter().map(button) }</ul> }
}
