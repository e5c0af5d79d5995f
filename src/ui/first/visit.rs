//! The three ways to begin.

use yew::prelude::*;

use crate::desk::forms::{FieldErrors, NewBook, Typed, new_book};
use crate::desk::practice::practice_book;
use crate::desk::{Action, Space};
use crate::people::Passphrase;
use crate::ui::kit::{ErrorSummary, Field, NewPassphrase, Panel, use_form};
use crate::ui::shell::{message, newer};
use crate::ui::{Shop, use_shop};

use super::bring_in::{Onto, SavedCopy};

/// First visit.
pub fn first_visit(shop: &Shop) -> Html {
    html! {
        <main class="first">
            <header>
                <p class="brand">{ "Cullbook" }</p>
                <h1>{ "The book that accounts for every spoiled sheet" }</h1>
                <p>{ "It is kept in this browser, on this machine, and works without a network. How would you like to begin?" }</p>
            </header>
            { newer(shop) }
            { message(shop) }
            <div class="ways"><OpenBook />{ practise(shop) }{ bring_in() }</div>
        </main>
    }
}

fn bring_in() -> Html {
    html! {
        <Panel title="Bring in a book" lead="A copy saved earlier (a .jsonl file), on a new machine or after the browser's data was cleared.">
            <SavedCopy onto={Onto::NewMachine} />
        </Panel>
    }
}

#[function_component]
fn OpenBook() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let busy = use_state(|| false);
    let onsubmit = {
        let (shop, form, busy) = (shop, form.clone(), busy.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match new_book(form.typed()) {
                Ok((book, passphrase)) => {
                    form.fail(FieldErrors::default());
                    busy.set(true);
                    let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
                    wasm_bindgen_futures::spawn_local(async move {
                        if let Err(why) = open(&shop, book, passphrase).await {
                            form.fail(FieldErrors::one("", why));
                        }
                        busy.set(false);
                    });
                }
                Err(errors) => form.fail(errors),
            }
        })
    };
    html! {
        <Panel title="Open a new book" lead="For a bench that starts today. You are its first supervisor and enrol the others.">
            <form {onsubmit} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <Field form={form.clone()} name="works" label="Works" hint="As certificates should print it" />
                <Field form={form.clone()} name="bench" label="Bench" hint="A short name: letters, figures, dot, hyphen" />
                <Field form={form.clone()} name="name" label="Your name" hint="As it should be printed" />
                <Field form={form.clone()} name="person" label="Your code" hint="Short and yours alone, like ida or S-01" />
                <NewPassphrase form={form.clone()} lost="If it is lost, only a second supervisor can give a new key: enrol one soon" />
                <button type="submit" class="primary" disabled={*busy}>{ if *busy { "Making your key…" } else { "Open the book" } }</button>
            </form>
        </Panel>
    }
}

/// Makes the supervisor's key, then the book that is signed with it.
async fn open(shop: &Shop, new: NewBook, passphrase: Passphrase) -> Result<(), String> {
    let key = shop.new_key(new.supervisor, Some(passphrase)).await;
    let key = key.map_err(|why| why.to_string())?;
    let book = shop.with_env(|env| new.open(&key, env));
    let lines = book.map_err(|why| why.to_string())?.texts().to_vec();
    let space = Space::Real;
    shop.act(Action::Adopt { space, lines });
    Ok(())
}

fn practise(shop: &Shop) -> Html {
    let shop = shop.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        let action = match shop.with_env(practice_book) {
            Ok(lines) => Action::Adopt {
                space: Space::Practice,
                lines,
            },
            Err(why) => Action::Problem(why.to_string()),
        };
        shop.act(action);
    });
    html! {
        <Panel title="Practise" lead="A day at the Brackwater works of the Calder Isles: a lot of 10 000 sheets of the 20 merin note, one morning in.">
            <p>{ "Everything in it is invented. It is kept apart from any real book, marked PRACTICE on every screen and print, and can be thrown away." }</p>
            <button type="button" {onclick} data-action="practise">{ "Start practising" }</button>
        </Panel>
    }
}
