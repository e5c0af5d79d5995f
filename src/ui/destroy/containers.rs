//! Step 2: which of the sealed containers.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::custody::{Container, ContainerId, Seal};
use crate::desk::forms::Typed;
use crate::desk::{Action, Screen};
use crate::ui::kit::Empty;
use crate::ui::{Shop, use_shop};

use super::session::change;

#[function_component]
pub fn Choose() -> Html {
    let shop = use_shop();
    let state = shop.state();
    let containers = state.cage.containers.values();
    let sealed: Vec<&Container> = containers
        .filter(|container| matches!(container.seal, Seal::Sealed(_)))
        .collect();
    if sealed.is_empty() {
        let go = shop.on(|_: MouseEvent| Action::Go(Screen::Cage));
        return html! {
            <Empty text="No container is sealed. Seal one in the Cage, by two people.">
                <button type="button" onclick={go}>{ "Go to the Cage" }</button>
            </Empty>
        };
    }
    html! {
        <fieldset id="containers">
            <legend>{ "Sealed containers to destroy in this session" }</legend>
            <ul class="choices">{ for sealed.iter().map(|container| choice(&shop, container)) }</ul>
            { begun_before(&shop) }
        </fieldset>
    }
}

/// A warning, not a refusal: whoever begins again gets another sample, and everybody is told.
fn begun_before(shop: &Shop) -> Html {
    let desk = shop.desk();
    let chosen: Vec<ContainerId> = desk.destruction.found.keys().copied().collect();
    let before = desk.state().begun_before(u64::MAX, &chosen);
    if before.is_empty() {
        return Html::default();
    }
    html! {
        <div class="caution" role="status" data-begun-before="">
            <p>{ "With any of these containers a session was begun before. The statement that everybody signs, and the certificate, will name it:" }</p>
            <ul>{ for before.iter().map(|one| html! { <li>{ format!("{}.", one.says().trim_end_matches('.')) }</li> }) }</ul>
        </div>
    }
}

fn choice(shop: &Shop, container: &Container) -> Html {
    let id = container.id;
    let chosen = shop.desk().destruction.found.contains_key(&id);
    let state = shop.state();
    let onchange = {
        let shop = shop.clone();
        Callback::from(move |event: Event| {
            let ticked = event.target_unchecked_into::<HtmlInputElement>().checked();
            change(&shop, |draft| choose(&mut draft.found, id, ticked));
        })
    };
    let sealed = container.sealing().map(|sealing| {
        let (by, second) = (state.name_of(sealing.by), state.name_of(sealing.second));
        format!(", sealed by {by} and {second} on {}", sealing.at.dated())
    });
    let field = format!("choose-{id}");
    html! {
        <li key={id.to_string()}>
            <label class="tick" for={field.clone()}>
                <input id={field} type="checkbox" checked={chosen} {onchange} data-container={id.to_string()} />
                <span><b class="mono">{ id.to_string() }</b>{ sealed }</span>
            </label>
        </li>
    }
}

/// What was typed for a container is dropped with it.
fn choose(
    found: &mut std::collections::BTreeMap<ContainerId, Typed>,
    id: ContainerId,
    ticked: bool,
) {
    if ticked {
        found.entry(id).or_default();
    } else {
        found.remove(&id);
    }
}
