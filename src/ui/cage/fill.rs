//! Filling a container.

use yew::prelude::*;

use crate::custody::ContainerId;
use crate::desk::forms::{FieldErrors, Typed, container_filled};
use crate::ui::kit::{Choice, ErrorSummary, Pick, use_form};
use crate::ui::use_shop;

use super::containers::open_choices;
use super::text::Lines;

#[derive(Properties, PartialEq)]
pub struct FillProps {
    pub container: Option<ContainerId>,
}

const WHAT: [(&str, &str); 4] = [
    ("all", "All loose spoils of a lot"),
    ("sheets", "Only its spoiled sheets"),
    ("notes", "Only its notes"),
    ("list", "What a list says (typed, pasted or scanned)"),
];

#[function_component]
pub fn Fill(props: &FillProps) -> Html {
    let shop = use_shop();
    let start = start(
        props.container,
        shop.desk().bench.lot.map(|lot| lot.to_string()),
    );
    let form = use_form(|| start.clone());
    let onsubmit = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let entries = container_filled(form.typed(), &shop.state(), &[]);
            let result = entries.and_then(|entries| {
                shop.record(entries)
                    .map_err(|why| FieldErrors::one("fill-container", why))
            });
            match result {
                Ok(()) => form.reset(start.clone()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let state = shop.state();
    let lots: Vec<Choice> = state
        .lots
        .keys()
        .map(|lot| (lot.to_string().into(), lot.to_string().into()))
        .collect();
    let what: Vec<Choice> = WHAT
        .map(|(value, shown)| (value.into(), shown.into()))
        .into();
    let list = form.text("fill-what") == "list";
    let lot_hint = if list {
        "For bare sheet numbers in the list"
    } else {
        "Whose loose spoils go in"
    };
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <Pick form={form.clone()} name="fill-container" label="Container" hint="An open one" choices={open_choices(&state)} />
            <Pick form={form.clone()} name="fill-what" label="What goes in" choices={what} />
            <Pick form={form.clone()} name="fill-lot" label="Lot" hint={lot_hint} choices={lots} />
            if list {
                <Lines form={form.clone()} name="fill-list" label="Serials and sheets"
                    hint="Parted by lines, commas, semicolons or spaces. A sheet as LOT/number, or its bare number." />
            }
            <button type="submit" class="primary" data-action="fill-container">{ "Put them in" }</button>
        </form>
    }
}

fn start(container: Option<ContainerId>, lot: Option<String>) -> Typed {
    let container = container.map_or_else(String::new, |id| id.to_string());
    Typed::with([
        ("fill-container", &*container),
        ("fill-lot", &lot.unwrap_or_default()),
        ("fill-what", "all"),
    ])
}
