//! A sample entered by hand, the samples in force, and what a quantity should be.

use yew::prelude::*;

use crate::book::{Sample, State};
use crate::desk::forms::Typed;
use crate::desk::forms::measure::{
    CORRECTS, LOT, LOWER, PRESS, QUANTITY, READINGS, REASON, SITE, TARGET, TARGET_QUANTITY, UPPER,
    presses, read_as, sample, sample_again, sample_field, target, target_field,
};
use crate::inspect::Quantity;
use crate::people::Duty;
use crate::quality::spread::Moments;
use crate::sheet::ProductId;
use crate::ui::kit::{Choice, ErrorSummary, Field, Form, Panel, Pick, count, use_form};
use crate::ui::office::{Area, Submit, use_submit_as};
use crate::ui::use_shop;

/// Samples listed.
const LISTED: usize = 20;

#[derive(Properties, PartialEq)]
pub struct OfProduct {
    pub product: ProductId,
}

#[function_component]
pub fn MeasureForms(props: &OfProduct) -> Html {
    let shop = use_shop();
    let product = props.product;
    let form = use_form(Typed::default);
    let typed = form.typed().clone();
    let of_sample = use_submit_as(
        Duty::Measure,
        &form,
        move |typed, _| sample(typed, product),
        sample_field,
        move |_| sample_again(&typed),
    );
    let target_form = use_form(Typed::default);
    let of_target = use_submit_as(
        Duty::RunTheOffice,
        &target_form,
        move |typed, _| target(typed, product),
        target_field,
        |_| Typed::default(),
    );
    let (measures, sets) = {
        let desk = shop.desk();
        (desk.may(Duty::Measure), desk.may(Duty::RunTheOffice))
    };
    let state = shop.state();
    html! {
        <>
            { samples(&state, product, &form, measures) }
            if measures { { sample_form(&form, &of_sample, &state, product) } }
            else { <p class="panel barred">{ "Recording a sample is for an inspector or a supervisor." }</p> }
            if sets { { target_fields(&target_form, &of_target) } }
            else { <p class="panel barred">{ "Setting a target is for a supervisor." }</p> }
        </>
    }
}

fn quantities() -> Vec<Choice> {
    let choice = |one: Quantity| {
        let shown = format!("{}, {}", one.name(), one.unit());
        (one.slug().into(), shown.into())
    };
    Quantity::ALL.into_iter().map(choice).collect()
}

fn sample_form(form: &Form, submit: &Submit, state: &State, product: ProductId) -> Html {
    let lots = state.lots.values().filter(|lot| lot.product.id == product);
    html! {
        <Panel title="Record a sample" lead="One reading a note, notes of different sheets, so that they speak for the whole.">
            <form class="form-fields" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="sample">
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    <Pick form={form.clone()} name={QUANTITY} label="Quantity" hint="Colour differences are from the approved print" choices={quantities()} />
                    <Field form={form.clone()} name={LOT} label="Lot" hint="May be empty" mono=true list="measure-lots" />
                    <Field form={form.clone()} name={PRESS} label="Press" hint="That printed them, like P-1; may be empty" mono=true list="measure-presses" />
                    <Field form={form.clone()} name={SITE} label="Works" hint="When another one printed them, like Hallowmere" mono=true />
                </div>
                <Area form={form.clone()} name={READINGS} label="Readings" hint="One a line, or with blanks between, decimals with point or comma" />
                <p class="hint" aria-live="polite" data-read-as="">{ read_as(form.typed()) }</p>
                <div class="fields">
                    <Field form={form.clone()} name={CORRECTS} label="Corrects entry" hint="Only for a sample that was entered amiss" inputmode="numeric" />
                    <Field form={form.clone()} name={REASON} label="Reason" hint="Why it is corrected" />
                </div>
                <datalist id="measure-lots">{ for lots.map(|lot| html! { <option value={lot.id.to_string()} /> }) }</datalist>
                <datalist id="measure-presses">{ for presses(state).into_iter().map(|press| html! { <option value={press} /> }) }</datalist>
                { submit.button("Record the sample", "record-sample") }
            </form>
        </Panel>
    }
}

fn target_fields(form: &Form, submit: &Submit) -> Html {
    html! {
        <Panel title="Set a target" lead="What a quantity of this product should be, with at least one limit. It holds from now on, for samples recorded before as well.">
            <form class="form-fields" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="target">
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    <Pick form={form.clone()} name={TARGET_QUANTITY} label="Quantity" choices={quantities()} />
                    <Field form={form.clone()} name={TARGET} label="Target" hint="In the unit of the quantity" inputmode="decimal" />
                    <Field form={form.clone()} name={LOWER} label="Lower limit" hint="May be empty" inputmode="decimal" />
                    <Field form={form.clone()} name={UPPER} label="Upper limit" hint="May be empty" inputmode="decimal" />
                </div>
                { submit.button("Set the target", "set-target") }
            </form>
        </Panel>
    }
}

/// The last samples of the product, each with a way to correct it.
fn samples(state: &State, product: ProductId, form: &Form, may: bool) -> Html {
    let of_product = || {
        state
            .samples
            .values()
            .filter(|one| one.taken.product == product)
    };
    let all = of_product().count();
    if all == 0 {
        return Html::default();
    }
    let row = |one: &Sample| {
        let taken = &one.taken;
        let moments = Moments::of(&one.readings());
        let figure = |thousandths: f64| format!("{:.3}", thousandths / 1000.0);
        let named = [
            taken.lot.map(|lot| lot.to_string()),
            taken.press.map(|press| press.to_string()),
            taken.site.map(|site| site.to_string()),
        ];
        let named: Vec<String> = named.into_iter().flatten().collect();
        html! {
            <tr key={one.seq} data-row={one.seq.to_string()}>
                <th scope="row" class="num">{ count(one.seq) }</th>
                <td>{ format!("{}, {}", one.at.dated(), state.name_of(one.by)) }</td>
                <td>{ format!("{}, {}", taken.quantity.name(), taken.quantity.unit()) }</td>
                <td class="mono">{ named.join(", ") }</td>
                <td class="num">{ count(taken.readings.len() as u64) }</td>
                <td class="num">{ moments.map(|one| figure(one.mean)) }</td>
                <td class="num">{ moments.and_then(|one| one.spread).map(figure) }</td>
                if may { <td>{ correct(one, form) }</td> }
            </tr>
        }
    };
    html! {
        <section class="panel" data-part="samples">
            <h2>{ "Samples in force" }</h2>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Samples in force" }</caption>
                    <thead><tr>
                        <th scope="col" class="num">{ "Entry" }</th><th scope="col">{ "Recorded" }</th>
                        <th scope="col">{ "Quantity" }</th><th scope="col">{ "Lot, press, works" }</th>
                        <th scope="col" class="num">{ "Readings" }</th><th scope="col" class="num">{ "Mean" }</th>
                        <th scope="col" class="num">{ "Spread" }</th>
                        if may { <th scope="col"><span class="sr-only">{ "Correct" }</span></th> }
                    </tr></thead>
                    <tbody>{ for of_product().rev().take(LISTED).map(row) }</tbody>
                </table>
            </div>
            if all > LISTED { <p class="hint">{ format!("The last {LISTED} of {}.", count(all as u64)) }</p> }
        </section>
    }
}

/// Puts a sample into the form, to be recorded in its place.
fn correct(sample: &Sample, form: &Form) -> Html {
    let (form, sample) = (form.clone(), sample.clone());
    let onclick = Callback::from(move |_: MouseEvent| {
        let taken = &sample.taken;
        let readings: Vec<String> = taken.readings.iter().map(ToString::to_string).collect();
        let text = |name: Option<String>| name.unwrap_or_default();
        form.set_all(&[
            (QUANTITY, taken.quantity.slug()),
            (READINGS, &readings.join("\n")),
            (LOT, &text(taken.lot.map(|lot| lot.to_string()))),
            (PRESS, &text(taken.press.map(|press| press.to_string()))),
            (SITE, &text(taken.site.map(|site| site.to_string()))),
            (CORRECTS, &sample.seq.to_string()),
            (REASON, ""),
        ]);
        let area = gloo::utils::document().get_element_by_id(READINGS);
        if let Some(area) =
            area.and_then(|one| wasm_bindgen::JsCast::dyn_into::<web_sys::HtmlElement>(one).ok())
        {
            // Only moves the reader there.
            area.focus().unwrap_or_default();
        }
    });
    html! { <button type="button" class="quiet" {onclick} data-action="correct-sample">{ "Correct" }</button> }
}
