//! Step 4: gross and tare, beside what that much paper should weigh; and the list of containers
//! that this step shares with the count.

use yew::prelude::*;

use crate::custody::{ContainerId, Mass};
use crate::desk::forms::Step;
use crate::export::expected_mass;
use crate::ui::kit::{Field, Form, use_form};
use crate::ui::{Shop, use_shop};

use super::session::{change, told, with_draft};

#[derive(Properties, PartialEq)]
pub struct OfContainer {
    pub container: ContainerId,
}

#[derive(Properties, PartialEq)]
pub struct EachProps {
    /// The step that each container goes through.
    pub step: Step,
    pub form: Callback<ContainerId, Html>,
}

/// The chosen containers, one of them open. It stays open until the next one is asked for, so
/// that nothing closes under the hands of whoever is typing.
#[function_component]
pub fn EachContainer(props: &EachProps) -> Html {
    let shop = use_shop();
    let ids = shop.desk().destruction.containers(&shop.state());
    let done = |id| {
        let right = with_draft(&shop, |draft, at| {
            draft.container_right(props.step, id, at).is_ok()
        });
        right == Some(true)
    };
    let first_open = || ids.iter().copied().find(|id| !done(*id));
    let open = use_state(first_open);
    let to = |id: Option<ContainerId>| {
        let open = open.clone();
        Callback::from(move |_: MouseEvent| open.set(id))
    };
    let row = |id: &ContainerId| {
        let (id, is_done) = (*id, done(*id));
        let is_shown = *open == Some(id);
        let next = first_open().filter(|_| is_done);
        html! {
            <li key={id.to_string()} data-container-row={id.to_string()}>
                <button type="button" class="container-row" aria-expanded={is_shown.to_string()} onclick={to((!is_shown).then_some(id))}>
                    <b class="mono">{ id.to_string() }</b>
                    <span class={classes!("mark", if is_done { "good" } else { "open" })}>{ if is_done { "done" } else { "to do" } }</span>
                </button>
                if is_shown {
                    <div class="count-one">
                        { props.form.emit(id) }
                        if let Some(next) = next {
                            <button type="button" onclick={to(Some(next))} data-action="next-container">{ format!("Go on with {next}") }</button>
                        }
                    </div>
                }
            </li>
        }
    };
    html! { <ul class="container-rows">{ for ids.iter().map(row) }</ul> }
}

#[function_component]
pub fn Weigh() -> Html {
    let form =
        |container: ContainerId| html! { <WeighOne key={container.to_string()} {container} /> };
    html! {
        <>
            <p>{ "The paper in it should weigh about as much as expected; ink makes it heavier by a few per cent." }</p>
            <EachContainer step={Step::Weigh} form={Callback::from(form)} />
        </>
    }
}

#[function_component]
fn WeighOne(props: &OfContainer) -> Html {
    let shop = use_shop();
    let id = props.container;
    let form = use_form(|| {
        shop.desk()
            .destruction
            .found
            .get(&id)
            .cloned()
            .unwrap_or_default()
    });
    use_weighed(&shop, id, &form);
    let decimal = Some(AttrValue::from("decimal"));
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name="found-gross" label="Gross, in grams" hint="Container and contents, like 13480.5" inputmode={decimal.clone()} />
                <Field form={form.clone()} name="found-tare" label="Tare, in grams" hint="The empty container" inputmode={decimal} />
            </div>
            { masses(&shop, id) }
        </>
    }
}

#[hook]
fn use_weighed(shop: &Shop, id: ContainerId, form: &Form) {
    let (shop, shown) = (shop.clone(), form.clone());
    use_effect_with(form.typed().clone(), move |typed| {
        change(&shop, |draft| draft.weigh(id, typed));
        let errors = with_draft(&shop, |draft, at| {
            draft.container_right(Step::Weigh, id, at).err()
        });
        shown.fail(told(errors.flatten(), typed));
    });
}

fn masses(shop: &Shop, id: ContainerId) -> Html {
    let desk = shop.desk();
    let Ok(container) = desk.state().container(id) else {
        return Html::default();
    };
    let expected = expected_mass(desk.state(), container);
    let net = desk.destruction.net(id);
    let text = |mass: Option<Mass>| mass.map_or_else(|| "–".to_owned(), |mass| mass.to_string());
    let off = net.map(|net| share_off(net, expected));
    html! {
        <>
            <dl class="masses">
                <div><dt>{ "Net" }</dt><dd data-net="">{ text(net) }</dd></div>
                <div><dt>{ "Expected of bare paper" }</dt><dd>{ expected.to_string() }</dd></div>
                <div><dt>{ "Difference" }</dt><dd>{ off.map_or_else(|| "–".to_owned(), |off| format!("{off:+.1} %")) }</dd></div>
            </dl>
            if off.is_some_and(|off| off.abs() > FAR_OFF) {
                <p class="why-not" role="status">{ "That is far from what the paper weighs. Weigh again; if it stays so, count again before anything is destroyed." }</p>
            }
        </>
    }
}

/// From this difference on, in per cent, the scale or the count is doubted (common practice, no
/// source): ink adds less.
const FAR_OFF: f64 = 10.0;

/// Net against expected, in per cent of the expected.
fn share_off(net: Mass, expected: Mass) -> f64 {
    let (net, expected) = (net.milligrams() as f64, expected.milligrams().max(1) as f64);
    (net - expected) * 100.0 / expected
}
