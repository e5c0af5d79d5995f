//! Control charts of the lots of the day: drawn where they are looked at, explained where they
//! speak, and in figures.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use crate::export::picture::{control_chart, headline, sentences, telling};
use crate::export::{ChartOfLot, ChartPoint, Plotted};
use crate::sheet::LotId;
use crate::ui::chart::drawn;
use crate::ui::kit::count;

use super::part::{part, table};
use super::{Record, RecordProps};

/// Stacks seen at once, and sentences said before someone asks the table.
const SEEN: usize = 100;
const SAID: usize = 12;

/// The p and the u chart of one lot, chosen among those of the day, seen through one window.
#[function_component]
pub fn Charts(props: &RecordProps) -> Html {
    let chosen = use_state(|| None::<LotId>);
    let start = use_state(|| 0_usize);
    let note = use_state(AttrValue::default);
    let opened = use_state(|| false);
    let charts = &props.record.charts;
    // A single stack has nothing to vary against.
    let varied: Vec<_> = charts.iter().filter(|c| c.points.len() > 1).collect();
    let Some(first) = varied.first() else {
        return Html::default();
    };
    let lot = chosen.filter(|lot| varied.iter().any(|c| c.lot == *lot));
    let lot = lot.unwrap_or(first.lot);
    let of_lot: Vec<_> = varied.iter().copied().filter(|c| c.lot == lot).collect();
    let stacks = of_lot.first().map_or(0, |c| c.points.len());
    let at = (*start).min(stacks.saturating_sub(SEEN));
    let point = {
        let note = note.clone();
        Callback::from(move |text: AttrValue| note.set(text))
    };
    let turn = {
        let opened = opened.clone();
        Callback::from(move |_: MouseEvent| opened.set(!*opened))
    };
    let pick = {
        let (chosen, start) = (chosen.clone(), start.clone());
        Callback::from(move |event: Event| {
            let value = event.target_unchecked_into::<HtmlSelectElement>().value();
            chosen.set(value.parse().ok());
            start.set(0);
        })
    };
    let pan = {
        let start = start.clone();
        Callback::from(move |event: InputEvent| {
            let value = event.target_unchecked_into::<HtmlInputElement>().value();
            start.set(value.parse().unwrap_or(0));
        })
    };
    let body = html! {
        <>
            <div class="chart-tools no-print">
                if varied.len() > 2 { { lots(&varied, lot, pick) } }
                if stacks > SEEN {
                    <label class="pick-one">
                        <span>{ format!("Stacks {} to {} of {}", count(at as u64 + 1), count((at + SEEN) as u64), count(stacks as u64)) }</span>
                        <input id="chart-pan" type="range" min="0" max={(stacks - SEEN).to_string()} step="10" value={at.to_string()} oninput={pan} />
                    </label>
                }
            </div>
            { for of_lot.iter().map(|chart| one(&props.record, chart, at, &point)) }
            if let Some(stacks) = of_lot.first().map(|chart| chart.points.len().min(SEEN)) {
                <button type="button" class="quiet no-print" onclick={turn} aria-expanded={opened.to_string()} data-action="chart-figures">{ if *opened { "Hide the figures".to_owned() } else { format!("Show the {} stacks seen in figures", count(stacks as u64)) } }</button>
            }
            // Not drawn unless asked for: some hundred rows would be compared with every pan.
            if *opened { { for of_lot.iter().map(|chart| figures(chart, at..at + SEEN)) } }
            <p class="chart-note no-print" aria-live="polite">{ if note.is_empty() { "Point at a sign, or move to it with Tab, to read what it says.".into() } else { (*note).clone() } }</p>
        </>
    };
    let lead = "A point for each stack of sheets, by their tags; notes on whole spoiled sheets are not counted here. Dashed lines are the limits three standard deviations from the middle; they step with the number examined. A filled diamond lies beyond a limit; a ring completes a run.";
    part("How the press ran", lead, "wide", body)
}

fn lots(varied: &[&ChartOfLot], lot: LotId, onchange: Callback<Event>) -> Html {
    let p = varied.iter().filter(|c| c.plotted == Plotted::P);
    let option = |c: &&ChartOfLot| {
        let name = c.lot.to_string();
        html! { <option key={name.clone()} value={name.clone()} selected={c.lot == lot}>{ name }</option> }
    };
    html! {
        <label class="pick-one">
            <span>{ "Lot" }</span>
            <select id="chart-lot" {onchange}>{ for p.map(option) }</select>
        </label>
    }
}

fn one(record: &Record, chart: &ChartOfLot, at: usize, point: &Callback<AttrValue>) -> Html {
    let said: Vec<_> = sentences(chart).take(SAID).collect();
    let more = telling(chart).count() - said.len();
    let (lot, plotted) = (chart.lot, chart.plotted);
    html! {
        <figure class="control" data-chart={chart.plotted.name()}>
            <figcaption><h3>{ headline(chart) }</h3></figcaption>
            <div class="no-print">{ drawn(&control_chart(chart, at..at + SEEN), Some(point)) }</div>
            <div class="print-only"><OnPaper record={record.clone()} {lot} {plotted} /></div>
            <ul class="said">
                { for said.iter().map(|text| html! { <li>{ text.clone() }</li> }) }
                if more > 0 { <li>{ format!("{} more are in the table \"charts\" of the day.", count(more as u64)) }</li> }
            </ul>
            if chart.rough { <p class="hint">{ "Some stack expects fewer than five, so that the limits are rough." }</p> }
        </figure>
    }
}

#[derive(Properties, PartialEq)]
struct OnPaperProps {
    record: Record,
    lot: LotId,
    plotted: Plotted,
}

/// Every point, for paper, under a name of its own. Apart, so that panning and pointing on the
/// page does not draw it again.
#[function_component]
fn OnPaper(props: &OnPaperProps) -> Html {
    let mut charts = props.record.charts.iter();
    let chart = charts.find(|c| (c.lot, c.plotted) == (props.lot, props.plotted));
    let Some(chart) = chart else {
        return Html::default();
    };
    let mut drawing = control_chart(chart, 0..chart.points.len());
    drawing.id += "-whole";
    drawn(&drawing, None)
}

fn figures(chart: &ChartOfLot, seen: std::ops::Range<usize>) -> Html {
    let scaled = |ppm: u64| match chart.plotted {
        Plotted::P => super::summary::percent(ppm),
        Plotted::U => format!("{:.3}", ppm as f64 / 1e6),
    };
    let row = |point: &ChartPoint| {
        let rules: Vec<_> = point.signals.iter().map(|heard| heard.rule).collect();
        vec![
            format!("{} to {}", point.from, point.to),
            count(point.size),
            count(point.found),
            scaled(point.value_ppm),
            scaled(point.lower_ppm),
            scaled(point.upper_ppm),
            rules.join(" "),
        ]
    };
    let (size, found) = match chart.plotted {
        Plotted::P => ("Notes", "Defective"),
        Plotted::U => ("Sheets", "Tags"),
    };
    let headings = [
        ("Sheets of the stack", false),
        (size, true),
        (found, true),
        ("Value", true),
        ("Lower limit", true),
        ("Upper limit", true),
        ("Rules", false),
    ];
    let points = chart.points.iter().skip(seen.start).take(seen.len());
    table(&headline(chart), &headings, points.map(row))
}
