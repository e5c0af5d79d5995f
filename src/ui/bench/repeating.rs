//! What the press does again and again. The room is kept free whether there is anything to say or
//! not, so that neither the sheet nor the classes ever move.

use yew::prelude::*;

use crate::desk::findings::{self, Told};
use crate::desk::{Action, VerdictsView};
use crate::ui::Shop;
use crate::ui::kit::count;

/// Lines said at once.
pub const LINES: usize = 3;

pub fn repeating(shop: &Shop) -> Html {
    let all = shop.on(|_: MouseEvent| Action::GoVerdicts(VerdictsView::Findings));
    let desk = shop.desk();
    let Some(lot) = desk.bench.lot(desk.state()) else {
        return Html::default();
    };
    let told = findings::repeating(lot, &desk.bench, LINES);
    let nothing = match desk.bench.press.examined() {
        _ if desk.bench.sample.is_some() => {
            "Not said while an acceptance sample is looked at.".to_owned()
        }
        0 => "No sheet of this lot is examined yet.".to_owned(),
        1 => "Nothing stands out on the one sheet examined.".to_owned(),
        sheets => format!("Nothing stands out on {} sheets.", count(sheets)),
    };
    html! {
        <section class="repeating" aria-label="Repeating" data-repeating={told.len().to_string()}>
            <header>
                <h3>{ "Repeating" }</h3>
                <button type="button" class="quiet" onclick={all} data-action="all-findings">{ "All findings" }</button>
            </header>
            if told.is_empty() { <p class="soft">{ nothing }</p> }
            <div role="status">
                { for told.iter().enumerate().map(|(place, told)| line(place, told)) }
            </div>
        </section>
    }
}

/// The first line also says where to look.
fn line(place: usize, told: &Told) -> Html {
    html! {
        <p key={told.what.clone()} title={told.look_at.clone()}>
            <b>{ &told.what }</b>
            if place == 0 { <span>{ format!("; {}", told.look_at) }</span> }
        </p>
    }
}
