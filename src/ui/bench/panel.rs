//! The right column: what follows and why, which serials that touches, what the press is doing
//! wrong, the classes, what the next key does.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::{Gone, Lot};
use crate::desk::bench::{Bench, Command, running};
use crate::desk::{Action, Desk};
use crate::inspect::{Spot, Verdict};
use crate::ui::kit::count;
use crate::ui::use_shop;

use super::palette::Palette;
use super::tags::Tags;

#[function_component]
pub fn SidePanel() -> Html {
    let shop = use_shop();
    let desk = shop.desk();
    let Some(lot) = desk.bench.lot(desk.state()) else {
        return Html::default();
    };
    html! {
        <aside class="bench-side" aria-label="What follows for this sheet">
            <div class="bench-facts">
                { verdict(lot, &desk.bench) }
                <Tags />
                { correcting(&desk, lot) }
                { finding(lot, &desk.bench) }
                { hint(&desk.bench) }
            </div>
            <Palette />
            <Buttons />
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

/// A sheet examined before: who did, and the reason that a change needs.
fn correcting(desk: &Desk, lot: &Lot) -> Html {
    let bench = &desk.bench;
    let Some(exam) = lot
        .sheet(bench.sheet)
        .and_then(|sheet| sheet.exam.as_deref())
    else {
        return Html::default();
    };
    let who = format!(
        "Examined by {} at {}, entry {}.",
        desk.state().name_of(exam.by),
        exam.at.clock(),
        exam.seq
    );
    html! {
        <div class="examined">
            <p>{ who }</p>
            if let Some(gone) = lot.gone(bench.sheet) {
                <p data-gone="">{ format!("It {} and can no longer be corrected.", gone_words(gone)) }</p>
            } else if bench.draft.changed() { <Reason text={AttrValue::from(bench.draft.reason.clone())} /> }
        </div>
    }
}

fn gone_words(gone: Gone) -> String {
    match gone {
        Gone::BeforeNumbering => gone.to_string(),
        Gone::LostAtPress { .. } => format!("was {gone},"),
    }
}

#[derive(Properties, PartialEq)]
struct ReasonProps {
    text: AttrValue,
}

#[function_component]
fn Reason(props: &ReasonProps) -> Html {
    let shop = use_shop();
    let oninput = Callback::from(move |event: InputEvent| {
        let text = event.target_unchecked_into::<HtmlInputElement>().value();
        shop.act(Action::Bench(Command::Reason(text)));
    });
    let shop = use_shop();
    let onkeydown = Callback::from(move |event: KeyboardEvent| {
        if event.key() == "Enter" {
            event.prevent_default();
            shop.act(Action::BenchClick(Command::Enter));
        }
    });
    html! {
        <div class="field">
            <label for="reason">{ "Why is it corrected?" }</label>
            <input id="reason" value={&props.text} {oninput} {onkeydown} autocomplete="off" />
            <p class="hint">{ "The first examination stays in the book beside the correction." }</p>
        </div>
    }
}

/// A defect that comes sheet after sheet.
fn finding(lot: &Lot, bench: &Bench) -> Html {
    let runs = running(lot, bench.sheet, bench.draft.tags());
    let Some(run) = runs.into_iter().max_by_key(|run| run.length) else {
        return Html::default();
    };
    let name = lot
        .catalogue
        .get(run.class)
        .map_or("", |class| class.name.as_str());
    let position = lot.product.layout.name(run.position);
    html! {
        <div class="finding" role="status">
            <b>{ format!("{position}, {} {name}, {} sheets running. ", run.class, run.length) }</b>
            { "One position, sheet after sheet: look at the plate or the blanket." }
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

#[function_component]
fn Buttons() -> Html {
    let shop = use_shop();
    let on = |command: Command| shop.on(move |_: MouseEvent| Action::BenchClick(command.clone()));
    let desk = shop.desk();
    let bench = &desk.bench;
    let whole = bench
        .draft
        .tags()
        .iter()
        .any(|tag| tag.spot == Spot::WholeSheet);
    let examined = bench.draft.corrects.is_some();
    let record = match (examined, bench.draft.changed()) {
        (false, _) => "Record, next",
        (true, true) => "Record correction",
        (true, false) => "Next open sheet",
    };
    html! {
        <div class={classes!("bench-buttons", whole.then_some("whole"))}>
            <button type="button" onclick={on(Command::Undo)} disabled={!bench.draft.changed()}>{ "Undo" }<kbd>{ "Ctrl Z" }</kbd></button>
            <button type="button" onclick={on(Command::Repeat)} disabled={bench.last_tags.is_empty()}>{ "Repeat" }<kbd>{ "=" }</kbd></button>
            <button type="button" class="primary" onclick={on(Command::Enter)} data-record="">{ record }<kbd>{ "Enter" }</kbd></button>
        </div>
    }
}
