//! Spoils that lie loose, by lot and kind.

use std::collections::BTreeMap;

use yew::prelude::*;

use crate::book::{Place, State, lot_of};
use crate::custody::Item;
use crate::sheet::LotId;
use crate::ui::kit::{Empty, Panel, count};
use crate::ui::use_shop;

/// Pieces listed at first, and more each time.
const WINDOW: usize = 200;

/// How many of each kind are loose in one lot.
#[derive(Clone, Copy, Default)]
struct Kinds {
    sheets: u64,
    notes: u64,
    replacements: u64,
}

#[function_component]
pub fn Loose() -> Html {
    let shop = use_shop();
    let listed = use_state(|| 0);
    let state = shop.state();
    let loose: Vec<&Item> = loose_items(&state).collect();
    if loose.is_empty() {
        return html! { <Panel title="Loose"><Empty text="No spoil lies loose." /></Panel> };
    }
    let more = {
        let listed = listed.clone();
        Callback::from(move |_: MouseEvent| listed.set(*listed + WINDOW))
    };
    let rest = loose.len().saturating_sub(*listed);
    let row = |(lot, kinds): (LotId, Kinds)| {
        html! {
            <tr key={lot.to_string()} data-row={lot.to_string()}>
                <th scope="row">{ lot.to_string() }</th>
                <td class="num" data-kind="sheets">{ count(kinds.sheets) }</td>
                <td class="num" data-kind="notes">{ count(kinds.notes) }</td>
                <td class="num" data-kind="replacements">{ count(kinds.replacements) }</td>
            </tr>
        }
    };
    html! {
        <Panel title="Loose" lead="Spoils that were ruled and lie in no container yet.">
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Loose spoils by lot and kind" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Lot" }</th>
                        <th scope="col" class="num">{ "Spoiled sheets" }</th>
                        <th scope="col" class="num">{ "Pulled notes" }</th>
                        <th scope="col" class="num">{ "Spoiled replacement notes" }</th>
                    </tr></thead>
                    <tbody>{ for by_lot(&state, &loose).into_iter().map(row) }</tbody>
                </table>
            </div>
            if *listed > 0 {
                <ul class="pieces mono">{ for loose.iter().take(*listed).map(|item| html! { <li key={item.to_string()}>{ item.to_string() }</li> }) }</ul>
            }
            if rest > 0 {
                <p><button type="button" onclick={more}>{ if *listed == 0 { "List them one by one".to_owned() } else { format!("Show more ({} left)", count(rest as u64)) } }</button></p>
            }
        </Panel>
    }
}

fn loose_items(state: &State) -> impl Iterator<Item = &Item> {
    let spoils = state.cage.spoils.iter();
    spoils
        .filter(|(_, place)| **place == Place::Loose)
        .map(|(item, _)| item)
}

fn by_lot(state: &State, loose: &[&Item]) -> BTreeMap<LotId, Kinds> {
    let mut lots: BTreeMap<LotId, Kinds> = BTreeMap::new();
    for item in loose {
        let Some(lot) = lot_of(state, item) else {
            continue;
        };
        let kinds = lots.entry(lot).or_default();
        match item {
            Item::Sheet(..) => kinds.sheets += 1,
            Item::Note(_) => kinds.notes += 1,
            Item::Replacement(_) => kinds.replacements += 1,
        }
    }
    lots
}
