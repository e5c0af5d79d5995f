//! Spoils that lie loose, by lot and kind, and since when.

use std::collections::BTreeMap;

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::{Place, State, lot_of};
use crate::custody::Item;
use crate::people::Stamp;
use crate::sheet::LotId;
use crate::ui::kit::{Empty, Panel, count};
use crate::ui::use_shop;

/// Pieces listed at first, and more each time.
const WINDOW: usize = 200;
const KINDS: [&str; 3] = ["sheets", "notes", "replacement notes"];

/// How many of each kind are loose in one lot, and since when the oldest.
#[derive(Clone, Default)]
struct Kinds {
    counts: [u64; 3],
    oldest: Option<Stamp>,
}

/// Which of them are listed one by one.
#[derive(Clone, Default, PartialEq)]
struct Filter {
    lot: Option<LotId>,
    kind: Option<usize>,
}

#[function_component]
pub fn Loose() -> Html {
    let shop = use_shop();
    let listed = use_state(|| 0);
    let filter = use_state(Filter::default);
    let (state, now) = (shop.state(), shop.now());
    let lots = by_lot(&state);
    if lots.is_empty() {
        return html! { <Panel title="Loose"><Empty text="No spoil lies loose." /></Panel> };
    }
    let more = {
        let listed = listed.clone();
        Callback::from(move |_: MouseEvent| listed.set(*listed + WINDOW))
    };
    let wanted: Vec<(Item, Stamp)> = match *listed {
        0 => Vec::new(),
        _ => loose_of(&state, &filter),
    };
    let rest = wanted.len().saturating_sub(*listed);
    let row = |(lot, kinds): (&LotId, &Kinds)| {
        let [sheets, notes, replacements] = kinds.counts.map(count);
        let oldest = kinds.oldest.as_ref().map(|since| for_how_long(&now, since));
        html! {
            <tr key={lot.to_string()} data-row={lot.to_string()}>
                <th scope="row" class="id">{ lot.to_string() }</th>
                <td class="num" data-kind="sheets">{ sheets }</td>
                <td class="num" data-kind="notes">{ notes }</td>
                <td class="num" data-kind="replacements">{ replacements }</td>
                <td class="num">{ oldest.unwrap_or_default() }</td>
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
                        <th scope="col" class="num">{ "Oldest for" }</th>
                    </tr></thead>
                    <tbody>{ for lots.iter().map(row) }</tbody>
                </table>
            </div>
            if *listed > 0 {
                { filters(&filter, &lots) }
                <ul class="pieces">{ for wanted.iter().take(*listed).map(|(item, since)| html! {
                    <li key={item.to_string()}><span class="mono">{ item.to_string() }</span><span class="since">{ format!(" {}", for_how_long(&now, since)) }</span></li>
                }) }</ul>
                if wanted.is_empty() { <p class="hint">{ "Nothing of that lot and kind is loose." }</p> }
            }
            if *listed == 0 {
                <p><button type="button" onclick={more} data-action="list-loose">{ "List them one by one" }</button></p>
            } else if rest > 0 {
                <p><button type="button" onclick={more}>{ format!("Show more ({} left)", count(rest as u64)) }</button></p>
            }
        </Panel>
    }
}

fn kind(item: &Item) -> usize {
    match item {
        Item::Sheet(..) => 0,
        Item::Note(_) => 1,
        Item::Replacement(_) => 2,
    }
}

/// "40 min", "7 h", "12 days".
fn for_how_long(now: &Stamp, since: &Stamp) -> String {
    match now.seconds_since(since).max(0) / 60 {
        minutes @ ..120 => format!("{minutes} min"),
        minutes @ ..2880 => format!("{} h", minutes / 60),
        minutes => format!("{} days", minutes / 1440),
    }
}

fn by_lot(state: &State) -> BTreeMap<LotId, Kinds> {
    let mut lots: BTreeMap<LotId, Kinds> = BTreeMap::new();
    for (item, place) in &state.cage.spoils {
        let Some(lot) = lot_of(state, item).filter(|_| *place == Place::Loose) else {
            continue;
        };
        let kinds = lots.entry(lot).or_default();
        kinds.counts[kind(item)] += 1;
        let since = state.cage.came(item).map(|came| &*came.at);
        let older = |since: &&Stamp| kinds.oldest.as_ref().is_none_or(|oldest| *since < oldest);
        if let Some(since) = since.filter(older) {
            kinds.oldest = Some(since.clone());
        }
    }
    lots
}

/// The loose spoils of a lot and kind, the oldest first.
fn loose_of(state: &State, filter: &Filter) -> Vec<(Item, Stamp)> {
    let loose = state.cage.spoils.iter().filter(|(item, place)| {
        **place == Place::Loose
            && filter.kind.is_none_or(|wanted| wanted == kind(item))
            && filter
                .lot
                .is_none_or(|wanted| lot_of(state, item) == Some(wanted))
    });
    let since = |item: &Item| state.cage.came(item).map(|came| (*came.at).clone());
    let mut loose: Vec<(Item, Stamp)> = loose
        .filter_map(|(item, _)| Some((*item, since(item)?)))
        .collect();
    loose.sort_by(|a, b| a.1.cmp(&b.1));
    loose
}

fn filters(filter: &UseStateHandle<Filter>, lots: &BTreeMap<LotId, Kinds>) -> Html {
    let value = |event: Event| event.target_unchecked_into::<HtmlSelectElement>().value();
    let onlot = {
        let filter = filter.clone();
        Callback::from(move |event: Event| {
            let lot = value(event).parse().ok();
            filter.set(Filter {
                lot,
                ..(*filter).clone()
            });
        })
    };
    let onkind = {
        let filter = filter.clone();
        Callback::from(move |event: Event| {
            let kind = value(event).parse().ok();
            filter.set(Filter {
                kind,
                ..(*filter).clone()
            });
        })
    };
    let lot = |lot: &LotId| html! { <option key={lot.to_string()} value={lot.to_string()} selected={filter.lot == Some(*lot)}>{ lot.to_string() }</option> };
    let kind = |(index, name): (usize, &&str)| html! { <option key={*name} value={index.to_string()} selected={filter.kind == Some(index)}>{ *name }</option> };
    html! {
        <div class="loose-filters">
            <label>{ "Lot" }<select onchange={onlot} data-filter="lot"><option value="" selected={filter.lot.is_none()}>{ "every lot" }</option>{ for lots.keys().map(lot) }</select></label>
            <label>{ "Kind" }<select onchange={onkind} data-filter="kind"><option value="" selected={filter.kind.is_none()}>{ "every kind" }</option>{ for KINDS.iter().enumerate().map(kind) }</select></label>
        </div>
    }
}
