//! Every lot of the book with how far it is from being closed.

use yew::prelude::*;

use crate::account::SheetFigures;
use crate::book::{Lot, State, sheet_figures};
use crate::sheet::LotId;
use crate::ui::Shop;
use crate::ui::kit::{Panel, count};

pub fn lots(shop: &Shop, choose: &Callback<LotId>) -> Html {
    let state = shop.state();
    let row = |lot: &Lot| {
        let sheets = sheet_figures(lot);
        let id = lot.id;
        let onclick = choose.reform(move |_: MouseEvent| id);
        html! {
            <tr key={id.to_string()} data-row={id.to_string()}>
                <th scope="row"><button type="button" class="quiet mono" {onclick}>{ id.to_string() }</button></th>
                <td>{ &lot.product.title }</td>
                <td class="num">{ received(&sheets) }</td>
                <td class="num">{ count(sheets.good) }</td>
                <td class="num">{ count(sheets.mixed) }</td>
                <td class="num">{ count(sheets.spoiled) }</td>
                <td>{ standing(&state, lot) }</td>
            </tr>
        }
    };
    let rows = state.lots.values().map(row).collect::<Html>();
    html! {
        <Panel title="Lots">
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Every lot and what stands between it and its closing" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Lot" }</th><th scope="col">{ "Product" }</th>
                        <th scope="col" class="num">{ "Received" }</th><th scope="col" class="num">{ "Good" }</th>
                        <th scope="col" class="num">{ "Mixed" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                        <th scope="col">{ "Standing" }</th>
                    </tr></thead>
                    <tbody>{ rows }</tbody>
                </table>
            </div>
            { archived(&state) }
        </Panel>
    }
}

fn archived(state: &State) -> Html {
    let archive = &state.archive;
    match archive.lots.len() {
        0 => Html::default(),
        1 => {
            html! { <p class="hint">{ format!("1 closed lot is in the archive ({}). It counts in the whole book.", archive.entries()) }</p> }
        }
        lots => {
            html! { <p class="hint">{ format!("{} closed lots are in the archive ({}). They count in the whole book.", count(lots as u64), archive.entries()) }</p> }
        }
    }
}

/// "500", or "500 + 2" with sheets added at the press.
fn received(sheets: &SheetFigures) -> String {
    match sheets.added {
        0 => count(sheets.received),
        added => format!("{} + {}", count(sheets.received), count(added)),
    }
}

fn standing(state: &State, lot: &Lot) -> Html {
    if let Some(entry) = lot.closed {
        return html! { <span class="mark good">{ format!("Closed in entry {entry}") }</span> };
    }
    match state.stands_in_the_way(lot).first() {
        None => html! { <span class="mark good">{ "Ready to be closed" }</span> },
        Some(obstacle) => html! { <span class="mark open">{ obstacle.to_string() }</span> },
    }
}
