//! Lots: the list, what can be done with each, and the form that opens one.

use yew::prelude::*;

use crate::book::{Lot, sheet_figures};
use crate::desk::forms::number_lot::lots_to_number;
use crate::desk::forms::press::lots_at_press;
use crate::desk::{Action, Screen};
use crate::people::Duty;
use crate::sheet::LotId;
use crate::ui::kit::{Empty, Panel, count};
use crate::ui::machine::MachineFile;
use crate::ui::{Shop, use_shop};

use super::lot_form::LotForm;
use super::number_lot::NumberLot;
use super::press::PressForm;
use super::submit::Supervised;

pub fn lots(shop: &Shop) -> Html {
    html! {
        <>
            <Panel title="Lots"><List /></Panel>
            { numbering(&shop) }
            <Supervised what="Opening a lot"><LotForm /></Supervised>
        </>
    }
}

/// What is done to lots that were opened before numbering; nothing is shown while there are none.
fn numbering(shop: &Shop) -> Html {
    let (to_number, at_press) = {
        let state = shop.state();
        let to_number = lots_to_number(&state).next().is_some();
        (to_number, lots_at_press(&state).next().is_some())
    };
    html! {
        <>
            if to_number { <Supervised what="Numbering a lot"><NumberLot /></Supervised> }
            if at_press { <Supervised what="Recording what differed at the press"><PressForm /></Supervised> }
        </>
    }
}

#[function_component]
fn List() -> Html {
    let shop = use_shop();
    let reading = use_state(|| None::<LotId>);
    let state = shop.state();
    if state.lots.is_empty() {
        return html! { <Empty text="No lot is open yet. Open one below; it needs a product." /> };
    }
    let onclose = {
        let reading = reading.clone();
        Callback::from(move |()| reading.set(None))
    };
    // The newest lot is the one that is worked on.
    let mut lots: Vec<&Lot> = state.lots.values().collect();
    lots.sort_by_key(|lot| (lot.closed.is_some(), std::cmp::Reverse(lot.seq)));
    html! {
        <>
            <div class="table-frame">
                <table class="data lots">
                    <caption class="sr-only">{ "Lots, open ones first" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Lot" }</th><th scope="col">{ "Product" }</th>
                        <th scope="col" class="num">{ "Sheets" }</th><th scope="col">{ "Stage" }</th>
                        <th scope="col" class="num">{ "Examined" }</th><th scope="col" class="num">{ "Good" }</th>
                        <th scope="col" class="num">{ "Mixed" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                        <th scope="col">{ "State" }</th><th scope="col"><span class="sr-only">{ "What to do" }</span></th>
                    </tr></thead>
                    <tbody>{ for lots.into_iter().map(|lot| row(lot, &shop, &reading)) }</tbody>
                </table>
            </div>
            if let Some(lot) = *reading { <MachineFile {lot} {onclose} /> }
        </>
    }
}

fn row(lot: &Lot, shop: &Shop, reading: &UseStateHandle<Option<LotId>>) -> Html {
    let sheets = sheet_figures(lot);
    let stage = match (lot.is_numbered(), sheets.lost_at_press) {
        (false, 0) => "before numbering".to_owned(),
        (true, 0) => "numbered".to_owned(),
        (false, lost) => format!("before numbering, {} lost", count(lost)),
        (true, lost) => format!("numbered, {} lost", count(lost)),
    };
    let closed = lot.closed.is_some();
    html! {
        <tr key={lot.id.to_string()} data-row={lot.id.to_string()}>
            <th scope="row" class="mono">{ lot.id.to_string() }</th>
            <td>{ &lot.product.title }</td>
            <td class="num">{ count(lot.len()) }</td>
            <td>{ stage }</td>
            <td class="num">{ count(lot.tally.examined()) }</td>
            <td class="num">{ count(sheets.good) }</td>
            <td class="num">{ count(sheets.mixed) }</td>
            <td class="num">{ count(sheets.spoiled) }</td>
            <td><span class={if closed { "mark sealed" } else { "mark open" }}>{ if closed { "closed" } else { "open" } }</span></td>
            <td class="row-actions">if !closed { { actions(lot.id, shop, reading) } }</td>
        </tr>
    }
}

fn actions(lot: LotId, shop: &Shop, reading: &UseStateHandle<Option<LotId>>) -> Html {
    let to_bench = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| {
            shop.act(Action::ChooseLot(lot));
            shop.go(Screen::Bench);
        })
    };
    let read = {
        let reading = reading.clone();
        Callback::from(move |_: MouseEvent| reading.set(Some(lot)))
    };
    let desk = shop.desk();
    let label = if desk.bench.lot == Some(lot) {
        "Go to the bench"
    } else {
        "Put on the bench"
    };
    let may_read = desk.may(Duty::ReadMachineFile);
    html! {
        <>
            <button type="button" onclick={to_bench} data-action="to-bench">{ label }</button>
            <button type="button" onclick={read} disabled={!may_read} data-action="machine-file">{ "Machine file" }</button>
        </>
    }
}
