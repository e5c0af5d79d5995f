//! The end of a shift: what is unfinished, who was told, and who takes it over.

use yew::prelude::*;

use crate::book::Unfinished;
use crate::desk::forms::handover::{TO, TOLD, handed_over, handover_field, next_shift};
use crate::desk::forms::{FieldErrors, Typed};
use crate::desk::{Action, way_to};
use crate::people::Duty;
use crate::ui::kit::{Choice, ErrorSummary, Field, Panel, Pick, count, use_form};
use crate::ui::{Shop, use_shop};

#[function_component]
pub fn Handover() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let (may, by, unfinished, last) = {
        let desk = shop.desk();
        let state = desk.state();
        let last = state.handovers.last().map(|last| {
            format!(
                "Last handed over by {} to {}, {}, entry {}.",
                state.name_of(last.by),
                state.name_of(last.to),
                last.at.dated(),
                count(last.seq)
            )
        });
        let may = desk.may(Duty::HandOver);
        (may, desk.signed_in, state.unfinished(), last)
    };
    let choices: Vec<Choice> = next_shift(&shop.state(), by)
        .map(|person| {
            (
                person.person.to_string().into(),
                person.name.to_string().into(),
            )
        })
        .collect();
    let onsubmit = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let laid_out = handed_over(form.typed()).and_then(|entry| {
                let refused = |why| FieldErrors::one(handover_field(&why), why);
                shop.try_act(Action::BeginSigning(Box::new(entry)))
                    .map_err(refused)
            });
            if let Err(errors) = laid_out {
                form.fail(errors);
            }
        })
    };
    html! {
        <Panel title="Hand the shift over" class={classes!("handover", "no-print")}
            lead="Whoever takes over reads the list and signs for it. The list stays in the book as they read it.">
            { list(&shop, &unfinished) }
            if let Some(last) = last { <p class="hint" data-handover="">{ last }</p> }
            if may {
                <form {onsubmit} novalidate=true>
                    <ErrorSummary form={form.clone()} />
                    <div class="fields">
                        <Pick form={form.clone()} name={TO} label="Taken over by" hint="Signs here too" {choices} />
                        <Field form={form.clone()} name={TOLD} label="Who was told" hint="Such as: Cal knows of container C2" />
                    </div>
                    <button type="submit" class="primary" data-action="hand-over">{ "Hand over" }</button>
                </form>
            } else {
                <p class="hint">{ "A shift is handed over by an inspector, a custodian or a supervisor." }</p>
            }
        </Panel>
    }
}

fn list(shop: &Shop, unfinished: &[Unfinished]) -> Html {
    if unfinished.is_empty() {
        return html! { <p>{ "Nothing is unfinished." }</p> };
    }
    let row = |one: &Unfinished| {
        let at = one.at();
        let screen = way_to(at).1;
        let go = shop.on(move |_: MouseEvent| way_to(at).0);
        html! {
            <li key={one.to_string()}><span>{ one.to_string() }</span>
                <button type="button" class="quiet" onclick={go}>{ screen.name() }</button></li>
        }
    };
    html! { <ul class="unfinished">{ for unfinished.iter().map(row) }</ul> }
}
