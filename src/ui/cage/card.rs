//! All that is known of one container, and what can be done with it now.

use yew::prelude::*;

use crate::book::State;
use crate::custody::{
    Act, Container, ContainerId, Hold, Item, Mass, Recount, Seal, Sealing, TareAndScale,
};
use crate::export::sheets_and_notes;
use crate::sheet::grouped;
use crate::ui::Shop;

use super::deed::Deed;
use super::screen::Work;

/// Pieces named one by one; the rest is counted.
const NAMED: usize = 60;

pub fn card(
    shop: &Shop,
    id: ContainerId,
    may: bool,
    onwork: &Callback<Work>,
    print: &Callback<Vec<ContainerId>>,
) -> Html {
    let state = shop.state();
    let Some(container) = state.cage.containers.get(&id) else {
        return Html::default();
    };
    let contents = container.contents();
    let holds = sheets_and_notes(contents.sheets.into(), contents.notes.into());
    html! {
        <div class="container-card" data-card={id.to_string()}>
            <h3>{ "Container " }<span class="mono">{ id.to_string() }</span>
                <span class={classes!("mark", container.state_name())}>{ container.state_name() }</span></h3>
            { doubt(&state, container) }
            <dl class="container-facts">
                { line("Holds", html! { { holds } }) }
                { line("Stands", place(&state, container)) }
                if let Some(sealing) = container.sealing() { { sealed(&state, sealing) } }
                if let Some(act) = &container.checked { { line("Seal looked at", html! { { format!("as it should be, {}", done(&state, act)) } }) } }
                { for container.past.iter().map(|(sealing, hold)| past(&state, sealing, hold)) }
                if let Seal::Retired { act, reason, .. } = &container.seal {
                    { line("Retired", html! { { format!("{reason}, {}", done(&state, act)) } }) }
                }
            </dl>
            <div class="deeds">
                if may { { for deeds(container, onwork) } }
                if !container.is_gone() {
                    <button type="button" onclick={print.reform(move |_: MouseEvent| vec![id])} data-action="card-slip">{ "Print its slip" }</button>
                }
            </div>
            { pieces(container) }
        </div>
    }
}

fn line(name: &'static str, value: Html) -> Html {
    html! { <><dt>{ name }</dt><dd>{ value }</dd></> }
}

/// "Ben Orrin, 2026-11-25 14:02:11, entry 12".
fn done(state: &State, act: &Act) -> String {
    let (by, at, entry) = (state.name_of(act.by), act.at.dated(), act.seq);
    format!("{by}, {at}, entry {entry}")
}

fn place(state: &State, container: &Container) -> Html {
    match &container.place {
        Some((place, act)) => {
            html! { <>{ place.to_string() }<span class="note">{ done(state, act) }</span></> }
        }
        None => html! { "not said yet" },
    }
}

/// "1250.5 g gross, tare 900.0 g, on W1".
fn weighed(gross: Option<Mass>, weighed: TareAndScale) -> String {
    let Some(gross) = gross else {
        return "not weighed".to_owned();
    };
    let tare = weighed.tare.map(|tare| format!(", tare {tare}"));
    let scale = weighed.scale.map(|scale| format!(", on {scale}"));
    let (tare, scale) = (tare.unwrap_or_default(), scale.unwrap_or_default());
    format!("{gross} gross{tare}{scale}")
}

/// The seal as it stands, and below it every fact that stood there before.
fn sealed(state: &State, sealing: &Sealing) -> Html {
    let by = format!(
        "{} and {}, {}, entry {}",
        state.name_of(sealing.by),
        state.name_of(sealing.second),
        sealing.at.dated(),
        sealing.seq
    );
    let before = sealing.corrections.iter().map(|one| {
        let (number, gross) = (one.number_was, weighed(one.gross_was, one.weighed_was));
        let second = state.name_of(one.second);
        html! {
            <span class="note">{ "Before: " }<s><span class="mono">{ number.to_string() }</span>{ format!(", {gross}") }</s>
                { format!(". Corrected: {}, by {} with {second}", one.reason, done(state, &one.act)) }</span>
        }
    });
    let shown = html! {
        <><span class="mono">{ sealing.number.to_string() }</span>{ format!(", {}", weighed(sealing.gross, sealing.weighed)) }
            <span class="note">{ by }</span>{ for before }</>
    };
    line("Seal", shown)
}

fn past(state: &State, sealing: &Sealing, hold: &Hold) -> Html {
    let counted = hold.recounts.iter().map(|one| recount(state, one));
    let shown = html! {
        <><span class="mono">{ sealing.number.to_string() }</span>{ format!(" until held: {}", hold.why) }
            <span class="note">{ done(state, &hold.act) }</span>{ for counted }</>
    };
    line("Seal before", shown)
}

/// Why it is held, what was found since, and what comes next.
fn doubt(state: &State, container: &Container) -> Html {
    let Some(hold) = container.hold() else {
        return Html::default();
    };
    let next = match (hold.explained(), container.items.is_empty()) {
        (None, _) => {
            "Next: two people open it, count it again and explain what they find. If it cannot be found, say that nothing of it is there: its pieces are then missing, by name."
        }
        (Some(_), false) => "Next: seal it anew with a new seal, by two people.",
        (Some(_), true) => "Next: nothing is in it any more, so retire it.",
    };
    html! {
        <div class="caution" role="note" data-held={container.id.to_string()}>
            <strong>{ format!("Held: {}.", hold.why) }</strong>
            <p class="note">{ done(state, &hold.act) }</p>
            { for hold.recounts.iter().map(|one| recount(state, one)) }
            <p>{ "Until then nothing goes in, out or away." }</p>
            <p><b>{ next }</b></p>
        </div>
    }
}

fn recount(state: &State, one: &Recount) -> Html {
    let said = |contents: crate::custody::Contents| {
        sheets_and_notes(contents.sheets.into(), contents.notes.into())
    };
    let (declared, counted) = (said(one.declared), said(one.counted));
    let by = format!(
        "{} with {}",
        done(state, &one.act),
        state.name_of(one.second)
    );
    html! {
        <span class="note">
            { format!("Counted again: {counted}; {declared} were declared. {}. {by}", one.explanation.trim_end_matches('.')) }
            { named("Missing", &one.missing) }
            { named("Found besides", &one.found) }
        </span>
    }
}

fn named(what: &str, items: &[Item]) -> Html {
    if items.is_empty() {
        return Html::default();
    }
    let names: Vec<String> = items.iter().take(NAMED).map(Item::to_string).collect();
    let more = items.len().saturating_sub(NAMED);
    let more = if more > 0 {
        format!(" and {} more", grouped(more as u64))
    } else {
        String::new()
    };
    html! { <span class="note">{ format!("{what}: {}{more}", names.join(", ")) }</span> }
}

fn deeds(container: &Container, onwork: &Callback<Work>) -> Vec<Html> {
    let id = container.id;
    let button = |work: Work, name: &'static str, primary: bool| {
        let onclick = onwork.reform(move |_: MouseEvent| work);
        html! { <button type="button" class={classes!(primary.then_some("primary"))} {onclick} data-deed={name}>{ name }</button> }
    };
    let deed = |deed: Deed, primary: bool| button(Work::Do(deed, id), deed.name(), primary);
    let empty = container.items.is_empty();
    match &container.seal {
        Seal::Open if empty => vec![
            button(Work::Fill(Some(id)), "Fill", true),
            deed(Deed::Move, false),
            deed(Deed::Retire, false),
        ],
        Seal::Open => vec![
            button(Work::Fill(Some(id)), "Fill", false),
            button(Work::Seal(Some(id)), "Seal", true),
            deed(Deed::TakeOut, false),
            deed(Deed::Move, false),
        ],
        Seal::Sealed(_) => vec![
            deed(Deed::Check, true),
            deed(Deed::Move, false),
            deed(Deed::Correct, false),
            deed(Deed::Hold, false),
        ],
        Seal::Held(_, hold) if hold.explained().is_none() => vec![deed(Deed::Recount, true)],
        Seal::Held(..) if empty => vec![deed(Deed::Retire, true), deed(Deed::Recount, false)],
        Seal::Held(..) => vec![deed(Deed::Reseal, true), deed(Deed::Recount, false)],
        Seal::Destroyed { .. } | Seal::Retired { .. } => Vec::new(),
    }
}

fn pieces(container: &Container) -> Html {
    if container.items.is_empty() {
        return Html::default();
    }
    let more = container.items.len().saturating_sub(NAMED);
    html! {
        <details>
            <summary>{ "What lies in it" }</summary>
            <ul class="pieces mono">{ for container.items.iter().take(NAMED).map(|item| html! { <li>{ item.to_string() }</li> }) }</ul>
            if more > 0 { <p class="hint">{ format!("and {} more", grouped(more as u64)) }</p> }
        </details>
    }
}
