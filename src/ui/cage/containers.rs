//! Every container: what it holds, its seal, who sealed it, where it went.

use yew::prelude::*;

use crate::book::State;
use crate::custody::{Container, ContainerId, Seal, Sealing, WeighVerdict};
use crate::export::sheets_and_notes;
use crate::people::Duty;
use crate::sheet::grouped;
use crate::ui::kit::{Choice, Empty, Panel};
use crate::ui::use_shop;

use super::screen::Work;

/// Destroyed containers shown; the certificates tell of the others.
const PAST: usize = 50;

#[derive(Properties, PartialEq)]
pub struct ContainersProps {
    /// Whether the person who is signed in may fill and seal.
    pub may: bool,
    /// The container that is looked at on the right.
    pub looked_at: Option<ContainerId>,
    pub onwork: Callback<Work>,
    /// Prints the slips of containers.
    pub print: Callback<Vec<ContainerId>>,
}

#[function_component]
pub fn Containers(props: &ContainersProps) -> Html {
    let shop = use_shop();
    let state = shop.state();
    let containers = &state.cage.containers;
    if containers.is_empty() {
        return html! {
            <Panel title="In the cage"><Empty text="There is no container yet. Open one to put spoils in." /></Panel>
        };
    }
    let there = containers.values().filter(|one| !one.is_gone());
    let past = containers.values().rev().filter(|one| one.is_gone());
    let row = |container| row(&state, container, props);
    let sealed = containers
        .values()
        .filter(|one| matches!(one.seal, Seal::Sealed(_)));
    let sealed: Vec<ContainerId> = sealed.map(|one| one.id).collect();
    let of_all = props.print.reform(move |_: MouseEvent| sealed.clone());
    let any_sealed = containers
        .values()
        .any(|one| matches!(one.seal, Seal::Sealed(_)));
    html! {
        <Panel title="In the cage">
            <div class="table-frame">
                <table class="data" data-containers={containers.len().to_string()}>
                    <caption class="sr-only">{ "Containers: those in the cage first, then those destroyed or retired" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Container" }</th>
                        <th scope="col">{ "State" }</th>
                        <th scope="col" class="num">{ "Sheets" }</th>
                        <th scope="col" class="num">{ "Notes" }</th>
                        <th scope="col">{ "Seal and gross mass" }</th>
                        <th scope="col"><span class="sr-only">{ "Do" }</span></th>
                    </tr></thead>
                    <tbody>{ for there.map(row) }{ for past.take(PAST).map(row) }</tbody>
                </table>
            </div>
            if any_sealed { <p><button type="button" onclick={of_all} data-action="print-slips">{ "Print the slips of all sealed" }</button></p> }
        </Panel>
    }
}

fn row(state: &State, container: &Container, props: &ContainersProps) -> Html {
    let contents = container.contents();
    let mark = container.state_name();
    let extra = match &container.seal {
        Seal::Open => None,
        Seal::Sealed(_) => in_session(state, container.id),
        Seal::Held(_, hold) => Some(hold.why.to_string()),
        Seal::Destroyed { session, .. } => Some(format!("session {session}")),
        Seal::Retired { reason, .. } => Some(reason.clone()),
    };
    let id = container.id;
    let to = |work: Work| props.onwork.reform(move |_: MouseEvent| work);
    html! {
        <tr key={id.to_string()} data-row={id.to_string()} class={classes!((props.looked_at == Some(id)).then_some("looked-at"))}>
            <th scope="row"><span class="mono">{ id.to_string() }</span>
                if let Some((place, _)) = &container.place { <span class="note">{ place.to_string() }</span> }</th>
            <td><span class={classes!("mark", mark)}>{ mark }</span>if let Some(extra) = extra { <span class="note">{ extra }</span> }</td>
            <td class="num">{ grouped(contents.sheets.into()) }</td>
            <td class="num">{ grouped(contents.notes.into()) }</td>
            <td class="seal-cell">{ seal(state, container) }</td>
            <td><span class="row-actions">
                if props.may && container.seal == Seal::Open {
                    <button type="button" onclick={to(Work::Fill(Some(id)))} data-action="fill">{ "Fill" }</button>
                    <button type="button" onclick={to(Work::Seal(Some(id)))} disabled={container.items.is_empty()} data-action="seal">{ "Seal" }</button>
                }
                <button type="button" onclick={to(Work::Look(id))} data-action="look" aria-label={format!("Look at container {id}")}>{ "Look" }</button>
                if !container.is_gone() {
                    <button type="button" onclick={props.print.reform(move |_: MouseEvent| vec![id])} data-action="print-slip">{ "Slip" }</button>
                }
            </span></td>
        </tr>
    }
}

/// A sealed container that a session has called for.
fn in_session(state: &State, container: ContainerId) -> Option<String> {
    let log = state.session.as_ref()?;
    log.declared(container)?;
    Some(format!("in session {}, under way", log.session))
}

/// What its weighing said when it was sealed, where that is not what it should hold.
fn differs(state: &State, container: &Container, sealing: &Sealing) -> Option<String> {
    let net = sealing.gross?.less(sealing.weighed.tare?)?;
    let expected = state.expected_mass(container, sealing.weighed.scale);
    (expected.judge(net) == WeighVerdict::Differs)
        .then(|| format!("mass differs: net {net}, expected {}", expected.mass))
}

fn seal(state: &State, container: &Container) -> Html {
    let Some(sealing) = container.sealing() else {
        return html! { "–" };
    };
    let who = format!(
        "{} and {}, {}",
        state.name_of(sealing.by),
        state.name_of(sealing.second),
        sealing.at.dated()
    );
    let corrected = sealing.corrections.last().map(|one| one.act.seq);
    html! {
        <><span class="mono">{ sealing.number.to_string() }</span>
        if let Some(gross) = sealing.gross { <span class="num">{ format!(" {gross}") }</span> }
        <span class="note">{ who }</span>
        if let Some(differs) = differs(state, container, sealing) { <span class="note error">{ differs }</span> }
        if let Some(entry) = corrected { <span class="note">{ format!("corrected in entry {entry}") }</span> }</>
    }
}

/// The open containers, to choose from.
pub fn open_choices(state: &State) -> Vec<Choice> {
    let open = state.cage.containers.values();
    let open = open.filter(|container| container.seal == Seal::Open);
    open.map(|container| choice(container.id, container))
        .collect()
}

fn choice(id: ContainerId, container: &Container) -> Choice {
    let contents = container.contents();
    let pieces = sheets_and_notes(contents.sheets.into(), contents.notes.into());
    let shown = format!("{id} ({pieces})");
    (id.to_string().into(), shown.into())
}

/// Everyone who may seal, but not the one who is signed in.
pub fn second_choices(state: &State, first: Option<crate::people::PersonId>) -> Vec<Choice> {
    let people = state.people.values();
    let others = people.filter(|person| Duty::Seal.allows(person) && Some(person.person) != first);
    others
        .map(|person| {
            (
                person.person.to_string().into(),
                person.name.to_string().into(),
            )
        })
        .collect()
}
