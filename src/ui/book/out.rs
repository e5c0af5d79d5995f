//! The head on its way out: shown, printed, saved, or read out to someone.

use yew::prelude::*;

use crate::book::{Copied, CopyTaken, Entry, Head, Way};
use crate::desk::forms::{FieldErrors, TOLD_TO, Typed, head_told};
use crate::desk::{Action, Download};
use crate::export::head_file;
use crate::people::Duty;
use crate::ui::kit::{ErrorSummary, Field, Form, Panel, count, use_form};
use crate::ui::{Shop, use_shop};

use super::heads::{head_code, head_qr};

/// Shows the head and notes in the book how it left.
#[function_component]
pub fn HeadOutward() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let said = use_state(String::new);
    let desk = shop.desk();
    let Some(head) = desk.book.whole_head() else {
        return Html::default();
    };
    let on = |act: fn(&Shop, Head) -> Result<String, String>| {
        let (shop, said) = (shop.clone(), said.clone());
        Callback::from(move |_: MouseEvent| said.set(act(&shop, head).unwrap_or_else(|why| why)))
    };
    let ontold = {
        let (shop, form, said) = (shop.clone(), form.clone(), said.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match told(&shop, &form, head) {
                Ok(text) => said.set(text),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let (may, saving) = (desk.may(Duty::NoteCopy), desk.is_saving());
    let still = !may || saving;
    let names = desk
        .state()
        .people
        .values()
        .map(|person| html! { <option value={person.name.to_string()} /> });
    html! {
        <Panel title="Let the head out" lead="Whoever keeps it can tell later whether any line up to here was changed or dropped.">
            { head_code(&head) }
            <div class="head-parts">
                { head_qr(&head) }
                <p class="full-head mono">{ head.hash.to_string() }</p>
            </div>
            <div class="ways-out no-print">
                <button type="button" class="primary" disabled={still} onclick={on(printed)} data-action="print-head">{ "Print" }</button>
                <button type="button" disabled={still} onclick={on(saved)} data-action="save-head">{ "Save as a file" }</button>
            </div>
            <form class="told no-print" onsubmit={ontold} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <div class="told-to">
                    <Field {form} name={TOLD_TO} label="Or read the code out to" hint="Who wrote it down, in this works or elsewhere" list="people-names" />
                    <button type="submit" disabled={still} data-action="tell-head">{ "Note that it was told" }</button>
                </div>
                <datalist id="people-names">{ for names }</datalist>
            </form>
            <p class="no-print" role="status" data-head-out="">{ (*said).clone() }</p>
        </Panel>
    }
}

fn printed(shop: &Shop, head: Head) -> Result<String, String> {
    note(shop, head, Way::Print)?;
    shop.act(Action::Print);
    Ok(noted(head, "printed"))
}

fn saved(shop: &Shop, head: Head) -> Result<String, String> {
    let file = head_file(&shop.desk().book, &shop.now());
    let file = file.ok_or("The book is not open. Reload the page.")?;
    let (name, text) = file.map_err(|why| format!("The file cannot be written: {why}."))?;
    note(shop, head, Way::File)?;
    shop.act(Action::Save(Download {
        name,
        mime: "application/json",
        bytes: text.into_bytes(),
    }));
    Ok(noted(head, "saved as a file"))
}

fn note(shop: &Shop, head: Head, way: Way) -> Result<(), String> {
    let copy = CopyTaken {
        how: Some(way),
        ..CopyTaken::new(Copied::Head, head.hash)
    };
    let entry = Entry::CopyTaken(copy);
    shop.record(vec![entry]).map_err(|why| why.to_string())
}

fn told(shop: &Shop, form: &Form, head: Head) -> Result<String, FieldErrors> {
    let entry = head_told(form.typed(), head.hash)?;
    let name = form.typed().get(TOLD_TO).trim().to_owned();
    shop.record(vec![entry])
        .map_err(|why| FieldErrors::one(TOLD_TO, why))?;
    form.reset(Typed::default());
    Ok(noted(head, &format!("told to {name}")))
}

fn noted(head: Head, way: &str) -> String {
    let (note, last) = (count(head.entries), count(head.entries - 1));
    format!("Noted in entry {note}: the head of entry {last} was {way}.")
}
