//! The right column: what follows and why, which serials that touches, what the press is doing
//! wrong, the classes, what the next key does.

use yew::prelude::*;

use crate::book::Lot;
use crate::desk::Action;
use crate::desk::bench::{Bench, Command};
use crate::inspect::{Spot, Verdict};
use crate::ui::Shop;
use crate::ui::kit::count;

use super::examined::Examined;
use super::palette::palette;
use super::repeating::repeating;
use super::tags::Tags;

pub fn side_panel(shop: &Shop) -> Html {
    let desk = shop.desk();
    let Some(lot) = desk.bench.lot(desk.state()) else {
        return Html::default();
    };
    html! {
        <aside class="bench-side" aria-label="What follows for this sheet">
            <div class="bench-facts">
                { verdict(lot, &desk.bench) }
                // The reason for a correction is asked for above however many tags there are.
                <Examined />
                <Tags />
            </div>
            { hint(&desk.bench) }
            { repeating(shop) }
            { palette(shop) }
            { buttons(shop) }
        </aside>
    }
}

fn verdict(lot: &Lot, bench: &Bench) -> Html {
    let ruling = bench.ruling(lot);
    let touched = match ruling.verdict {
        Verdict::Good => String::new(),
        Verdict::Mixed => format!("; {} to replace", count(lot.lost_count(&ruling))),
        Verdict::Spoiled if lot.is_numbered() && lot.gone(bench.sheet).is_none() => format!(
            "; the sheet goes to destruction, {} notes to replace",
            count(lot.notes())
        ),
        Verdict::Spoiled => "; the sheet goes to destruction".to_owned(),
    };
    let name = match ruling.verdict {
        Verdict::Good => "Good",
        Verdict::Mixed => "Mixed",
        Verdict::Spoiled => "Spoiled",
    };
    html! {
        <div class={format!("verdict verdict-{}", ruling.verdict.name())} role="status" data-verdict={ruling.verdict.name()}>
            <h2>{ name }</h2>
            <p>{ format!("{}{touched}", ruling.reason) }</p>
        </div>
    }
}

fn hint(bench: &Bench) -> Html {
    let text = match (&bench.typed, bench.letter, &bench.hint) {
        (Some(typed), _, _) => format!("{}. Enter does it, Esc drops it.", typed.prompt()),
        (None, Some(letter), _) => format!("{letter}… and one more letter"),
        (None, None, Some(hint)) => hint.clone(),
        (None, None, None) => String::new(),
    };
    html! { <p class={classes!("bench-hint", text.is_empty().then_some("quiet-hint"))} role="status" aria-live="polite">{ text }</p> }
}

fn buttons(shop: &Shop) -> Html {
    let on = |command: Command| shop.on(move |_: MouseEvent| Action::BenchClick(command.clone()));
    let desk = shop.desk();
    let bench = &desk.bench;
    let whole = bench
        .draft
        .tags()
        .iter()
        .any(|tag| tag.spot == Spot::WholeSheet);
    let examined = bench.draft.corrects.is_some();
    let lot = bench.lot(desk.state());
    let finished = bench.sample.is_none() && lot.is_some_and(|lot| lot.not_examined() == 0);
    let idle = finished && examined && !bench.draft.changed() && bench.typed.is_none();
    let record = match (examined, bench.draft.changed()) {
        (false, _) => "Record, next",
        (true, true) => "Record correction",
        (true, false) if finished => "All examined",
        (true, false) => "Next open sheet",
    };
    html! {
        <div class={classes!("bench-buttons", whole.then_some("whole"))}>
            <button type="button" onclick={on(Command::Undo)} disabled={!bench.draft.changed()}>{ "Undo" }<kbd>{ "Ctrl Z" }</kbd></button>
            <button type="button" onclick={on(Command::Repeat)} disabled={bench.last_tags.is_empty()}>{ "Repeat" }<kbd>{ "=" }</kbd></button>
            <button type="button" class="primary" onclick={on(Command::Enter)} disabled={idle} data-record="">{ record }<kbd>{ "Enter" }</kbd></button>
        </div>
    }
}
