//! The lot in figures.

use yew::prelude::*;

use crate::book::{Lot, PressRecord, sheet_figures};
use crate::sheet::LotId;
use crate::ui::Shop;
use crate::ui::kit::{count, percent};

/// Good, mixed, spoiled, not examined, and the share of notes spoiled.
pub fn figures(shop: &Shop, lot: LotId) -> Html {
    let state = shop.state();
    let Some(lot) = state.lots.get(&lot) else {
        return Html::default();
    };
    let sheets = u64::from(lot.len());
    let tally = &lot.tally;
    let stood = sheet_figures(lot);
    let figure = |name: &'static str, mark: &'static str, number: u64| {
        let share = (sheets > 0).then(|| number as f64 / sheets as f64);
        html! {
            <div class="figure" data-figure={mark}>
                <dt><span class={classes!("mark", mark)}>{ name }</span></dt>
                <dd><b>{ count(number) }</b><span>{ percent(share) }</span></dd>
            </div>
        }
    };
    let spoilage = format!(
        "{} spoiled of {} notes examined",
        count(tally.notes_spoiled),
        count(tally.notes_examined)
    );
    html! {
        <>
            <p class="lead">{ format!("{}, {} sheets{} of {} notes.", lot.product.title, count(lot.received()), added(lot), count(lot.notes())) }
                if let Some(seq) = lot.closed { { format!(" Closed by entry {seq}.") } }
            </p>
            <dl class="figures">
                { figure("Good", "good", stood.good) }
                { figure("Mixed", "mixed", stood.mixed) }
                { figure("Spoiled", "spoiled", tally.spoiled) }
                if stood.lost_at_press > 0 { { figure("Lost at the press", "open", stood.lost_at_press) } }
                { figure("Not examined", "open", u64::from(lot.not_examined())) }
                <div class="figure" data-figure="spoilage">
                    <dt>{ "Spoilage" }</dt>
                    <dd><b>{ percent(tally.spoilage()) }</b><span>{ spoilage }</span></dd>
                </div>
            </dl>
            { at_press(lot) }
        </>
    }
}

/// " and 2 added at the press".
fn added(lot: &Lot) -> String {
    match lot.press.added {
        0 => String::new(),
        added => format!(" and {} added at the press", count(added)),
    }
}

/// Every sheet lost or added at the press, for as long as the book is kept.
fn at_press(lot: &Lot) -> Html {
    let records = &lot.press.records;
    if records.is_empty() {
        return Html::default();
    }
    let one = |record: &PressRecord| {
        format!(
            "{} (entry {}, {})",
            record.what,
            count(record.seq),
            record.reason
        )
    };
    let all: Vec<String> = records.iter().map(one).collect();
    html! { <p class="at-press" data-press="">{ format!("At the numbering press: {}.", all.join("; ")) }</p> }
}
