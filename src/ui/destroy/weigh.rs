//! Step 4: gross and tare, beside what that much paper should weigh. Also the list of containers
//! that this step and the count share.

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

/// The chosen containers, one of them open: the one picked, else the first that is not done.
pub fn each_container(
    shop: &Shop,
    open: &UseStateHandle<Option<ContainerId>>,
    done: impl Fn(ContainerId) -> bool,
    form: impl Fn(ContainerId) -> Html,
) -> Html {
    let ids: Vec<ContainerId> = shop.desk().destruction.found.keys().copied().collect();
    let first_open = ids.iter().copied().find(|id| !done(*id));
    let shown = open.filter(|id| ids.contains(id)).or(first_open);
    let row = |id: &ContainerId| {
        let (id, is_done) = (*id, done(*id));
        let is_shown = shown == Some(id);
        let onclick = {
            let open = open.clone();
            Callback::from(move |_: MouseEvent| open.set((!is_shown).then_some(id)))
        };
        html! {
            <li key={id.to_string()} data-container-row={id.to_string()}>
                <button type="button" class="container-row" aria-expanded={is_shown.to_string()} {onclick}>
                    <b class="mono">{ id.to_string() }</b>
                    <span class={classes!("mark", if is_done { "good" } else { "open" })}>{ if is_done { "done" } else { "to do" } }</span>
                </button>
                if is_shown { { form(id) } }
            </li>
        }
    };
    html! { <ul class="container-rows">{ for ids.iter().map(row) }</ul> }
}

#[function_component]
pub fn Weigh() -> Html {
    let shop = use_shop();
    let open = use_state(|| None::<ContainerId>);
    let done = |id| {
        with_draft(&shop, |draft, at| {
            draft.container_right(Step::Weigh, id, at).is_ok()
        }) == Some(true)
    };
    html! {
        <>
            <p>{ "Weigh each container full, and again empty. The paper in it should weigh about as much as expected; ink makes it heavier by a few per cent." }</p>
            { each_container(&shop, &open, done, |container| html! { <WeighOne key={container.to_string()} {container} /> }) }
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
        <div class="count-one">
            <div class="fields">
                <Field form={form.clone()} name="found-gross" label="Gross, in grams" hint="Container and contents, like 13480.5" inputmode={decimal.clone()} />
                <Field form={form.clone()} name="found-tare" label="Tare, in grams" hint="The empty container" inputmode={decimal} />
                { masses(&shop, id) }
            </div>
        </div>
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
    html! {
        <dl class="masses">
            <div><dt>{ "Net" }</dt><dd data-net="">{ text(net) }</dd></div>
            <div><dt>{ "Expected of bare paper" }</dt><dd>{ expected.to_string() }</dd></div>
            <div><dt>{ "Difference" }</dt><dd>{ net.map_or_else(|| "–".to_owned(), |net| difference(net, expected)) }</dd></div>
        </dl>
    }
}

/// "+12.0 g (3.1 %)".
fn difference(net: Mass, expected: Mass) -> String {
    let (sign, off) = match net.less(expected) {
        Some(more) => ("+", more),
        None => ("−", expected.less(net).unwrap_or_default()),
    };
    let share = off.milligrams() as f64 * 100.0 / expected.milligrams().max(1) as f64;
    format!("{sign}{off} ({share:.1} %)")
}
