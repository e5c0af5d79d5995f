//! Residue that left the works: what it weighed against the paper, and the form that records it.

use yew::prelude::*;

use crate::book::{ResidueRecord, SessionRecord, State};
use crate::custody::{Mass, SessionId};
use crate::desk::forms::residue::{residue_field, residue_sent, unsent};
use crate::desk::forms::{FieldErrors, Typed};
use crate::people::Duty;
use crate::ui::kit::{ErrorSummary, Field, Form, Panel, use_form};
use crate::ui::{Shop, use_shop};

/// Sessions offered in the form: the oldest that wait.
const OFFERED: usize = 30;

/// The form, for those who may, while any residue waits.
#[function_component]
pub fn ResidueForm() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let chosen = use_state(Vec::<SessionId>::new);
    let onsubmit = {
        let (shop, form, chosen) = (shop.clone(), form.clone(), chosen.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
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
                    <Field form={form.clone()} name="residue-mass" label="Mass, in grams" hint={mass_hint(&waiting, &chosen)} inputmode={decimal} />
                    <Field form={form.clone()} name="residue-destination" label="Destination" hint="Who took it, and where" />
                    <Field form={form.clone()} name="residue-receipt" label="Receipt number" mono=true />
                    <Field form={form.clone()} name="residue-date" label="Left the works on" kind="date" />
                </div>
                <button type="submit" class="primary" data-action="residue-sent">{ "Record that it left" }</button>
            </form>
        </Panel>
    }
}

fn record(shop: &Shop, form: &Form, chosen: &[SessionId]) -> Result<(), FieldErrors> {
    let entry = residue_sent(form.typed(), chosen, shop.now().local_day())?;
    let recorded = shop.record(vec![entry]);
    recorded.map_err(|why| FieldErrors::one(residue_field(&why), why))
}

/// What the paper of the chosen sessions weighed.
fn mass_hint(waiting: &[&SessionRecord], chosen: &[SessionId]) -> String {
    match chosen.is_empty() {
        true => "Without its bags".to_owned(),
        false => format!(
            "Without its bags; the paper weighed {}",
            paper(waiting, chosen)
        ),
    }
}

fn paper(waiting: &[&SessionRecord], chosen: &[SessionId]) -> Mass {
    let sessions = waiting
        .iter()
        .filter(|one| chosen.contains(&one.record.session));
    let found = sessions.flat_map(|one| &one.record.containers);
    found.filter_map(|found| found.gross.less(found.tare)).sum()
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
                <span class="note">{ "receipt " }<span class="mono">{ &sent.data.receipt }</span>{ balance(sent) }</span>
            </>
        },
    }
}

/// ": 20.50 kg of 20.10 kg paper, +0.40 ± 1.10 kg, agrees".
fn balance(sent: &ResidueRecord) -> String {
    let balance = sent.balance;
    let kg = |milligrams: f64| milligrams / 1e6;
    let (out, paper) = (
        balance.sent.milligrams() as f64,
        balance.paper.milligrams() as f64,
    );
    let sessions = match sent.data.sessions.len() {
        1 => String::new(),
        many => format!(" of {many} sessions"),
    };
    let masses = format!(
        ": {:.2} kg residue, {:.2} kg paper{sessions}",
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
