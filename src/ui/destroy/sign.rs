//! Steps 7 and 8: the witnesses sign, and the lead records.

use yew::prelude::*;

use crate::book::{Entry, Refusal};
use crate::desk::Action;
use crate::desk::forms::{FieldErrors, STATEMENT, Typed};
use crate::ui::kit::{ErrorSummary, Field, use_form};
use crate::ui::{Shop, use_shop};

use super::session::{change, with_draft};

/// The statement in full, and one code after the other.
#[function_component]
pub fn Sign() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let onsubmit = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match sign(&shop, &form.text("sign-code")) {
                Ok(()) => form.reset(Typed::default()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let desk = shop.desk();
    let draft = &desk.destruction;
    let row = |id: &crate::people::PersonId| {
        let signed = draft.signed.contains(id);
        html! {
            <li key={id.to_string()}><b>{ desk.state().name_of(*id) }</b>
                <span class={classes!("mark", if signed { "good" } else { "open" })}>{ if signed { "signed" } else { "not yet" } }</span>
            </li>
        }
    };
    let next = draft.next_to_sign().map(|id| desk.state().name_of(id));
    html! {
        <>
            <blockquote class="statement">{ STATEMENT }</blockquote>
            <ul class="signatures">{ for draft.witnesses.iter().map(row) }</ul>
            if let Some(name) = next {
                <form {onsubmit} novalidate=true class="sign-form">
                    <Field {form} name="sign-code" label={format!("{name}: your code")} hint="Typed by the witness, and by nobody else" mono=true />
                    <button type="submit" class="primary" data-action="sign">{ format!("Sign as {name}") }</button>
                </form>
            }
            <p class="hint">{ "Changing anything above takes the signatures off again." }</p>
        </>
    }
}

fn sign(shop: &Shop, code: &str) -> Result<(), FieldErrors> {
    let mut draft = shop.desk().destruction.clone();
    draft.sign(code, &shop.state())?;
    shop.act(Action::TypeDestruction(Box::new(draft)));
    Ok(())
}

/// The last look, and the record.
#[function_component]
pub fn HandIn() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let onclick = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| form.fail(hand_in(&shop).err().unwrap_or_default()))
    };
    let saving = shop.desk().is_saving();
    html! {
        <>
            <ErrorSummary {form} />
            <p>{ "Everything is right and signed. The record is one line of the book and cannot be changed afterwards." }</p>
            <button type="button" class="primary" {onclick} disabled={saving} data-action="record-destruction">
                { if saving { "Recording…" } else { "Record the destruction" } }
            </button>
        </>
    }
}

fn hand_in(shop: &Shop) -> Result<(), FieldErrors> {
    let read = with_draft(shop, |draft, at| draft.read(at));
    let record = read.ok_or_else(|| FieldErrors::one("", Refusal::NobodySignedIn))??;
    let session = record.session;
    shop.record(vec![Entry::SpoilsDestroyed(record)])
        .map_err(|why| FieldErrors::one("", why))?;
    change(shop, |draft| draft.handed_in = Some(session));
    Ok(())
}
