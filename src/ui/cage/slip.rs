//! The slips of containers on paper: two to an A4 page, with a mark to cut by.

use gloo::events::EventListener;
use yew::prelude::*;

use crate::book::State;
use crate::custody::ContainerId;
use crate::desk::Action;
use crate::export::{ContainerSlip, SlipSeal, container_slip, sheets_and_notes};
use crate::ui::Shop;
use crate::ui::destroy::{bars, square};

/// Asks for slips, and the paper they are printed on while the browser prints.
pub struct Slips {
    pub print: Callback<Vec<ContainerId>>,
    pub paper: Html,
}

/// Prints the slips of the containers it is called with.
#[hook]
pub fn use_slips(shop: &Shop) -> Slips {
    let printing = use_state(Vec::<ContainerId>::new);
    let after = printing.clone();
    use_effect_with((), move |()| {
        let window = gloo::utils::window();
        let listener = EventListener::new(&window, "afterprint", move |_| after.set(Vec::new()));
        move || drop(listener)
    });
    let print = shop.clone();
    use_effect_with((*printing).clone(), move |printing| {
        if !printing.is_empty() {
            print.act(Action::Print);
        }
    });
    Slips {
        paper: slips(&shop.state(), &printing),
        print: Callback::from(move |ids| printing.set(ids)),
    }
}

/// The slips of one or several containers, for paper only.
pub fn slips(state: &State, containers: &[ContainerId]) -> Html {
    if containers.is_empty() {
        return Html::default();
    }
    let found = containers
        .iter()
        .filter_map(|id| container_slip(state, *id));
    html! {
        <article class="print-only print-document slips">{ for found.map(|slip| one(&slip)) }</article>
    }
}

fn one(slip: &ContainerSlip) -> Html {
    let (ranges, more) = slip.ranges();
    html! {
        <section class="slip" data-slip={slip.container.to_string()}>
            if slip.practice { <p class="print-practice">{ "PRACTICE" }</p> }
            <header>
                <div>
                    <p>{ format!("{} · bench {}", slip.works, slip.bench) }</p>
                    <h1 class="mono">{ slip.container.to_string() }</h1>
                    <p><b class="slip-state">{ slip.state }</b>{ format!(" · {}", sheets_and_notes(slip.sheets.into(), slip.notes.into())) }</p>
                    if let Some(held) = &slip.held { <p>{ format!("Held: {held}. Nothing goes in, out or away.") }</p> }
                </div>
                { bars(&slip.bar_text()) }
            </header>
            <div class="slip-body">
                <dl class="print-facts">
                    <dt>{ "Stands" }</dt><dd>{ slip.place.as_ref().map_or_else(|| "not said yet".to_owned(), ToString::to_string) }</dd>
                    { match &slip.sealed {
                        Some(sealed) => seal(sealed),
                        None => html! { <><dt>{ "Seal" }</dt><dd>{ "not sealed yet" }</dd></> },
                    } }
                </dl>
                { square(&slip.qr_text(), "QR code with what the slip says") }
            </div>
            <ul class="mono">
                { for ranges.iter().map(|range| html! { <li>{ range }</li> }) }
                if more > 0 { <li>{ format!("and {more} more ranges") }</li> }
            </ul>
            <footer><p>{ "Open it only before two people. A seal that is broken, or has another number, is reported at once." }</p></footer>
        </section>
    }
}

fn seal(sealed: &SlipSeal) -> Html {
    let [first, second] = &sealed.by;
    let masses = [
        ("Gross", sealed.gross.map(|mass| mass.to_string())),
        ("Tare", sealed.tare.map(|mass| mass.to_string())),
        ("Net", sealed.net.map(|mass| mass.to_string())),
        ("Scale", sealed.scale.map(|scale| scale.to_string())),
    ];
    let masses = masses
        .into_iter()
        .filter_map(|(name, text)| Some((name, text?)));
    html! {
        <>
            <dt>{ "Seal" }</dt><dd class="mono slip-seal">{ sealed.seal.to_string() }</dd>
            <dt>{ "Sealed" }</dt><dd>{ format!("{}, by {first} and {second}", sealed.at.readable()) }</dd>
            { for masses.map(|(name, text)| html! { <><dt>{ name }</dt><dd>{ text }</dd></> }) }
        </>
    }
}
