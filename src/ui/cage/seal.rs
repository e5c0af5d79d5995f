//! Sealing a container, by two people.

use yew::prelude::*;

use crate::book::Refusal;
use crate::custody::{ContainerId, Seal};
use crate::desk::Action;
use crate::desk::forms::{FieldErrors, Typed, container_sealed};
use crate::ui::kit::{ErrorSummary, Field, Pick, use_form};
use crate::ui::use_shop;

use super::containers::{open_choices, second_choices};

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
    let form = use_form(|| Typed::with([("seal-container", &*container)]));
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
                form.reset(Typed::default());
            }
        });
    }
    let (state, desk) = (shop.state(), shop.desk());
    let first = desk.signer_name().unwrap_or_default();
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <Pick form={form.clone()} name="seal-container" label="Container" choices={open_choices(&state)} />
            <div class="fields">
                <Field form={form.clone()} name="seal-number" label="Seal number" hint="As it stands on the seal" mono=true />
                <Field form={form.clone()} name="seal-again" label="Seal number again" hint="Read it once more" mono=true />
            </div>
            <Field form={form.clone()} name="seal-gross" label="Gross mass in grams" hint="If it was weighed, like 12480.5" inputmode={Some(AttrValue::from("decimal"))} />
            <p>{ format!("First person: {first}. The second looks at the seal too and signs with their own passphrase.") }</p>
            <div class="fields">
                <Pick form={form.clone()} name="seal-second" label="Second person" choices={second_choices(&state, desk.signed_in)} />
            </div>
            <button type="submit" class="primary" data-action="seal-container">{ "Seal and sign" }</button>
        </form>
    }
}
