//! What the weigh check knows: the scales with their calibration, and the paper of each product.

use yew::prelude::*;

use crate::book::State;
use crate::custody::{Mass, Paper, Scale};
use crate::desk::forms::scale::{paper, paper_field, paper_start, scale, scale_field, scale_start};
use crate::people::Day;
use crate::sheet::ProductId;
use crate::ui::kit::{Empty, ErrorSummary, Form, Panel, use_form};
use crate::ui::{Shop, use_shop};

use super::input::{Inputs, products, use_only_product};
use super::submit::{Submit, Supervised, use_submit};

pub fn scales_tab(shop: &Shop) -> Html {
    let today = shop.now().local_day();
    let state = shop.state();
    html! {
        <>
            <Panel title="Scales">{ scales(&state, today) }</Panel>
            <Panel title="Paper">{ papers(&state) }</Panel>
            <Supervised what="Registering a scale or a paper"><ScalesForms /></Supervised>
        </>
    }
}

fn scales(state: &State, today: Day) -> Html {
    if state.scales.is_empty() {
        return html! { <Empty text="No scale is registered yet. Without one a weighing cannot tell whether the count is right." /> };
    }
    let row = |scale: &Scale| {
        let due = scale.due();
        html! {
            <tr key={scale.scale.to_string()} data-row={scale.scale.to_string()}>
                <th scope="row" class="mono">{ scale.scale.to_string() }</th>
                <td class="num">{ fine(scale.resolution) }</td>
                <td class="num">{ fine(scale.repeatability) }</td>
                <td class="num">{ scale.error.map_or_else(|| "not known".to_owned(), fine) }</td>
                <td>{ scale.calibrated.to_string() }</td>
                <td>{ due.to_string() }if scale.is_overdue(today) { <b class="why-not" data-overdue="">{ " too old" }</b> }</td>
            </tr>
        }
    };
    html! {
        <div class="table-frame">
            <table class="data">
                <caption class="sr-only">{ "Scales" }</caption>
                <thead><tr>
                    <th scope="col">{ "Scale" }</th><th scope="col" class="num">{ "Resolution" }</th>
                    <th scope="col" class="num">{ "Repeatability" }</th><th scope="col" class="num">{ "Largest error" }</th>
                    <th scope="col">{ "Calibrated" }</th><th scope="col">{ "Counts until" }</th>
                </tr></thead>
                <tbody>{ for state.scales.values().map(row) }</tbody>
            </table>
        </div>
    }
}

/// To the milligram: a scale may be that fine.
fn fine(mass: Mass) -> String {
    format!("{} g", mass.milligrams() as f64 / 1000.0)
}

fn papers(state: &State) -> Html {
    if state.papers.is_empty() {
        return html! { <Empty text="No paper is described yet. Without it the weigh check takes the bare grammage and cannot tell how far a reading may lie from it." /> };
    }
    let g = |figure: u32| f64::from(figure) / 1000.0;
    let row = |(id, paper): (&ProductId, &Paper)| {
        let product = state.products.get(id);
        let nominal = product.map_or(0, |product| product.layout.spec().grammage.mg_per_m2());
        html! {
            <tr key={id.to_string()} data-row={id.to_string()}>
                <th scope="row" class="mono">{ id.to_string() }</th>
                <td class="num">{ format!("{} ± {}", g(nominal), g(paper.bias)) }</td>
                <td class="num">{ g(paper.spread).to_string() }</td>
                <td class="num">{ format!("{} ± {}", g(paper.ink), g(paper.ink_bias)) }</td>
            </tr>
        }
    };
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ "All in g/m²" }</caption>
                <thead><tr>
                    <th scope="col">{ "Product" }</th><th scope="col" class="num">{ "Mean grammage" }</th>
                    <th scope="col" class="num">{ "Sheet to sheet" }</th><th scope="col" class="num">{ "Ink" }</th>
                </tr></thead>
                <tbody>{ for state.papers.iter().map(row) }</tbody>
            </table>
        </div>
    }
}

#[function_component]
fn ScalesForms() -> Html {
    let shop = use_shop();
    let scale_form = use_form(|| scale_start(&shop.state()));
    let of_scale = use_submit(&scale_form, scale, scale_field, scale_start);
    let paper_form = use_form(|| paper_start(&shop.state()));
    use_only_product(&paper_form, "paper-product");
    let of_paper = use_submit(&paper_form, paper, paper_field, paper_start);
    html! {
        <>
            { scale_fields(&scale_form, &of_scale) }
            { paper_fields(&paper_form, &of_paper, &shop.state()) }
        </>
    }
}

fn scale_fields(form: &Form, submit: &Submit) -> Html {
    let inputs = Inputs::of(form);
    html! {
        <Panel title="Register a scale" lead="Register it again after each calibration, under the same name: what was weighed before keeps the figures of its day.">
            <form class="form-fields" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="scale">
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    { inputs.code("scale-id", "Scale", "As its plate names it, like W-2") }
                    { inputs.decimal("scale-resolution", "Resolution", "The step of its display, in grams, like 0.5") }
                    { inputs.decimal("scale-repeatability", "Repeatability", "Standard deviation of weighing one load again and again, in grams") }
                    { inputs.decimal("scale-error", "Largest error", "That its calibration leaves, either way, in grams; empty when not known") }
                    { inputs.text("scale-calibrated", "Last calibrated", "Like 2026-11-25") }
                    { inputs.number("scale-interval", "Calibrate every", "Days, 1 to 3650") }
                </div>
                { submit.button("Register the scale", "set-scale") }
            </form>
        </Panel>
    }
}

fn paper_fields(form: &Form, submit: &Submit, state: &State) -> Html {
    let inputs = Inputs::of(form);
    html! {
        <Panel title="Describe a paper" lead="From the paper's data sheet and the works' own weighings, in g/m². Describe it again for another delivery.">
            <form class="form-fields" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="paper">
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    { inputs.pick("paper-product", "Product", "Printed on this paper", products(state)) }
                    { inputs.decimal("paper-bias", "Grammage, either way", "How far its mean may lie from the nominal, like 1.5") }
                    { inputs.decimal("paper-spread", "Sheet to sheet", "Standard deviation, like 1.2") }
                    { inputs.decimal("paper-ink", "Ink", "What print adds on both sides together, like 3") }
                    { inputs.decimal("paper-ink-bias", "Ink, either way", "How far that may be off, like 1.5") }
                </div>
                { submit.button("Describe the paper", "set-paper") }
            </form>
        </Panel>
    }
}
