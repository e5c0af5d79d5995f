//! Spoils that are missing, and every loss that was ever declared.

use yew::prelude::*;

use crate::book::{Loss, Place, State};
use crate::custody::{ContainerId, Item};
use crate::people::Duty;
use crate::ui::Shop;
use crate::ui::kit::{Panel, count};

use super::deed::Deed;
use super::screen::Work;

/// Pieces named one by one; the rest is counted.
const NAMED: usize = 40;

/// Nothing while nothing is or was gone.
pub fn gone(shop: &Shop, onwork: &Callback<Work>) -> Html {
    let state = shop.state();
    let missing: Vec<(&Item, ContainerId)> = state.cage.missing().collect();
    let losses = &state.cage.losses;
    if missing.is_empty() && losses.is_empty() {
        return Html::default();
    }
    let (may_lose, may_find) = {
        let desk = shop.desk();
        (desk.may(Duty::DeclareLost), desk.may(Duty::FillContainers))
    };
    let button = |deed: Deed| {
        let onclick = onwork.reform(move |_: MouseEvent| Work::Spoils(deed));
        html! { <button type="button" {onclick} data-deed={deed.name()}>{ deed.name() }</button> }
    };
    html! {
        <Panel title="Missing and lost" lead="What a recount did not find is a difference of the account until it is found, or given up by two.">
            if !missing.is_empty() { { missing_table(&state, &missing) } }
            if !losses.is_empty() { { loss_table(&state, losses) } }
            <div class="deeds">
                if may_find { { button(Deed::Find) } }
                if may_lose && !missing.is_empty() { { button(Deed::Lose) } }
            </div>
            if !may_lose && !missing.is_empty() { <p class="hint">{ "Declaring spoils lost is for a supervisor, with a second person." }</p> }
        </Panel>
    }
}

fn missing_table(state: &State, missing: &[(&Item, ContainerId)]) -> Html {
    let row = |(item, container): &(&Item, ContainerId)| {
        let came = state.cage.came(item);
        let since = came.map(|came| format!("{}, entry {}", came.at.dated(), came.seq));
        html! {
            <tr key={item.to_string()} data-missing={item.to_string()}>
                <th scope="row">{ item.to_string() }</th>
                <td class="mono">{ container.to_string() }</td>
                <td>{ since.unwrap_or_default() }</td>
            </tr>
        }
    };
    let more = missing.len().saturating_sub(NAMED);
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ format!("Missing: {}", count(missing.len() as u64)) }</caption>
                <thead><tr><th scope="col">{ "Piece" }</th><th scope="col">{ "Should lie in" }</th><th scope="col">{ "Missing since" }</th></tr></thead>
                <tbody>{ for missing.iter().take(NAMED).map(row) }</tbody>
            </table>
            if more > 0 { <p class="hint">{ format!("and {} more", count(more as u64)) }</p> }
        </div>
    }
}

fn loss_table(state: &State, losses: &[Loss]) -> Html {
    let row = |loss: &Loss| {
        let pieces: Vec<String> = loss
            .items
            .iter()
            .take(NAMED)
            .map(|item| piece(state, loss, item))
            .collect();
        let more = loss.items.len().saturating_sub(NAMED);
        let by = format!(
            "{} and {}, {}, entry {}",
            state.name_of(loss.by),
            state.name_of(loss.second),
            loss.at.dated(),
            loss.seq
        );
        html! {
            <tr key={loss.seq.to_string()} data-loss={loss.seq.to_string()}>
                <th scope="row">{ pieces.join(", ") }if more > 0 { { format!(" and {} more", count(more as u64)) } }</th>
                <td>{ &loss.reason }<span class="note">{ by }</span></td>
            </tr>
        }
    };
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ "Declared lost" }</caption>
                <thead><tr><th scope="col">{ "Pieces" }</th><th scope="col">{ "Why" }</th></tr></thead>
                <tbody>{ for losses.iter().rev().map(row) }</tbody>
            </table>
        </div>
    }
}

/// "note KA000001", and what became of it when it was found after all.
fn piece(state: &State, loss: &Loss, item: &Item) -> String {
    match state.cage.spoils.get(item) {
        Some(Place::Lost(seq)) if *seq == loss.seq => item.to_string(),
        _ => format!("{item} (found again)"),
    }
}
