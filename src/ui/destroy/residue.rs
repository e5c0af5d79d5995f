//! Residue that left the works: what it weighed against the paper, and the form that records it.

use yew::prelude::*;

use crate::book::{SessionRecord, State};
use crate::custody::{MassBalance, SessionId};
use crate::desk::forms::residue::{residue_compared, residue_field, residue_sent, unsent};
use crate::desk::forms::{FieldErrors, Typed};
use crate::people::Duty;
use crate::ui::kit::{Confirm, ErrorSummary, Field, Form, Panel, use_form};
use crate::ui::{Shop, use_shop};

/// Sessions offered in the form: the oldest that wait.
const OFFERED: usize = 30;

/// The form, for those who may, while any residue waits.
#[function_component]
pub fn ResidueForm() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let chosen = use_state(Vec::<SessionId>::new);
    let asking = use_state(|| false);
    let send = {
        let (shop, form) = (shop.clone(), form.clone());
        let (chosen, asking) = (chosen.clone(), asking.clone());
        Callback::from(move |()| {
            asking.set(false);
            match record(&shop, &form, &chosen) {
                Ok(()) => {
                    form.reset(Typed::default());
                    chosen.set(Vec::new());
                }
                Err(errors) => form.fail(errors),
            }
        })
    };
    let state = shop.state();
    let compared = residue_compared(form.typed(), &chosen, &state);
    let differing = compared.filter(MassBalance::differs);
    let onsubmit = {
        let (shop, form, send) = (shop.clone(), form.clone(), send.clone());
        let (chosen, asking) = (chosen.clone(), asking.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match residue_sent(form.typed(), &chosen, shop.now().local_day()) {
                Ok(_) if differing.is_some() => asking.set(true),
                // Read again as it is recorded, which tells what is wrong at its field.
                _ => send.emit(()),
            }
        })
    };
    let waiting: Vec<&SessionRecord> = unsent(&state).take(OFFERED).collect();
    if waiting.is_empty() || !shop.desk().may(Duty::LeadDestruction) {
        return Html::default();
    }
    let decimal = Some(AttrValue::from("decimal"));
    html! {
        <Panel title="Residue sent" class="no-print" lead="When the residue leaves the works: weigh it, and keep the receipt.">
            <form {onsubmit} novalidate=true data-form="residue">
                <ErrorSummary form={form.clone()} />
                <fieldset id="residue-sessions" tabindex="-1">
                    <legend>{ "Of these sessions" }</legend>
                    { for waiting.iter().map(|session| tick(session, &chosen)) }
                    if let Some(error) = form.error("residue-sessions") { <p class="error">{ error }</p> }
                </fieldset>
                <div class="fields">
                    <Field form={form.clone()} name="residue-mass" label="Mass, in grams" hint="Without its bags" inputmode={decimal} />
                </div>
                <div role="status" data-compared="">{ compared.map(|balance| live(&balance, chosen.len())) }</div>
                <div class="fields">
                    <Field form={form.clone()} name="residue-destination" label="Destination" hint="Who took it, and where" />
                    <Field form={form.clone()} name="residue-receipt" label="Receipt number" mono=true />
                    <Field form={form.clone()} name="residue-date" label="Left the works on" kind="date" />
                </div>
                <button type="submit" class="primary" data-action="residue-sent">{ "Record that it left" }</button>
            </form>
            if let Some(balance) = differing.filter(|_| *asking) {
                <Confirm action="Record that it left" text={doubt(&balance, chosen.len())}
                    onconfirm={send} oncancel={Callback::from(move |()| asking.set(false))} />
            }
        </Panel>
    }
}

fn record(shop: &Shop, form: &Form, chosen: &[SessionId]) -> Result<(), FieldErrors> {
    let entry = residue_sent(form.typed(), chosen, shop.now().local_day())?;
    let recorded = shop.record(vec![entry]);
    recorded.map_err(|why| FieldErrors::one(residue_field(&why), why))
}

/// The comparison while the mass is typed.
fn live(balanced: &MassBalance, sessions: usize) -> Html {
    let class = if balanced.differs() {
        "why-not"
    } else {
        "hint"
    };
    html! { <p {class}>{ balance(balanced, sessions) }</p> }
}

/// What is asked once before a mass that differs is recorded.
fn doubt(balanced: &MassBalance, sessions: usize) -> String {
    let compared = balance(balanced, sessions);
    format!(
        "{compared}. Weigh again if it may be a slip. What is recorded stays in the book, and that it differs stands beside it."
    )
}

fn tick(session: &SessionRecord, chosen: &UseStateHandle<Vec<SessionId>>) -> Html {
    let id = session.record.session;
    let ticked = chosen.contains(&id);
    let onchange = {
        let chosen = chosen.clone();
        Callback::from(move |_: Event| {
            let mut now: Vec<SessionId> = (*chosen).clone();
            match now.iter().position(|one| *one == id) {
                Some(at) => drop(now.remove(at)),
                None => now.push(id),
            }
            chosen.set(now);
        })
    };
    let element = format!("residue-{id}");
    html! {
        <label key={element.clone()} class="tick" for={element.clone()}>
            <input id={element} type="checkbox" checked={ticked} {onchange} />
            <span class="mono">{ id.to_string() }</span>
        </label>
    }
}

/// What became of a session's residue, in its row of past sessions.
pub fn residue_of(state: &State, session: &SessionRecord) -> Html {
    match state.residue_of(session.record.session) {
        None => html! { <span class="mark open">{ "here" }</span> },
        Some(sent) => html! {
            <>
                { sent.data.date.to_string() }{ ", " }{ &sent.data.destination }
                <span class="note">{ "receipt " }<span class="mono">{ &sent.data.receipt }</span>{ ": " }{ balance(&sent.balance, sent.data.sessions.len()) }</span>
            </>
        },
    }
}

/// "20.50 kg residue, 20.10 kg paper, +0.40 ± 1.10 kg: agrees".
fn balance(balance: &MassBalance, sessions: usize) -> String {
    let kg = |milligrams: f64| milligrams / 1e6;
    let (out, paper) = (
        balance.sent.milligrams() as f64,
        balance.paper.milligrams() as f64,
    );
    let sessions = match sessions {
        1 => String::new(),
        many => format!(" of {many} sessions"),
    };
    let masses = format!(
        "{:.2} kg residue, {:.2} kg paper{sessions}",
        kg(out),
        kg(paper)
    );
    match balance.tolerance {
        None => format!("{masses}; pulp and ash are not compared"),
        Some(tolerance) => format!(
            "{masses}, {:+.2} ± {:.2} kg: {}",
            kg(balance.difference() as f64),
            kg(tolerance.milligrams() as f64),
            balance.result()
        ),
    }
}
