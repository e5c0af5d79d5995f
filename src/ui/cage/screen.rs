//! The screen as a whole: what is there at the left, what to do at the right.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

use crate::custody::ContainerId;
use crate::people::Duty;
use crate::ui::kit::Panel;
use crate::ui::use_shop;

use super::card::card;
use super::containers::Containers;
use super::deed::{Deed, DeedForm};
use super::fill::Fill;
use super::gone::gone;
use super::loose::Loose;
use super::open::Open;
use super::seal::Sealing;
use super::slip::use_slips;

/// What is being done.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Work {
    Open,
    Fill(Option<ContainerId>),
    Seal(Option<ContainerId>),
    /// All that is known of one container, and what can be done with it.
    Look(ContainerId),
    Do(Deed, ContainerId),
    /// Spoils declared lost, or found again.
    Spoils(Deed),
}

#[function_component]
pub fn CageScreen() -> Html {
    let shop = use_shop();
    let work = use_state(|| Work::Open);
    // A form that is done takes its button away, and the keyboard with it.
    use_effect_with(*work, |_| keyboard_to_the_work());
    let slips = use_slips(&shop);
    let may = shop.desk().may(Duty::FillContainers);
    let onwork = {
        let work = work.clone();
        Callback::from(move |chosen| work.set(chosen))
    };
    let tab = |one: Work, name: &'static str| {
        let selected = std::mem::discriminant(&one) == std::mem::discriminant(&*work);
        let onclick = onwork.reform(move |_: MouseEvent| one);
        html! { <button type="button" role="tab" aria-selected={selected.to_string()} {onclick} data-work={name}>{ name }</button> }
    };
    let looked_at = match *work {
        Work::Look(container) | Work::Do(_, container) => Some(container),
        _ => None,
    };
    html! {
        <div class="cage">
            <header class="screen-head"><h1>{ "Cage" }</h1></header>
            <div class="cage-columns">
                <div class="cage-stock">
                    <Containers {may} {looked_at} onwork={onwork.clone()} print={slips.print.clone()} />
                    <Loose />
                    { gone(&shop, &onwork) }
                </div>
                <Panel title="Containers" class="cage-work">
                    if may {
                        <div class="tabs" role="tablist" aria-label="What to do">
                            { tab(Work::Open, "Open") }
                            { tab(Work::Fill(None), "Fill") }
                            { tab(Work::Seal(None), "Seal") }
                        </div>
                    } else if looked_at.is_none() {
                        <p>{ "Opening, filling and sealing containers is for custodians and supervisors." }</p>
                    }
                    <div id="cage-work" tabindex="-1">{ match *work {
                        Work::Look(container) => card(&shop, container, may, &onwork, &slips.print),
                        _ if !may => Html::default(),
                        Work::Open => html! { <Open onwork={onwork.clone()} /> },
                        Work::Fill(container) => html! { <Fill key={key(container)} {container} /> },
                        Work::Seal(container) => html! { <Sealing key={key(container)} {container} /> },
                        Work::Do(deed, container) => html! { <DeedForm key={format!("{deed:?} {container}")} {deed} container={Some(container)} onwork={onwork.clone()} /> },
                        Work::Spoils(deed) => html! { <DeedForm key={format!("{deed:?}")} {deed} container={None::<ContainerId>} onwork={onwork.clone()} /> },
                    } }</div>
                </Panel>
            </div>
            { slips.paper }
        </div>
    }
}

/// Unless it is somewhere already.
fn keyboard_to_the_work() {
    let document = gloo::utils::document();
    let nowhere = document.active_element() == document.body().map(Element::from);
    let work = document.get_element_by_id("cage-work");
    if let Some(work) = work.filter(|_| nowhere)
        && let Some(work) = work.dyn_ref::<HtmlElement>()
    {
        // Refused, it stays where it is.
        work.focus().unwrap_or_default();
    }
}

/// Another container starts another form.
fn key(container: Option<ContainerId>) -> String {
    container.map_or_else(String::new, |id| id.to_string())
}
