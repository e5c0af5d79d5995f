//! A new key for someone who lost theirs, and the file of all sealed keys.

use yew::prelude::*;

use crate::book::{Entry, PersonRekeyed};
use crate::desk::forms::person::{NEW_KEY_PASSPHRASE, rekey};
use crate::desk::forms::{FieldErrors, Typed, write_keys};
use crate::desk::{Action, Download};
use crate::people::{Passphrase, PersonId};
use crate::ui::kit::{Dialog, ErrorSummary, Field, NewPassphrase, use_form};
use crate::ui::{Shop, use_shop};

#[derive(Properties, PartialEq)]
pub struct RekeyProps {
    pub person: PersonId,
    pub onclose: Callback<()>,
}

/// Only in a real book: in a practice book nobody can lose a key.
#[function_component]
pub fn Rekey(props: &RekeyProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let busy = use_state(|| false);
    let person = props.person;
    let name = shop.state().name_of(person);
    let onsubmit = {
        let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
        let onclose = props.onclose.clone();
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let (reason, passphrase) = match rekey(form.typed(), false) {
                Ok(read) => read,
                Err(errors) => return form.fail(errors),
            };
            busy.set(true);
            let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
            let onclose = onclose.clone();
            wasm_bindgen_futures::spawn_local(async move {
                match rekeyed(&shop, person, reason, passphrase).await {
                    Ok(()) => onclose.emit(()),
                    Err(why) => {
                        busy.set(false);
                        form.fail(FieldErrors::one("", why));
                    }
                }
            });
        })
    };
    let cancel = props.onclose.reform(|_: MouseEvent| ());
    html! {
        <Dialog title={format!("A new key for {name}?")} onclose={props.onclose.clone()}>
            <p>{ format!("{name} chooses a passphrase here, seen by nobody else. The old key signs nothing more; what it signed stays signed.") }</p>
            <form {onsubmit} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <Field form={form.clone()} name="rekey-reason" label="Reason" hint="Like: passphrase forgotten, or known to someone else" />
                <NewPassphrase {form} fields={NEW_KEY_PASSPHRASE} />
                <div class="submit">
                    <button type="submit" class="primary" disabled={*busy} data-action="confirm-rekey">{ if *busy { "Making the key…" } else { "Give the new key" } }</button>
                    <button type="button" onclick={cancel}>{ "Keep the old one" }</button>
                </div>
            </form>
        </Dialog>
    }
}

async fn rekeyed(
    shop: &Shop,
    person: PersonId,
    reason: String,
    passphrase: Option<Passphrase>,
) -> Result<(), String> {
    let new = shop.new_key(person, passphrase).await;
    let key = new.map_err(|why| why.to_string())?.public();
    let entry = Entry::PersonRekeyed(PersonRekeyed {
        person,
        key,
        reason,
    });
    shop.record(vec![entry]).map_err(|why| why.to_string())
}

/// Saves the sealed keys of everyone: with the book they are all that another machine needs.
pub fn save_keys(shop: &Shop) -> Html {
    let desk_of = shop.clone();
    let onclick = shop.on(move |_: MouseEvent| {
        let desk = desk_of.desk();
        match write_keys(desk.keys.values(), desk.state()) {
            Ok(text) => Action::Save(Download {
                name: "cullbook-keys.jsonl".to_owned(),
                mime: "application/jsonl",
                bytes: text.into_bytes(),
            }),
            Err(why) => Action::Problem(why),
        }
    });
    html! {
        <p class="submit">
            <button type="button" {onclick} data-action="save-keys">{ "Save the keys" }</button>
            <span class="hint">{ "Sealed under everyone's passphrase. Keep the file with a copy of the book, out of other hands." }</span>
        </p>
    }
}
