//! Step 4: gross and tare, beside what that much paper should weigh; and the list of containers
//! that this step shares with the count.

use yew::prelude::*;

use crate::book::State;
use crate::custody::{ContainerId, Mass, ScaleId};
use crate::desk::forms::{OFF_BECAUSE, Step};
use crate::people::Day;
use crate::ui::chart::weigh_check;
use crate::ui::kit::{Choice, Field, Form, Pick, use_form};
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
        let said = |field| {
            shop.desk()
                .destruction
                .found
                .get(&id)
                .is_some_and(|typed| typed.ticked(field))
        };
        let (mark, word) = match (is_done, props.step) {
            (false, _) => ("open", "to do"),
            (true, Step::Seals) if said("not-found") => ("spoiled", "not there"),
            (true, Step::Seals) if said("seal-broken") => ("spoiled", "broken"),
            (true, Step::Seals | Step::Count) if said("differs") => ("spoiled", "differs"),
            (true, Step::Weigh) if shop.desk().destruction.is_off(id, &shop.state()) => {
                ("spoiled", "differs")
            }
            (true, _) => ("good", "done"),
        };
        html! {
            <li key={id.to_string()} data-container-row={id.to_string()}>
                <button type="button" class="container-row" aria-expanded={is_shown.to_string()} onclick={to((!is_shown).then_some(id))}>
                    <b class="mono">{ id.to_string() }</b>
                    <span class={classes!("mark", mark)}>{ word }</span>
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
            <p>{ "Both on the same scale. The reading should lie within the band that its count gives." }</p>
            <EachContainer step={Step::Weigh} form={Callback::from(form)} />
        </>
    }
}

#[function_component]
fn WeighOne(props: &OfContainer) -> Html {
    let shop = use_shop();
    let id = props.container;
    let form = use_form(|| {
        let mut typed = shop
            .desk()
            .destruction
            .found
            .get(&id)
            .cloned()
            .unwrap_or_default();
        if typed.get("found-scale").is_empty() {
            let only = only_scale(&shop.state()).unwrap_or_default();
            typed.set("found-scale", only);
        }
        typed
    });
    use_weighed(&shop, id, &form);
    let decimal = Some(AttrValue::from("decimal"));
    let scales = scale_choices(&shop.state());
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name="found-gross" label="Gross, in grams" hint="Container and contents, like 13480.5" inputmode={decimal.clone()} />
                <Field form={form.clone()} name="found-tare" label="Tare, in grams" hint="The empty container" inputmode={decimal} />
                if !scales.is_empty() {
                    <Pick form={form.clone()} name="found-scale" label="Scale" hint="The one that was read" choices={scales} />
                }
            </div>
            if shop.desk().destruction.is_off(id, &shop.state()) {
                <p class="why-not" role="status">{ "Weigh it again. If it stays so, count it again (the step above can be recorded anew) before anything is destroyed. If it is destroyed all the same, everybody signs for the reason." }</p>
                <Field form={form} name={OFF_BECAUSE} label="Why its mass differs" hint="As far as you know; it stands in the statement and on the certificate" />
            }
            { masses(&shop, id) }
        </>
    }
}

/// The registered scales, to choose from.
pub fn scale_choices(state: &State) -> Vec<Choice> {
    let scales = state.scales.keys();
    scales
        .map(|id| (id.to_string().into(), id.to_string().into()))
        .collect()
}

/// The scale, where the works has just one.
pub fn only_scale(state: &State) -> Option<String> {
    let mut scales = state.scales.keys();
    scales
        .next()
        .filter(|_| scales.next().is_none())
        .map(ToString::to_string)
}

/// A word of warning when a scale's calibration is older than its interval.
pub fn calibration(state: &State, scale: Option<ScaleId>, today: Day) -> Html {
    match scale.and_then(|id| state.scales.get(&id)) {
        Some(scale) if scale.is_overdue(today) => html! {
            <p class="why-not" role="status" data-overdue="">{ format!("The calibration of {} counted until {}. Weigh on another scale, or have it calibrated; the certificate will say so.", scale.scale, scale.due()) }</p>
        },
        _ => Html::default(),
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
    let today = shop.now().local_day();
    let desk = shop.desk();
    let state = desk.state();
    let Ok(container) = state.container(id) else {
        return Html::default();
    };
    let scale = desk.destruction.scale(id, state);
    let expected = state.expected_mass(container, scale);
    let net = desk.destruction.net(id);
    let text = |mass: Option<Mass>| mass.map_or_else(|| "–".to_owned(), |mass| mass.to_string());
    let off = net.map_or_else(
        || "–".to_owned(),
        |net| format!("{:+.1} g", expected.difference(net) as f64 / 1000.0),
    );
    html! {
        <>
            { calibration(state, scale, today) }
            <dl class="masses">
                <div><dt>{ "Net" }</dt><dd data-net="">{ text(net) }</dd></div>
                <div><dt>{ "Expected of its count" }</dt><dd>{ expected.mass.to_string() }</dd></div>
                <div><dt>{ "Difference" }</dt><dd>{ off }</dd></div>
            </dl>
            { weigh_check(&expected, net) }
        </>
    }
}
