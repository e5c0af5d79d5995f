//! The form that opens a lot, beside the serials it would print.

use yew::prelude::*;

use crate::desk::forms::FieldErrors;
use crate::desk::forms::lot::{BundleShown, Corner, LotPlan, lot, lot_field, lot_plan, lot_start};
use crate::desk::forms::numbering::{
    ARRANGEMENTS, DIRECTIONS, NumberingFields, OF_NEW_LOT, RunFields,
};
use crate::ui::kit::{ErrorSummary, Form, Panel, Tick, count, number_of, use_form};
use crate::ui::use_shop;

use super::input::{Inputs, choices, products, use_only_product};
use super::serial_fields::serial_fields;
use super::submit::use_submit;

#[function_component]
pub fn LotForm() -> Html {
    let shop = use_shop();
    let form = use_form(|| lot_start(&shop.state()));
    use_only_product(&form, "lot-product");
    let submit = use_submit(&form, lot, lot_field, lot_start);
    let plan = lot_plan(form.typed(), &shop.state());
    let inputs = Inputs::of(&form);
    let numbered = form.typed().ticked("lot-numbered");
    html! {
        <Panel title="Open a lot" lead="It keeps the rules and the classes that are in force when it is opened.">
            <form class="beside" onsubmit={submit.onsubmit.clone()} novalidate=true>
                <div class="form-fields">
                    <ErrorSummary form={form.clone()} />
                    <div class="fields">
                        { inputs.code("lot-id", "Lot", "1 to 24 letters, figures, dots, hyphens, like BW-0413") }
                        { inputs.pick("lot-product", "Product", "Its layout and finishing", products(&shop.state())) }
                        { inputs.number("lot-sheets", "Sheets", "Received, 1 to 10 000 000") }
                    </div>
                    <Tick form={form.clone()} name="lot-numbered" label="The sheets carry serials. Untick to examine them before numbering." />
                    if numbered {
                        { numbering_fields(&form, &OF_NEW_LOT) }
                    }
                    { submit.button("Open the lot", "open-lot") }
                </div>
                { preview(plan, "lot") }
            </form>
        </Panel>
    }
}

/// The serial format and the numbering runs, one block each.
pub fn numbering_fields(form: &Form, fields: &'static NumberingFields) -> Html {
    let shown = fields.runs_shown(form.typed());
    let to = |runs: usize| {
        let form = form.clone();
        Callback::from(move |_: MouseEvent| form.set(fields.shown, runs.to_string()))
    };
    let inputs = Inputs::of(form);
    html! {
        <>
            <fieldset><legend>{ "Serial format" }</legend>{ serial_fields(&inputs, &fields.format) }</fieldset>
            { for (1..).zip(&fields.runs[..shown]).map(|(number, run)| run_block(&inputs, run, number, shown)) }
            <div class="run-buttons">
                <button type="button" onclick={to(shown + 1)} disabled={shown == fields.runs.len()} data-action="add-run">{ "Add a run" }</button>
                if shown > 1 { <button type="button" class="quiet" onclick={to(shown - 1)} data-action="drop-run">{ "Leave out the last run" }</button> }
                <p class="hint">{ "Runs follow each other, sheet by sheet. One is enough for most lots." }</p>
            </div>
        </>
    }
}

fn run_block(inputs: &Inputs, run: &RunFields, number: usize, shown: usize) -> Html {
    let legend = if shown == 1 {
        "Numbering".to_owned()
    } else {
        format!("Numbering run {number}")
    };
    html! {
        <fieldset key={number}>
            <legend>{ legend }</legend>
            <div class="fields">
                if shown > 1 { { inputs.number(run.sheets, "Sheets of the run", "All runs together: the lot's sheets") } }
                { inputs.number(run.first, "First number", "Of the first sheet, first position") }
                { inputs.number(run.stride, "Stride", "Empty: no gaps (the run's sheets, or the notes of a sheet)") }
                { inputs.pick(run.direction, "Numbers run", "", choices(&DIRECTIONS)) }
                { inputs.pick(run.arrangement, "Consecutive serials lie", "Down the stack: a cut bundle has consecutive serials", choices(&ARRANGEMENTS)) }
            </div>
        </fieldset>
    }
}

/// What would be printed, or what is wrong first.
pub fn preview(plan: Result<LotPlan, FieldErrors>, of: &'static str) -> Html {
    let shown = match plan {
        Ok(plan) => planned(&plan),
        Err(errors) => {
            let first = errors.iter().next().map(|(_, message)| message.to_owned());
            html! { <p class="soft">{ format!("Not yet: {}", first.unwrap_or_default()) }</p> }
        }
    };
    html! { <aside class="preview" aria-live="polite" data-preview={of}><h3>{ "What would be printed" }</h3>{ shown }</aside> }
}

fn planned(plan: &LotPlan) -> Html {
    let notes = u64::from(plan.order.len()) * u64::from(plan.product.layout.notes());
    let cut = format!(
        "{} notes in {} and {}.",
        count(notes),
        number_of(plan.cut.bundle_count(), "bundle", "bundles"),
        number_of(plan.cut.box_count(), "box", "boxes")
    );
    let corners = plan.corners();
    html! {
        <>
            if corners.is_empty() {
                <p>{ "No serials yet. Survivors take theirs when the lot is numbered." }</p>
            } else {
                <table class="data">
                    <caption class="sr-only">{ "Serials of the first and last sheet" }</caption>
                    <thead><tr><th scope="col" class="num">{ "Sheet" }</th><th scope="col">{ "Position" }</th><th scope="col">{ "Serial" }</th></tr></thead>
                    <tbody>{ for corners.iter().map(corner) }</tbody>
                </table>
            }
            if let Some(bundle) = plan.first_bundle() { { bundle_shown(&bundle) } }
            <p>{ cut }</p>
        </>
    }
}

fn corner(corner: &Corner) -> Html {
    html! {
        <tr key={format!("{} {}", corner.sheet, corner.position)}>
            <td class="num">{ count(corner.sheet.number()) }</td>
            <td>{ &corner.position }</td>
            <td class="mono">{ &corner.serial }</td>
        </tr>
    }
}

fn bundle_shown(bundle: &BundleShown) -> Html {
    let (from, to) = &bundle.serials;
    let (top, bottom) = bundle.sheets;
    html! {
        <p>
            { format!("Bundle {}, {} of sheets {} to {}: ", bundle.number, bundle.position, count(top.number()), count(bottom.number())) }
            <span class="mono">{ from }</span>{ " on top, " }<span class="mono">{ to }</span>{ " at the bottom." }
        </p>
    }
}
