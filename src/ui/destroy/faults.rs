//! What goes wrong: somebody leaves or comes, or the session is given up.

use yew::prelude::*;

use crate::book::Entry;
use crate::custody::{SessionLog, TeamPart};
use crate::desk::forms::{FieldErrors, LEAVING, TeamForm, Typed, abandon, team_change};
use crate::people::{Duty, PersonId};
use crate::ui::kit::{Choice, ErrorSummary, Field, Form, Pick, use_form};
use crate::ui::{Shop, use_shop};

#[function_component]
pub fn Faults() -> Html {
    let shop = use_shop();
    let form = use_form(|| Typed::with([(TeamForm::WHAT, "left")]));
    let Some(log) = shop.state().session.clone() else {
        return Html::default();
    };
    let submit = |read: fn(&Typed, &SessionLog) -> Result<Entry, FieldErrors>| {
        let (shop, form, log) = (shop.clone(), form.clone(), log.clone());
        Callback::from(move |_: MouseEvent| record(&shop, &form, read(form.typed(), &log)))
    };
    let what = form.typed().get(TeamForm::WHAT).to_owned();
    let leaves = what == "left";
    let (duty, comes) = match what.as_str() {
        "operator" => (Duty::OperateDestruction, "Works it now"),
        "came" => (Duty::Witness, "Who comes"),
        _ => (Duty::Witness, "Who takes the place"),
    };
    html! {
        <section class="panel faults" aria-labelledby="faults">
            <h2 id="faults">{ "If something goes wrong" }</h2>
            <ErrorSummary form={form.clone()} />
            <details data-fault="team">
                <summary>{ "Somebody leaves or comes" }</summary>
                <p class="hint">{ "What is typed for containers at the open step is read again by those who are here then." }</p>
                <div class="fields">
                    <Pick form={form.clone()} name={TeamForm::WHAT} label="What changes" choices={leaving()} />
                    if leaves { <Pick form={form.clone()} name={TeamForm::WHO} label="Who leaves" hint="What they saw stays on record" choices={here(&shop, &log)} /> }
                    <Pick form={form.clone()} name={TeamForm::INSTEAD} label={comes} hint={if leaves { "Or nobody yet: then the session waits" } else { "" }} choices={able(&shop, &log, duty)} />
                    if what != "came" { <Field form={form.clone()} name={TeamForm::REASON} label="Reason" /> }
                </div>
                <button type="button" onclick={submit(team_change)} data-action="change-team">{ "Record it" }</button>
            </details>
            if log.is_past_return() {
                <p>{ "The machine was started: the session cannot be abandoned any more, only completed. If the machine fails, switch it off and lock it out before anyone reaches in. Stay with the rest until it works again or another machine does, press \"Now\" at the true end, and write what happened in the remarks." }</p>
            } else {
                <details data-fault="abandon">
                    <summary>{ "The session cannot go on today" }</summary>
                    <p>{ "Nothing was destroyed. It stands under Past sessions; its steps stay on record, its number is used, and its containers go back to the cage: sealed as they are, or held, to be counted again by two and sealed anew, when they were opened. Whoever signs a later session over any of them reads of it." }</p>
                    <Field form={form.clone()} name="abandon-reason" label="Reason" />
                    <button type="button" class="danger" onclick={submit(abandon)} data-action="abandon">{ "Abandon the session" }</button>
                </details>
            }
        </section>
    }
}

fn record(shop: &Shop, form: &Form, entry: Result<Entry, FieldErrors>) {
    let recorded = entry.and_then(|entry| {
        shop.record(vec![entry])
            .map_err(|why| FieldErrors::one("", why))
    });
    match recorded {
        Ok(()) => form.reset(Typed::with([(TeamForm::WHAT, "left")])),
        Err(errors) => form.fail(errors),
    }
}

fn leaving() -> Vec<Choice> {
    LEAVING
        .map(|(value, shown)| (value.into(), shown.into()))
        .into()
}

fn choice(shop: &Shop, id: PersonId) -> Choice {
    (id.to_string().into(), shop.state().name_of(id).into())
}

fn here(shop: &Shop, log: &SessionLog) -> Vec<Choice> {
    log.here(TeamPart::Witness)
        .map(|id| choice(shop, id))
        .collect()
}

/// Everybody with the role for it who is not here in it.
fn able(shop: &Shop, log: &SessionLog, duty: Duty) -> Vec<Choice> {
    let part = match duty {
        Duty::OperateDestruction => TeamPart::Operator,
        _ => TeamPart::Witness,
    };
    let state = shop.state();
    let able = state.people.values().filter(|person| duty.allows(person));
    let others = able.filter(|person| !log.here(part).any(|id| id == person.person));
    others.map(|person| choice(shop, person.person)).collect()
}
