//! The screen as a whole: which lot, its figures, and several views of it.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::desk::{Action, Screen, VerdictsView as View};
use crate::sheet::LotId;
use crate::ui::kit::Empty;
use crate::ui::use_shop;

use super::acceptance::AcceptanceView;
use super::alike::AlikeView;
use super::classes::classes;
use super::draw::Replacements;
use super::figures::figures;
use super::findings::FindingsView;
use super::labels::Labels;
use super::limit::limit_view;
use super::sheets::Sheets;

/// What every part of the screen is about.
#[derive(Properties, PartialEq)]
pub struct OfLot {
    pub lot: LotId,
}

#[function_component]
pub fn VerdictsScreen() -> Html {
    let shop = use_shop();
    let chosen = use_state(|| None::<LotId>);
    let view = shop.desk().verdicts;
    let lots: Vec<LotId> = shop.state().lots.keys().copied().collect();
    let on_bench = shop.desk().bench.lot;
    let Some(lot) = chosen.or(on_bench).or(lots.last().copied()) else {
        let go = shop.on(|_: MouseEvent| Action::Go(Screen::Office));
        return html! {
            <Empty text="There is no lot yet. Open one in the Office, then examine it on the Bench.">
                <button type="button" class="primary" onclick={go}>{ "Go to the Office" }</button>
            </Empty>
        };
    };
    let onchange = Callback::from(move |event: Event| {
        let value = event.target_unchecked_into::<HtmlSelectElement>().value();
        chosen.set(value.parse().ok());
    });
    let option = |id: &LotId| {
        html! { <option key={id.to_string()} value={id.to_string()} selected={*id == lot}>{ id.to_string() }</option> }
    };
    let tab = |one: View, name: &'static str| {
        let selected = view == one;
        let onclick = shop.on(move |_: MouseEvent| Action::GoVerdicts(one));
        html! { <button type="button" role="tab" aria-selected={selected.to_string()} {onclick} data-view={name}>{ name }</button> }
    };
    html! {
        <div class="verdicts">
            <header class="screen-head">
                <h1>{ "Verdicts" }</h1>
                <label class="lot-pick">{ "Lot " }<select id="verdicts-lot" {onchange}>{ for lots.iter().map(option) }</select></label>
            </header>
            { figures(&shop, lot) }
            <div class="tabs" role="tablist" aria-label="Views of the lot">
                { tab(View::Sheets, "Sheets not good") }
                { tab(View::Findings, "Findings") }
                { tab(View::Limit, "Limit") }
                { tab(View::Classes, "Classes") }
                { tab(View::Acceptance, "Acceptance") }
                { tab(View::Alike, "Alike") }
                { tab(View::Replacements, "Replacement notes") }
                { tab(View::Labels, "Labels") }
            </div>
            { match view {
                View::Sheets => html! { <Sheets key={lot.to_string()} {lot} /> },
                View::Findings => html! { <FindingsView key={lot.to_string()} {lot} /> },
                View::Limit => limit_view(&shop, lot),
                View::Classes => classes(&shop, lot),
                View::Acceptance => html! { <AcceptanceView key={lot.to_string()} {lot} /> },
                View::Alike => html! { <AlikeView key={lot.to_string()} {lot} /> },
                View::Replacements => html! { <Replacements key={lot.to_string()} {lot} /> },
                View::Labels => html! { <Labels key={lot.to_string()} {lot} /> },
            } }
        </div>
    }
}
