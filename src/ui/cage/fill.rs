//! Filling a container.

use yew::prelude::*;

use crate::custody::{ContainerId, Item};
use crate::desk::forms::{FieldErrors, LOT_ANY, Typed, container_filled, scan_spoil};
use crate::ui::kit::{Choice, ErrorSummary, Field, Pick, count, use_form};
use crate::ui::use_shop;

use super::containers::open_choices;
use super::text::Lines;

#[derive(Properties, PartialEq)]
pub struct FillProps {
    pub container: Option<ContainerId>,
}

const WHAT: [(&str, &str); 6] = [
    ("all", "All loose spoils of a lot"),
    ("sheets", "Only its spoiled sheets"),
    ("notes", "Only its notes"),
    ("range", "What is loose of a range of its sheets"),
    ("scan", "Piece by piece, as scanned"),
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
    let scanned = use_state(Vec::<Item>::new);
    let heard = use_state(|| None::<Heard>);
    let onscan = {
        let (shop, form) = (shop.clone(), form.clone());
        let (scanned, heard) = (scanned.clone(), heard.clone());
        Callback::from(move |event: KeyboardEvent| {
            if event.key() != "Enter" {
                return;
            }
            // The Enter of a scanner ends a piece and does not send the form.
            event.prevent_default();
            let text = form.typed().get("fill-scan").to_owned();
            let lot = form.typed().get("fill-lot").parse().ok();
            let piece = scan_spoil(&text, lot, &shop.state(), &scanned);
            if let Ok(item) = &piece {
                scanned.set([&scanned[..], &[*item]].concat());
            }
            // A refusal names what was scanned, so that the next piece can be scanned at once.
            form.set("fill-scan", String::new());
            heard.set(Some(piece));
        })
    };
    let onsubmit = {
        let (shop, form, start) = (shop.clone(), form.clone(), start.clone());
        let (scanned, heard) = (scanned.clone(), heard.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let entries = container_filled(form.typed(), &shop.state(), &scanned);
            let result = entries.and_then(|entries| {
                shop.record(entries)
                    .map_err(|why| FieldErrors::one("fill-container", why))
            });
            match result {
                Ok(()) => {
                    form.reset(start.clone());
                    scanned.set(Vec::new());
                    heard.set(None);
                }
                Err(errors) => form.fail(errors),
            }
        })
    };
    let state = shop.state();
    let lots = state.lots.keys();
    let mut lots: Vec<Choice> = lots
        .map(|lot| (lot.to_string().into(), lot.to_string().into()))
        .collect();
    let what: Vec<Choice> = WHAT
        .map(|(value, shown)| (value.into(), shown.into()))
        .into();
    let way = form.text("fill-what");
    let lot_hint = match &*way {
        "list" | "scan" => "For bare sheet numbers; a lot may be named with each piece too",
        "range" => "Whose sheets",
        _ => "Whose loose spoils go in",
    };
    if !matches!(&*way, "list" | "scan" | "range") {
        lots.push((LOT_ANY.into(), "every lot".into()));
    }
    let number = |name: &'static str, label: &'static str| html! { <Field form={form.clone()} {name} {label} hint="A sheet number" inputmode={Some(AttrValue::from("numeric"))} /> };
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <Pick form={form.clone()} name="fill-container" label="Container" hint="An open one" choices={open_choices(&state)} />
            <Pick form={form.clone()} name="fill-what" label="What goes in" choices={what} />
            <Pick form={form.clone()} name="fill-lot" label="Lot" hint={lot_hint} choices={lots} />
            if way == "range" {
                <div class="fields">{ number("fill-from", "From sheet") }{ number("fill-to", "To sheet") }</div>
            }
            if way == "scan" {
                <div onkeydown={onscan}>
                    <Field form={form.clone()} name="fill-scan" label="Scan" hint="Each piece is taken or refused at once; Enter ends one" mono=true />
                </div>
                { running(&heard, &scanned) }
            }
            if way == "list" {
                <Lines form={form.clone()} name="fill-list" label="Serials and sheets"
                    hint="Parted by lines, commas, semicolons or spaces. A sheet as LOT/number, or its bare number." />
            }
            <button type="submit" class="primary" data-action="fill-container">{ "Put them in" }</button>
        </form>
    }
}

/// What became of the last piece.
type Heard = Result<Item, String>;

/// The last piece taken or refused, and all that was taken so far.
fn running(heard: &Option<Heard>, scanned: &UseStateHandle<Vec<Item>>) -> Html {
    let said = match heard {
        None => Html::default(),
        Some(Ok(item)) => {
            html! { <p class="taken" role="status" data-scan="taken">{ format!("Taken: {item}") }</p> }
        }
        Some(Err(why)) => {
            html! { <p class="refused" role="alert" data-scan="refused">{ format!("Refused: {why}") }</p> }
        }
    };
    let take_back = {
        let scanned = scanned.clone();
        Callback::from(move |_: MouseEvent| {
            let mut fewer = (*scanned).clone();
            fewer.pop();
            scanned.set(fewer);
        })
    };
    html! {
        <div class="running">
            { said }
            <p><b class="num" data-figure="scanned">{ count(scanned.len() as u64) }</b>{ " scanned, not recorded yet" }
                if !scanned.is_empty() { { " " }<button type="button" onclick={take_back} data-action="unscan">{ "Take the last one back" }</button> }</p>
            <ul class="pieces mono">{ for scanned.iter().rev().map(|item| html! { <li key={item.to_string()}>{ item.to_string() }</li> }) }</ul>
        </div>
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
