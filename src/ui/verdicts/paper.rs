//! The pick list on paper, A4.

use gloo::events::EventListener;
use yew::prelude::*;

use crate::book::{Fate, Lot};
use crate::desk::Action;
use crate::export::{PickLine, fate_name, pick_list};
use crate::sheet::LotId;
use crate::ui::kit::count;
use crate::ui::{Shop, use_shop};

use super::picks::{depth, place};
use super::screen::OfLot;

/// The print button; the paper is only drawn while it prints, since it may be long.
#[function_component]
pub fn PickPaper(props: &OfLot) -> Html {
    let shop = use_shop();
    let printing = use_state(|| false);
    let after = printing.clone();
    use_effect_with((), move |()| {
        let window = gloo::utils::window();
        let listener = EventListener::new(&window, "afterprint", move |_| after.set(false));
        move || drop(listener)
    });
    let print = shop.clone();
    use_effect_with(*printing, move |printing| {
        if *printing {
            print.act(Action::Print);
        }
    });
    let onclick = {
        let printing = printing.clone();
        Callback::from(move |_: MouseEvent| printing.set(true))
    };
    html! {
        <>
            <button type="button" class="primary" {onclick} data-action="print-picks">{ "Print the pick list" }</button>
            if *printing { { paper(&shop, props.lot) } }
        </>
    }
}

fn paper(shop: &Shop, lot: LotId) -> Html {
    let desk = shop.desk();
    let state = desk.state();
    let (Some(opened), Some(lot)) = (&state.opened, state.lots.get(&lot)) else {
        return Html::default();
    };
    let mut lines = pick_list(state, lot.id);
    lines.retain(|line| matches!(line.fate, Fate::OnHand | Fate::Inserted));
    let bundles = lines.chunk_by(|a, b| a.bundle == b.bundle);
    let now = shop.now();
    let head = desk.book.head();
    html! {
        <article class="print-only print-document pick-paper">
            if opened.practice { <p class="print-practice">{ "PRACTICE" }</p> }
            <h1>{ "Pick list" }</h1>
            <dl class="print-facts">
                <dt>{ "Works" }</dt><dd>{ &opened.works }</dd>
                <dt>{ "Lot" }</dt><dd>{ format!("{} · {}", lot.id, lot.product.title) }</dd>
                <dt>{ "Printed" }</dt><dd>{ now.dated() }</dd>
                <dt>{ "Notes" }</dt><dd>{ count(lines.len() as u64) }</dd>
                <dt>{ "Head of the book" }</dt><dd class="mono">{ head.to_string() }</dd>
            </dl>
            <p>{ "Work down each pile from the top and insert each note before you count on: then every depth is right." }</p>
            <table class="print-table">
                <thead><tr><th colspan="6">{ page_head(opened.practice, lot) }</th></tr><tr>
                    <th scope="col" class="num">{ "Bundle" }</th><th scope="col" class="num">{ "Depth from the top" }</th><th scope="col">{ "Pull" }</th>
                    <th scope="col">{ "Insert" }</th><th scope="col">{ "Status" }</th><th scope="col">{ "Done" }</th>
                </tr></thead>
                { for bundles.map(bundle) }
            </table>
        </article>
    }
}

/// Again on every page.
fn page_head(practice: bool, lot: &Lot) -> String {
    let practice = if practice { "PRACTICE · " } else { "" };
    format!(
        "{practice}Pick list of lot {} · {}",
        lot.id, lot.product.title
    )
}

fn bundle(lines: &[PickLine]) -> Html {
    let title = lines.first().map_or_else(String::new, place);
    html! {
        <tbody>
            <tr><th colspan="6" scope="rowgroup">{ title }</th></tr>
            { for lines.iter().map(line) }
        </tbody>
    }
}

fn line(line: &PickLine) -> Html {
    let pull = match line.left_with_sheet {
        true => format!("{} (left with its sheet)", line.pull_shown),
        false => line.pull_shown.clone(),
    };
    html! {
        <tr>
            <td class="num">{ line.bundle.to_string() }</td>
            <td class="num">{ depth(line) }</td>
            <td class="mono">{ pull }</td>
            <td class="mono">{ &line.insert_shown }</td>
            <td>{ fate_name(line.fate) }</td>
            <td><span class="print-box" /></td>
        </tr>
    }
}
