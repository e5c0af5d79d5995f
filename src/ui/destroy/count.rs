//! The seal as found, and a blind count or a look for the drawn pieces, one container after the
//! other.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::sample_says;
use crate::custody::{ContainerId, Declared, Found, Sampled};
use crate::desk::forms::{Step, drawn_text};
use crate::export::sheets_and_notes;
use crate::ui::kit::{Field, Form, Tick, use_form};
use crate::ui::{Shop, use_shop};

use super::session::{change, told, with_draft};
use super::weigh::{EachContainer, OfContainer};

#[function_component]
pub fn Seals() -> Html {
    let form =
        |container: ContainerId| html! { <SealOne key={container.to_string()} {container} /> };
    html! { <EachContainer step={Step::Seals} form={Callback::from(form)} /> }
}

#[function_component]
pub fn Count() -> Html {
    let form =
        |container: ContainerId| html! { <CountOne key={container.to_string()} {container} /> };
    html! { <EachContainer step={Step::Count} form={Callback::from(form)} /> }
}

#[function_component]
fn SealOne(props: &OfContainer) -> Html {
    let shop = use_shop();
    let id = props.container;
    let form = use_container(&shop, Step::Seals, id);
    let differs = with_draft(&shop, |draft, at| {
        draft.container_right(Step::Seals, id, at).err()
    });
    let differs = differs.flatten();
    let differs = differs.as_ref().and_then(|errors| errors.of("found-seal"));
    let is_other = differs.is_some_and(|why| why.contains("but it was sealed"));
    let said = is_said(&shop, id, "differs");
    let missing = form.typed().ticked("not-found");
    let broken = !missing && form.typed().ticked("seal-broken");
    html! {
        <>
            if !missing { <Field form={form.clone()} name="found-seal" label="Seal number found" mono=true /> }
            if !missing { <Tick form={form.clone()} name="seal-broken" label="The seal is broken or gone" /> }
            if broken {
                { goes_on("Type its number as far as it can be read. The session goes on without the container: keep it locked away until two people have counted it again.") }
            }
            <Tick {form} name="not-found" label="The container is not there" />
            if missing {
                { goes_on("The session goes on without it. That it was not found stays in the book and on the certificate.") }
            }
            if is_other { { say_differs(&shop, id, "Record that the seal differs") } }
            if said { { goes_on("Will be recorded with this step: the seal differs. Keep the container locked away; the session goes on without it.") } }
        </>
    }
}

/// The fields of one container at a step, kept as they are typed.
#[hook]
fn use_container(shop: &Shop, step: Step, id: ContainerId) -> Form {
    let form = use_form(|| {
        let desk = shop.desk();
        desk.destruction.found.get(&id).cloned().unwrap_or_default()
    });
    let (kept, shown) = (shop.clone(), form.clone());
    use_effect_with(form.typed().clone(), move |typed| {
        change(&kept, |draft| draft.type_in(id, typed));
        let errors = with_draft(&kept, |draft, at| draft.container_right(step, id, at).err());
        shown.fail(told(errors.flatten(), typed));
    });
    form
}

#[function_component]
fn CountOne(props: &OfContainer) -> Html {
    let shop = use_shop();
    let id = props.container;
    let form = use_container(&shop, Step::Count, id);
    let declared = declared(&shop, id);
    if let Some(declared) = declared.filter(|declared| declared.drawn.is_some()) {
        return sample(&shop, &form, &declared);
    }
    let compare = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| uncover(&shop, id, &form))
    };
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name="found-sheets" label="Sheets counted" inputmode={Some(AttrValue::from("numeric"))} />
                <Field {form} name="found-notes" label="Notes counted" inputmode={Some(AttrValue::from("numeric"))} />
            </div>
            <button type="button" onclick={compare} data-action="compare">{ "Compare with what was declared" }</button>
            { compared(&shop, id) }
        </>
    }
}

fn declared(shop: &Shop, id: ContainerId) -> Option<Declared> {
    shop.state().session.as_ref()?.declared(id).cloned()
}

/// The pieces to look for, each ticked when it is found.
fn sample(shop: &Shop, form: &Form, declared: &Declared) -> Html {
    let drawn = declared.drawn.as_deref().unwrap_or_default();
    let found: Vec<usize> = form
        .typed()
        .get("found-pieces")
        .split(' ')
        .filter_map(|place| place.parse().ok())
        .collect();
    let row = |(place, item): (usize, &crate::custody::Item)| {
        let form = form.clone();
        let field = format!("piece-{}-{place}", declared.container);
        let onchange = Callback::from(move |event: Event| {
            let ticked = event.target_unchecked_into::<HtmlInputElement>().checked();
            form.set("found-pieces", drawn_text(form.typed(), place, ticked));
        });
        html! {
            <li key={place}><label class="tick" for={field.clone()}>
                <input id={field} type="checkbox" checked={found.contains(&place)} {onchange} data-piece={place.to_string()} />
                <span>{ item.to_string() }</span>
            </label></li>
        }
    };
    let missing = drawn.len().saturating_sub(found.len());
    let said = is_said(shop, declared.container, "differs");
    html! {
        <>
            <p>{ risk(shop, declared) }</p>
            <ul class="drawn-pieces">{ for drawn.iter().enumerate().map(row) }</ul>
            <p role="status">{ format!("{} of {} found.", found.len(), drawn.len()) }</p>
            if missing > 0 && !said { { say_differs(shop, declared.container, "Record that the others are not there") } }
            if said { { goes_on("Will be recorded with this step: pieces are missing. Keep the container locked away; the session goes on without it.") } }
        </>
    }
}

/// What the sample can show.
fn risk(shop: &Shop, declared: &Declared) -> String {
    let state = shop.state();
    let log = state.session.as_ref();
    let missing = log.and_then(|log| log.rules.count.missing()).unwrap_or(0);
    let pieces = declared.drawn.as_ref().map_or(0, Vec::len) as u32;
    let found = Found {
        container: declared.container,
        seal: declared.seal,
        sheets: declared.contents.sheets,
        notes: declared.contents.notes,
        gross: crate::custody::Mass::default(),
        tare: crate::custody::Mass::default(),
        scale: None,
        sample: None,
        off_because: None,
    };
    let says = sample_says(&found, Sampled { pieces, missing });
    format!(
        "Look for each of the drawn pieces and tick it when it is in your hand. {says}, if all are found."
    )
}

fn uncover(shop: &Shop, id: ContainerId, form: &Form) {
    let compared = with_draft(shop, |draft, at| {
        let mut draft = draft.clone();
        draft.compare(id, at).map(|()| draft)
    });
    match compared {
        Some(Ok(compared)) => {
            change(shop, |draft| *draft = compared);
            let errors = with_draft(shop, |draft, at| {
                draft.container_right(Step::Count, id, at).err()
            });
            form.fail(told(errors.flatten(), form.typed()));
        }
        Some(Err(errors)) => form.fail(errors),
        None => {}
    }
}

fn compared(shop: &Shop, id: ContainerId) -> Html {
    let Some(Some(contents)) = with_draft(shop, |draft, at| draft.declared(id, at)) else {
        return Html::default();
    };
    let right = with_draft(shop, |draft, at| {
        draft.container_right(Step::Count, id, at).is_ok()
    });
    let pieces = sheets_and_notes(contents.sheets.into(), contents.notes.into());
    let said = is_said(shop, id, "differs");
    let (class, verdict) = match (right, said) {
        (_, true) => (
            "differs",
            "Will be recorded with this step: the count differs. Keep the container locked away; the session goes on without it.",
        ),
        (Some(true), _) => ("agrees", "The counts agree."),
        _ => ("differs", "They differ. Count again."),
    };
    html! {
        <>
            <div class={classes!("compared", class)} role="status" data-compared={class}>
                <p>{ format!("Declared: {pieces}.") }</p><p><b>{ verdict }</b></p>
            </div>
            if right != Some(true) { { say_differs(shop, id, "It still differs: record that") } }
        </>
    }
}

fn is_said(shop: &Shop, id: ContainerId, field: &str) -> bool {
    let desk = shop.desk();
    let typed = desk.destruction.found.get(&id);
    typed.is_some_and(|typed| typed.ticked(field))
}

fn say_differs(shop: &Shop, id: ContainerId, label: &'static str) -> Html {
    let shop = shop.clone();
    let onclick = Callback::from(move |_: MouseEvent| change(&shop, |draft| draft.say_differs(id)));
    html! { <button type="button" class="danger" {onclick} data-action="say-differs">{ label }</button> }
}

fn goes_on(text: &'static str) -> Html {
    html! { <p class="why-not" role="status">{ text }</p> }
}
