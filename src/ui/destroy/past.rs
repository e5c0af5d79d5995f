//! Past sessions, the last first, each with its certificate.

use yew::prelude::*;

use crate::book::{SessionRecord, State};
use crate::custody::SessionId;
use crate::ui::kit::{Empty, count};
use crate::ui::use_shop;

use super::certificate::ShowCertificate;
use super::corrections::given_up;
use super::residue::{ResidueForm, residue_of};

/// Sessions listed at first, and more each time.
const WINDOW: usize = 50;

#[function_component]
pub fn Past() -> Html {
    let shop = use_shop();
    let chosen = use_state(|| None::<SessionId>);
    let shown = use_state(|| WINDOW);
    let state = shop.state();
    if state.sessions.is_empty() {
        return html! { <><Empty text="Nothing was destroyed yet." />{ given_up(&state) }</> };
    }
    let choose = |id: SessionId| {
        let chosen = chosen.clone();
        Callback::from(move |_: MouseEvent| chosen.set(Some(id)))
    };
    let rest = state.sessions.len().saturating_sub(*shown);
    let more = {
        let shown = shown.clone();
        Callback::from(move |_: MouseEvent| shown.set(*shown + WINDOW))
    };
    let row = |session: &SessionRecord| row(&state, session, choose(session.record.session));
    html! {
        <>
            <div class="table-frame panel no-print">
                <table class="data">
                    <caption class="sr-only">{ "Destruction sessions, the last first" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Session" }</th>
                        <th scope="col">{ "Started" }</th>
                        <th scope="col">{ "Containers" }</th>
                        <th scope="col" class="num">{ "Sheets" }</th>
                        <th scope="col" class="num">{ "Notes" }</th>
                        <th scope="col">{ "Witnesses" }</th>
                        <th scope="col">{ "Residue" }</th>
                        <th scope="col" class="num">{ "Entry" }</th>
                        <th scope="col"><span class="sr-only">{ "Certificate" }</span></th>
                    </tr></thead>
                    <tbody>{ for state.sessions.iter().rev().take(*shown).map(row) }</tbody>
                </table>
                if rest > 0 { <p><button type="button" onclick={more}>{ format!("Show more ({} left)", count(rest as u64)) }</button></p> }
            </div>
            <ResidueForm />
            { given_up(&state) }
            if let Some(session) = *chosen { <ShowCertificate key={session.to_string()} {session} /> }
        </>
    }
}

fn row(state: &State, session: &SessionRecord, onclick: Callback<MouseEvent>) -> Html {
    let record = session.as_corrected();
    let found = &record.containers;
    let containers: Vec<_> = found.iter().map(|one| one.container.to_string()).collect();
    let witnesses: Vec<_> = record
        .witnesses
        .iter()
        .map(|id| state.name_of(*id))
        .collect();
    let sum = |number: fn(&crate::custody::Found) -> u32| {
        found.iter().map(|one| u64::from(number(one))).sum::<u64>()
    };
    html! {
        <tr key={record.session.to_string()} data-row={record.session.to_string()}>
            <th scope="row" class="mono">{ record.session.to_string() }</th>
            <td>{ record.started.dated() }</td>
            <td class="mono">{ containers.join(", ") }</td>
            <td class="num">{ count(sum(|one| one.sheets)) }</td>
            <td class="num">{ count(sum(|one| one.notes)) }</td>
            <td>{ witnesses.join(", ") }</td>
            <td data-residue="">{ residue_of(state, session) }</td>
            <td class="num">
                { count(session.seq) }
                { for session.corrections.iter().map(|one| html! { <span class="note">{ format!("corrected in entry {}", count(one.seq)) }</span> }) }
            </td>
            <td><button type="button" {onclick} data-action="certificate">{ "Certificate" }</button></td>
        </tr>
    }
}
