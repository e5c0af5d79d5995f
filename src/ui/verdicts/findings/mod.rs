//! The press seen through the spoils: repeaters, zones, and where each class lies on the sheet.

mod map;
mod tables;

use yew::prelude::*;

use crate::book::{Lot, Press, family};
use crate::ui::kit::{Empty, count};
use crate::ui::use_shop;

use super::screen::OfLot;
use map::PositionMaps;
use tables::{repeaters, unmarked, zones};

#[function_component]
pub fn FindingsView(props: &OfLot) -> Html {
    let shop = use_shop();
    let desk = shop.desk();
    let on_bench = desk.bench.lot == Some(props.lot);
    // The lot on the bench is followed there; another is counted here, once for each entry.
    let counted = use_memo((props.lot, on_bench, desk.book.len()), |_| {
        let lot = desk.state().lots.get(&props.lot).filter(|_| !on_bench);
        lot.map(Press::of)
    });
    let press = (*counted).as_ref().unwrap_or(&desk.bench.press);
    let Some(lot) = desk.state().lots.get(&props.lot) else {
        return Html::default();
    };
    if press.examined() == 0 {
        return html! { <Empty text="No sheet of this lot is examined yet, so nothing was tested." /> };
    }
    let found = press.findings();
    html! {
        <div class="findings">
            <p class="lead">{ tested(lot, press) }</p>
            { repeaters(lot, &found) }
            { zones(lot, &found) }
            { unmarked(lot, press, &found) }
            <PositionMaps lot={props.lot} marks={map::Counts::of(press)} />
        </div>
    }
}

/// What was looked for, on how many sheets, and how false alarms are held.
fn tested(lot: &Lot, press: &Press) -> String {
    let family = family(lot);
    format!(
        "Tested on {} examined sheets: {} positions and {} classes on each side for runs, and {} \
         classes that were marked for columns and rows. Of all findings shown, at most 1 in 20 is \
         to be expected by chance alone. Tags of the whole sheet have no position and take no part.",
        count(press.examined()),
        count(family.positions),
        count(family.classes / 2),
        count(press.marks().count() as u64),
    )
}
