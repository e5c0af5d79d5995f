//! After the end: what was mistyped and is corrected, sessions given up, containers left out.

use yew::prelude::*;

use crate::book::{AbandonedSession, Refusal, SessionCorrection, SessionRecord, State, fact_words};
use crate::custody::{LeftOut, Seal, SessionId};
use crate::desk::Action;
use crate::desk::forms::{FACTS, FieldErrors, Typed, correction, fact_as_it_is};
use crate::people::Duty;
use crate::ui::kit::{Choice, Empty, ErrorSummary, Field, Form, Panel, Pick, count, use_form};
use crate::ui::{Shop, use_shop};

use super::done::team;

#[function_component]
pub fn Corrections() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    {
        // What is typed stays until it is signed and recorded.
        let state = shop.state();
        let sessions = state.sessions.iter();
        let corrected: usize = sessions.map(|one| one.corrections.len()).sum();
        let form = form.clone();
        let seen = use_mut_ref(|| corrected);
        use_effect_with(corrected, move |corrected| {
            if seen.replace(*corrected) != *corrected {
                form.reset(Typed::default());
            }
        });
    }
    let state = shop.state();
    html! {
        <>
            { differences(&state) }
            { corrected(&state) }
            if shop.desk().may(Duty::CorrectSession) {
                { correct(&shop, &state, &form) }
            } else {
                <p class="panel">{ "Correcting a recorded session is for a supervisor, with a second person." }</p>
            }
        </>
    }
}

/// Containers that left a session and are still held.
fn differences(state: &State) -> Html {
    let done = state.sessions.iter();
    let done = done.flat_map(|one| {
        one.record
            .left_out
            .iter()
            .map(|out| (one.seq, one.record.session, out.clone()))
    });
    let abandoned = state.abandoned.iter();
    let abandoned = abandoned.flat_map(|one| {
        one.log
            .left_out()
            .into_iter()
            .map(|out| (one.seq, one.log.session, out))
    });
    // Held since then, and not for something that came later.
    let open = |seq: u64, out: &LeftOut| {
        let container = state.cage.containers.get(&out.container);
        let seal = container.map(|container| &container.seal);
        matches!(seal, Some(Seal::Held(_, hold)) if hold.act.seq == seq)
    };
    let still: Vec<(u64, SessionId, LeftOut)> = done
        .chain(abandoned)
        .filter(|(seq, _, out)| open(*seq, out))
        .collect();
    if still.is_empty() {
        return Html::default();
    }
    html! {
        <Panel title="Differences that stand open" lead="Each container stays in the cage, under Cage, until its difference is explained.">
            <ul class="left-out">{ for still.iter().map(|(_, session, out)| html! {
                <li data-left-out={out.container.to_string()}>{ format!("Container {}, session {session}: {}.", out.container, out.why.says()) }</li>
            }) }</ul>
        </Panel>
    }
}

fn corrected(state: &State) -> Html {
    let rows = state.sessions.iter().rev();
    let rows: Vec<Html> = rows
        .flat_map(|session| {
            session
                .corrections
                .iter()
                .map(|one| corrected_row(state, session, one))
        })
        .collect();
    if rows.is_empty() {
        return Html::default();
    }
    html! {
        <Panel title="Corrected">
            <div class="table-frame"><table class="data">
                <caption class="sr-only">{ "Facts of sessions that were corrected" }</caption>
                <thead><tr>
                    <th scope="col">{ "Session" }</th><th scope="col">{ "Fact" }</th><th scope="col">{ "Corrected" }</th>
                    <th scope="col">{ "As signed" }</th><th scope="col">{ "Reason" }</th><th scope="col">{ "By" }</th><th scope="col" class="num">{ "Entry" }</th>
                </tr></thead>
                <tbody>{ for rows }</tbody>
            </table></div>
        </Panel>
    }
}

fn corrected_row(state: &State, session: &SessionRecord, one: &SessionCorrection) -> Html {
    let by = format!(
        "{} and {}",
        state.name_of(one.by),
        state.name_of(one.second)
    );
    html! {
        <tr key={one.seq} data-correction={one.seq.to_string()}>
            <th scope="row" class="mono">{ session.record.session.to_string() }</th>
            <td>{ one.now.name() }</td><td>{ fact_words(&one.now) }</td><td>{ fact_words(&one.was) }</td>
            <td>{ &one.reason }</td><td>{ by }</td><td class="num">{ count(one.seq) }</td>
        </tr>
    }
}

/// Sessions that were begun and given up, the last first.
pub fn given_up(state: &State) -> Html {
    if state.abandoned.is_empty() {
        return Html::default();
    }
    let row = |one: &AbandonedSession| {
        let by = format!(
            "{}, {}, entry {}",
            state.name_of(one.by),
            one.at.dated(),
            count(one.seq)
        );
        html! {
            <li key={one.seq} data-abandoned={one.log.session.to_string()}>
                <b class="mono">{ one.log.session.to_string() }</b>{ format!(": {}. ", one.reason) }
                { format!("{} steps on record. {}", one.log.steps.len(), team(state, &one.log)) }
                <span class="hint">{ format!(" {by}") }</span>
            </li>
        }
    };
    html! { <Panel title="Abandoned"><ul class="abandoned">{ for state.abandoned.iter().rev().map(row) }</ul></Panel> }
}

fn correct(shop: &Shop, state: &State, form: &Form) -> Html {
    let sessions: Vec<Choice> = state
        .sessions
        .iter()
        .rev()
        .map(|one| same(one.record.session.as_str()))
        .collect();
    if sessions.is_empty() {
        return html! { <Empty text="No session is recorded yet, so there is nothing to correct." /> };
    }
    let chosen = chosen(state, form);
    let fact = form.typed().get("fact").to_owned();
    let facts: Vec<Choice> = FACTS
        .map(|(value, shown)| (value.into(), shown.into()))
        .into();
    let now = chosen
        .map(|session| fact_as_it_is(session.as_corrected(), &fact))
        .unwrap_or_default();
    let onclick = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| {
            form.fail(lay_out(&shop, &form).err().unwrap_or_default())
        })
    };
    html! {
        <Panel title="Correct what was mistyped" lead="Counts and persons cannot be corrected. What was signed stays beside the correction for ever.">
            <ErrorSummary form={form.clone()} />
            <div class="fields">
                <Pick form={form.clone()} name="fact-session" label="Session" choices={sessions} />
                <Pick form={form.clone()} name="fact" label="What is wrong" choices={facts} />
                if fact == "masses" {
                    <Pick form={form.clone()} name="fact-container" label="Container" choices={containers(chosen)} />
                    <Field form={form.clone()} name="fact-gross" label="Gross, in grams" inputmode={Some(AttrValue::from("decimal"))} />
                    <Field form={form.clone()} name="fact-tare" label="Tare, in grams" inputmode={Some(AttrValue::from("decimal"))} />
                } else {
                    <Field form={form.clone()} name="fact-text" label="As it should be" kind={kind(&fact)} hint={if now.is_empty() { String::new() } else { format!("It says: {now}") }} />
                }
                <Field form={form.clone()} name="fact-reason" label="Reason" />
                <Pick form={form.clone()} name="fact-second" label="Second person" hint="Signs with you" choices={seconds(shop, state)} />
            </div>
            <button type="button" class="primary" {onclick} data-action="correct-session">{ "Lay it out for signing" }</button>
        </Panel>
    }
}

fn same(text: &str) -> Choice {
    (text.to_owned().into(), text.to_owned().into())
}

fn chosen<'a>(state: &'a State, form: &Form) -> Option<&'a SessionRecord> {
    let mut sessions = state.sessions.iter();
    sessions.find(|one| one.record.session.as_str() == form.typed().get("fact-session"))
}

fn kind(fact: &str) -> &'static str {
    match fact {
        "started" | "ended" => "datetime-local",
        _ => "text",
    }
}

fn containers(session: Option<&SessionRecord>) -> Vec<Choice> {
    let found = session.map_or(&[][..], |session| &session.record.containers);
    found
        .iter()
        .map(|one| same(one.container.as_str()))
        .collect()
}

fn seconds(shop: &Shop, state: &State) -> Vec<Choice> {
    let me = shop.desk().signed_in;
    let people = state.people.values();
    let able = people.filter(|one| Duty::LeadDestruction.allows(one) && Some(one.person) != me);
    able.map(|one| (one.person.to_string().into(), one.name.to_string().into()))
        .collect()
}

fn lay_out(shop: &Shop, form: &Form) -> Result<(), FieldErrors> {
    let entry = {
        let state = shop.state();
        let session = chosen(&state, form)
            .ok_or_else(|| FieldErrors::one("fact-session", "Choose the session."))?;
        correction(form.typed(), session)?
    };
    shop.try_act(Action::BeginSigning(Box::new(entry)))
        .map_err(|why: Refusal| FieldErrors::one("", why))
}
