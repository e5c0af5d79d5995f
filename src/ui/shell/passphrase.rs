//! A passphrase, and the key it opens.

use yew::prelude::*;

use crate::desk::forms::{FieldErrors, Typed};
use crate::desk::{KeyringError, Space};
use crate::people::{PersonId, SecretKey};
use crate::ui::kit::{Field, use_form};
use crate::ui::use_shop;

use super::bring_keys::BringKeys;

const FIELD: &str = "own-passphrase";

#[derive(Properties, PartialEq)]
pub struct UnlockProps {
    pub person: PersonId,
    /// What the button does, like "Sign in".
    pub action: AttrValue,
    /// Gets the person and their key once it is open.
    pub onkey: Callback<(PersonId, SecretKey)>,
}

/// Asks one person for their passphrase. In a practice book there is none: a button is all.
#[function_component]
pub fn Unlock(props: &UnlockProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let (busy, missing) = (use_state(|| false), use_state(|| false));
    let person = props.person;
    let (name, practice) = {
        let desk = shop.desk();
        (desk.state().name_of(person), desk.space == Space::Practice)
    };
    let onsubmit = {
        let (shop, form, busy, missing) = (shop, form.clone(), busy.clone(), missing.clone());
        let onkey = props.onkey.clone();
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            if *busy {
                return;
            }
            busy.set(true);
            let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
            let (onkey, missing) = (onkey.clone(), missing.clone());
            wasm_bindgen_futures::spawn_local(async move {
                let passphrase = form.typed().get(FIELD).to_owned().into();
                let opened = shop.unlock(person, passphrase).await;
                busy.set(false);
                // Right or wrong, it does not stay on the screen.
                form.reset(Typed::default());
                match opened {
                    Ok(key) => onkey.emit((person, key)),
                    Err(why) => {
                        missing.set(why == KeyringError::NotHere);
                        form.fail(FieldErrors::one(FIELD, why));
                    }
                }
            });
        })
    };
    let button = if *busy {
        "Opening the key…".into()
    } else {
        props.action.clone()
    };
    html! {
        <form class="unlock" {onsubmit} novalidate=true>
            if practice {
                <p class="hint">{ format!("{name}. A practice book asks for no passphrase.") }</p>
            } else {
                <Field key={person.to_string()} {form} name={FIELD} kind="password" label={format!("Passphrase of {name}")}
                    hint="Typed by nobody else" autofocus=true />
            }
            if *missing { <BringKeys /> }
            <button type="submit" class="primary" disabled={*busy} data-action="unlock">{ button }</button>
        </form>
    }
}
