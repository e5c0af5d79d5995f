//! Opening a container.

use yew::prelude::*;

use crate::desk::forms::{FieldErrors, Typed, container_opened};
use crate::ui::kit::{ErrorSummary, Field, use_form};
use crate::ui::use_shop;

use super::screen::Work;

#[derive(Properties, PartialEq)]
pub struct OpenProps {
    pub onwork: Callback<Work>,
}

#[function_component]
pub fn Open(props: &OpenProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let onsubmit = {
        let (form, onwork) = (form.clone(), props.onwork.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let container = form.text("container").trim().parse().ok();
            let entry = container_opened(form.typed(), &shop.state());
            let result = entry.and_then(|entry| {
                shop.record(vec![entry])
                    .map_err(|why| FieldErrors::one("container", why))
            });
            match result {
                Ok(()) => onwork.emit(Work::Fill(container)),
                Err(errors) => form.fail(errors),
            }
        })
    };
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <Field form={form.clone()} name="container" label="Container" hint="The number painted on it, like C-12" mono=true />
            <Field form={form.clone()} name="container-place" label="Where it stands" hint="May be empty, like \"cage, shelf 3\"" />
            <button type="submit" class="primary" data-action="open-container">{ "Open the container" }</button>
        </form>
    }
}
