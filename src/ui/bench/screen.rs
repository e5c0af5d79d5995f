//! The Bench as a whole.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::Acceptance;
use crate::desk::bench::Command;
use crate::desk::{Action, Screen};
use crate::people::Duty;
use crate::sheet::{LotId, SheetNo, Side};
use crate::ui::kit::{Empty, count};
use crate::ui::machine::MachineFile;
use crate::ui::{Shop, use_shop};

use super::panel::side_panel;
use super::ribbon::ribbon;
use super::sheet::Sheet;

pub fn bench_screen(shop: &Shop) -> Html {
    let has_lot = {
        let desk = shop.desk();
        desk.bench.lot(desk.state()).is_some()
    };
    if !has_lot {
        let go = shop.on(|_: MouseEvent| Action::Go(Screen::Office));
        return html! {
            <Empty text="There is no open lot on the bench. Open one in the Office: first a product, then a lot.">
                <button type="button" class="primary" onclick={go}>{ "Go to the Office" }</button>
            </Empty>
        };
    }
    html! {
        <div class="bench">
            <div class="bench-main">
                { heading(&shop) }
                <div class="sheet-frame"><Sheet /></div>
                { ribbon(&shop) }
            </div>
            { side_panel(&shop) }
        </div>
    }
}

/// Which sheet lies there, where it is in its stack, which side is up.
fn heading(shop: &Shop) -> Html {
    let desk = shop.desk();
    let bench = &desk.bench;
    let Some(lot) = bench.lot(desk.state()) else {
        return Html::default();
    };
    let place = lot
        .product
        .layout
        .of_rank(0)
        .and_then(|first| lot.place(bench.sheet, first));
    let gone = lot.gone(bench.sheet);
    let sample = bench.acceptance(desk.state());
    let stack = match (place, gone) {
        (_, Some(gone)) => format!(" · {gone}"),
        (Some(place), None) => format!(" · stack {}, {} from the top", place.stack, place.depth),
        (None, None) => String::new(),
    };
    let side = |side: Side, name: &'static str| {
        let onclick = shop.on(move |_: MouseEvent| Action::BenchClick(Command::Show(side)));
        html! { <button type="button" {onclick} aria-pressed={(bench.side == side).to_string()}>{ name }</button> }
    };
    html! {
        <div class="bench-heading">
            <h1>{ "Sheet " }<span data-sheet={bench.sheet.to_string()}>{ count(bench.sheet.number()) }</span></h1>
            if let Some(sample) = sample {
                { in_sample(&shop, sample, bench.sheet, lot.id) }
            } else {
                <p>{ format!("of {}{stack}", count(lot.len())) }</p>
            }
            { lot_pick(&shop) }
            if sample.is_none() { <MachineButton /> }
            <div class="sides-up" role="group" aria-label="Side that lies up">
                { side(Side::Front, "Front") }{ side(Side::Back, "Back") }
            </div>
        </div>
    }
}

/// Which acceptance sample is looked at, how far, and the way out of it.
fn in_sample(shop: &Shop, sample: &Acceptance, sheet: SheetNo, lot: LotId) -> Html {
    let place = sample.sheets.keys().position(|drawn| *drawn == sheet);
    let says = format!(
        "Sample {}: {} of {}, {} to look at",
        sample.id,
        count(place.map_or(0, |place| place as u64 + 1)),
        count(sample.sheets.len() as u64),
        count(sample.open().count() as u64)
    );
    let leave = shop.on(move |_: MouseEvent| Action::ChooseLot(lot));
    html! {
        <>
            <p class="in-sample" title="What others found on these sheets is not shown" data-sample={sample.id.to_string()}>{ says }</p>
            <button type="button" onclick={leave} data-action="leave-sample">{ "Back to examining" }</button>
        </>
    }
}

/// Changing the lot, when there are several open.
fn lot_pick(shop: &Shop) -> Html {
    let desk = shop.desk();
    let open: Vec<LotId> = desk
        .state()
        .lots
        .values()
        .filter(|lot| lot.closed.is_none())
        .map(|lot| lot.id)
        .collect();
    if open.len() < 2 {
        return Html::default();
    }
    let onchange = {
        let shop = shop.clone();
        Callback::from(move |event: Event| {
            let value = event.target_unchecked_into::<HtmlSelectElement>().value();
            if let Ok(lot) = value.parse() {
                shop.act(Action::ChooseLot(lot));
            }
        })
    };
    let option = |lot: &LotId| {
        html! { <option value={lot.to_string()} selected={desk.bench.lot == Some(*lot)}>{ lot.to_string() }</option> }
    };
    html! { <label class="lot-pick">{ "Lot " }<select {onchange}>{ for open.iter().map(option) }</select></label> }
}

/// Reads a machine-inspection file for the lot on the bench.
#[function_component]
fn MachineButton() -> Html {
    let shop = use_shop();
    let open = use_state(|| false);
    if !shop.desk().may(Duty::ReadMachineFile) {
        return Html::default();
    }
    let show = {
        let open = open.clone();
        Callback::from(move |_: MouseEvent| open.set(true))
    };
    let onclose = {
        let open = open.clone();
        Callback::from(move |()| open.set(false))
    };
    html! {
        <>
            <button type="button" onclick={show} data-action="machine-file">{ "Machine file" }</button>
            if *open { <MachineFile {onclose} /> }
        </>
    }
}
