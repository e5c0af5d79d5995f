//! Sealing a container, by two people.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::{Refusal, State};
use crate::custody::{ContainerId, Seal};
use crate::desk::forms::{FieldErrors, SEAL_MASSES, Typed, container_sealed};
use crate::desk::{Action, Burst};
use crate::ui::destroy::only_scale;
use crate::ui::kit::{ErrorSummary, Field, Form, Pick, use_form};
use crate::ui::{Shop, use_shop};

use super::containers::{open_choices, second_choices};
use super::masses::mass_fields;

#[derive(Properties, PartialEq)]
pub struct SealingProps {
    pub container: Option<ContainerId>,
}

#[function_component]
pub fn Sealing(props: &SealingProps) -> Html {
    let shop = use_shop();
    let container = props
        .container
        .map_or_else(String::new, |id| id.to_string());
    let form = use_form(|| start(&shop, &container));
    let burst = use_mut_ref(Burst::default);
    let onsubmit = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let first = shop.desk().signed_in;
            let first = first.ok_or_else(|| FieldErrors::one("", Refusal::NobodySignedIn));
            let entry =
                first.and_then(|first| container_sealed(form.typed(), &shop.state(), first));
            let laid_out = entry.and_then(|entry| {
                shop.try_act(Action::BeginSigning(Box::new(entry)))
                    .map_err(|why| FieldErrors::one("seal-container", why))
            });
            form.fail(laid_out.err().unwrap_or_default());
        })
    };
    {
        // What is typed stays until the container is sealed.
        let (shop, form) = (shop.clone(), form.clone());
        let lines = shop.desk().book.len();
        use_effect_with(lines, move |_| {
            let container = form.typed().get("seal-container").parse();
            let sealed = container.is_ok_and(|id| {
                let state = shop.state();
                state
                    .container(id)
                    .is_ok_and(|known| known.seal != Seal::Open)
            });
            if sealed {
                form.reset(start(&shop, ""));
            }
        });
    }
    let (state, desk) = (shop.state(), shop.desk());
    let container = form.typed().get("seal-container").parse().ok();
    let container = container.and_then(|id: ContainerId| state.cage.containers.get(&id));
    let first = desk.signer_name().unwrap_or_default();
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <Pick form={form.clone()} name="seal-container" label="Container" choices={open_choices(&state)} />
            { seal_fields(&form, &burst, &state) }
            { mass_fields(&shop, &form, SEAL_MASSES, container) }
            <p>{ format!("First person: {first}. The second looks at the seal too and signs.") }</p>
            <div class="fields">
                <Pick form={form.clone()} name="seal-second" label="Second person" choices={second_choices(&state, desk.signed_in)} />
            </div>
            <button type="submit" class="primary" data-action="seal-container">{ "Seal and sign" }</button>
        </form>
    }
}

/// A fresh form; the scale is filled in where the works has just one.
fn start(shop: &Shop, container: &str) -> Typed {
    let scale = only_scale(&shop.state()).unwrap_or_default();
    Typed::with([("seal-container", container), (SEAL_MASSES.scale, &scale)])
}

/// The number of a seal that is being put on, typed twice or scanned once.
pub fn seal_fields(form: &Form, burst: &Rc<RefCell<Burst>>, state: &State) -> Html {
    let shape = state.rules.seal_form.as_ref();
    let hint = match shape {
        Some(shape) => format!("As it stands on the seal: {shape}"),
        None => "As it stands on the seal".to_owned(),
    };
    let number = form.typed().get("seal-number").trim();
    let scanned = !number.is_empty() && form.typed().get("seal-scanned") == number;
    let again = match scanned {
        true => "Scanned, so once is enough",
        false => "Read it once more, or scan it instead",
    };
    let onkeydown = {
        let (form, burst) = (form.clone(), burst.clone());
        Callback::from(move |event: KeyboardEvent| watch(&event, &form, &burst))
    };
    html! {
        <div class="fields" {onkeydown}>
            <Field form={form.clone()} name="seal-number" label="Seal number" {hint} mono=true />
            <Field form={form.clone()} name="seal-again" label="Seal number again" hint={again} mono=true />
        </div>
    }
}

/// Notes a scanner's number. Its Enter ends the scan and does not send the form.
fn watch(event: &KeyboardEvent, form: &Form, burst: &RefCell<Burst>) {
    let field: Option<HtmlInputElement> = event.target_dyn_into();
    let Some(field) = field.filter(|field| field.id() == "seal-number") else {
        return;
    };
    let (at, key) = (event.time_stamp(), event.key());
    if key.chars().count() == 1 {
        burst.borrow_mut().key(at);
    } else if key == "Enter" && burst.borrow().ends_scan(at, field.value().chars().count()) {
        event.prevent_default();
        form.set("seal-scanned", field.value().trim().to_owned());
    }
}
