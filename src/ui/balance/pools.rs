//! The stock of replacement notes.

use yew::prelude::*;

use crate::book::{Fate, Pool};
use crate::desk::stock::StockList;
use crate::ui::Shop;
use crate::ui::kit::{Panel, count};

pub fn pools(shop: &Shop) -> Html {
    let state = shop.state();
    if state.pools.is_empty() {
        return Html::default();
    }
    let list = StockList::of(&state, state.day_of(&shop.now()));
    let row = |pool: &Pool| {
        let id = pool.series.id().to_string();
        let next = pool.series.serial(pool.used());
        let next = next.map_or_else(|| "none left".to_owned(), |serial| serial.to_string());
        html! {
            <tr key={id.clone()} data-row={id.clone()}>
                <th scope="row" class="mono">{ id }</th>
                <td>{ pool.series.product().to_string() }</td>
                <td class="num">{ count(pool.series.len()) }</td>
                <td class="num">{ count(pool.used()) }</td>
                <td class="num">{ count(pool.count(Fate::Inserted)) }</td>
                <td class="num">{ count(pool.count(Fate::Spoiled)) }</td>
                <td class="num">{ count(pool.count(Fate::Returned)) }</td>
                <td class="num">{ count(pool.count(Fate::OnHand)) }</td>
                <td class="num">{ count(pool.left()) }</td>
                <td data-lasts="">{ list.lasts(pool) }</td>
                <td class="mono">{ next }</td>
            </tr>
        }
    };
    let rows = state.pools.values().map(row).collect::<Html>();
    html! {
        <Panel title="Replacement series">
            { for list.short.iter().map(|short| html! { <p class="caution">{ short }</p> }) }
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Each series: notes in it, drawn, and what became of them" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Series" }</th><th scope="col">{ "Product" }</th>
                        <th scope="col" class="num">{ "Notes" }</th><th scope="col" class="num">{ "Drawn" }</th>
                        <th scope="col" class="num">{ "Inserted" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                        <th scope="col" class="num">{ "Returned" }</th><th scope="col" class="num">{ "On hand" }</th><th scope="col" class="num">{ "Not drawn" }</th>
                        <th scope="col">{ "Lasts" }</th>
                        <th scope="col">{ "Next" }</th>
                    </tr></thead>
                    <tbody>{ rows }</tbody>
                </table>
            </div>
        </Panel>
    }
}
