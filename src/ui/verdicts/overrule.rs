//! A supervisor's word against the rules, in the row under the sheet it is about.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

use crate::desk::forms::overrule::{REASON, VERDICT, others, overruled, overruled_field};
use crate::desk::forms::{FieldErrors, Typed};
use crate::sheet::{LotId, SheetNo};
use crate::ui::kit::{Choice, ErrorSummary, Field, Pick, use_form};
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct OverruleProps {
    pub lot: LotId,
    pub sheet: SheetNo,
    pub done: Callback<()>,
}

#[function_component]
pub fn Overrule(props: &OverruleProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let (lot, sheet) = (props.lot, props.sheet);
    use_effect_with((), |()| {
        let field = gloo::utils::document().get_element_by_id(VERDICT);
        if let Some(field) = field.and_then(|field| field.dyn_into::<HtmlElement>().ok()) {
            // If the browser refuses, the form can still be reached with Tab.
            field.focus().unwrap_or_default();
        }
    });
    let exam = {
        let state = shop.state();
        let known = state.lots.get(&lot).and_then(|lot| lot.sheet(sheet));
        known.and_then(|known| known.exam.clone())
    };
    let Some(exam) = exam else {
        return Html::default();
    };
    let choices: Vec<Choice> = others(&exam)
        .into_iter()
        .map(|verdict| (verdict.name().into(), verdict.name().into()))
        .collect();
    let (rules, reason) = exam.ruling.by_rules();
    let rules = format!("The rules say {}: {reason}.", rules.name());
    let onsubmit = {
        let (form, done) = (form.clone(), props.done.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let recorded = overruled(form.typed(), lot, sheet, &exam).and_then(|entry| {
                let refused = |why| FieldErrors::one(overruled_field(&why), why);
                shop.record(vec![entry]).map_err(refused)
            });
            match recorded {
                Ok(()) => done.emit(()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let cancel = props.done.reform(|_: MouseEvent| ());
    html! {
        <form class="overrule" {onsubmit} novalidate=true aria-label={format!("Overrule sheet {sheet}")}>
            <p>{ rules }{ " Its tags and the rules' verdict stay in the book beside yours." }</p>
            <ErrorSummary form={form.clone()} />
            <div class="fields">
                <Pick form={form.clone()} name={VERDICT} label="Verdict" hint="What the sheet counts as from now on" {choices} />
                <Field form={form.clone()} name={REASON} label="Reason" hint="Such as: printed thread, not a defect"  />
            </div>
            <div class="actions">
                <button type="submit" class="primary" data-action="record-overruling">{ "Record the overruling" }</button>
                <button type="button" onclick={cancel}>{ "Cancel" }</button>
            </div>
        </form>
    }
}
