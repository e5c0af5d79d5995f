//! Repeaters, zones, and the classes in which nothing stands out, as tables.

use yew::prelude::*;

use crate::book::{Findings, Lot, Mark, Press, Repeater, ZoneFinding};
use crate::desk::findings::{line_name, odds};
use crate::quality::Probability;
use crate::quality::meaning::Pattern;
use crate::quality::zones::Method;
use crate::ui::kit::{Panel, count};

/// A class at one position, sheet after sheet.
pub fn repeaters(lot: &Lot, found: &Findings) -> Html {
    let row = |found: &Repeater| {
        let name = lot.product.layout.name(found.position).to_owned();
        html! {
            <tr key={format!("{name}{}{:?}", found.class.class, found.class.side)} data-row={name.clone()}>
                <th scope="row"><b class="mono">{ name }</b></th>
                <td>{ class(lot, found.class) }</td>
                <td>{ found.class.side.name() }</td>
                <td class="num">{ format!("{} to {}", count(found.from.number()), count(found.to.number())) }</td>
                <td class="num">{ count(found.length) }</td>
                <td class="num">{ odds(found.p) }</td>
                <td class="num">{ small(found.q) }</td>
                <td>{ found.class.look_at(Pattern::OnePosition, lot) }</td>
            </tr>
        }
    };
    html! {
        <Panel title="Repeaters" lead="The longest run of each class at each position, where chance does not explain it.">
            if found.repeaters.is_empty() {
                <p class="soft">{ "No class stays at one position longer than chance would let it." }</p>
            } else {
                <div class="table-frame"><table class="data" data-table="repeaters">
                    <caption class="sr-only">{ "Repeaters, the least likely first" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Position" }</th><th scope="col">{ "Class" }</th><th scope="col">{ "Side" }</th>
                        <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "In a row" }</th>
                        <th scope="col" class="num">{ "Chance" }</th><th scope="col" class="num">{ "q-value" }</th>
                        <th scope="col">{ "Look first at" }</th>
                    </tr></thead>
                    <tbody>{ for found.repeaters.iter().map(row) }</tbody>
                </table></div>
                <p class="hint">{ "Chance: of such a run anywhere in the lot if marks fell independently, as often as at the other positions. q-value: the same with every position and class counted. Where to look first is common practice, not a proof." }</p>
            }
        </Panel>
    }
}

/// A class that favours a column or a row.
pub fn zones(lot: &Lot, found: &Findings) -> Html {
    let layout = &lot.product.layout;
    let row = |found: &ZoneFinding| {
        let (zone, line) = (&found.zone, line_name(layout, found));
        let how = match zone.method {
            Method::Exact => "exact",
            Method::ChiSquare => "chi-square",
        };
        html! {
            <tr key={format!("{line}{}{:?}", found.class.class, found.class.side)} data-row={line.clone()}>
                <th scope="row">{ line }</th>
                <td>{ class(lot, found.class) }</td>
                <td>{ found.class.side.name() }</td>
                <td class="num">{ count(zone.count) }</td>
                <td class="num">{ format!("{:.1}", zone.expected) }</td>
                <td class="num">{ format!("{} ({how})", odds(zone.p)) }</td>
                <td class="num">{ small(found.q) }</td>
                <td>{ found.class.look_at(Pattern::of_zone(zone), lot) }</td>
            </tr>
        }
    };
    html! {
        <Panel title="Zones" lead="Columns and rows of the sheet that a class marks more than its share.">
            if found.zones.is_empty() {
                <p class="soft">{ "No column and no row is marked more than its share." }</p>
            } else {
                <div class="table-frame"><table class="data" data-table="zones">
                    <caption class="sr-only">{ "Zones, the least likely first" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Line" }</th><th scope="col">{ "Class" }</th><th scope="col">{ "Side" }</th>
                        <th scope="col" class="num">{ "Marks" }</th><th scope="col" class="num">{ "Expected" }</th>
                        <th scope="col" class="num">{ "Chance" }</th><th scope="col" class="num">{ "q-value" }</th>
                        <th scope="col">{ "Look first at" }</th>
                    </tr></thead>
                    <tbody>{ for found.zones.iter().map(row) }</tbody>
                </table></div>
            }
        </Panel>
    }
}

/// Classes that were marked and show no pattern.
pub fn unmarked(lot: &Lot, press: &Press, found: &Findings) -> Html {
    let stands_out = |mark: Mark| {
        found.repeaters.iter().any(|found| found.class == mark)
            || found.zones.iter().any(|found| found.class == mark)
    };
    let row = |(mark, marks): (Mark, u64)| {
        html! {
            <tr key={format!("{}{:?}", mark.class, mark.side)}>
                <th scope="row">{ class(lot, mark) }</th>
                <td>{ mark.side.name() }</td>
                <td class="num">{ count(marks) }</td>
                <td>{ mark.look_at(Pattern::without_findings(marks), lot) }</td>
            </tr>
        }
    };
    let mut quiet: Vec<(Mark, u64)> = press
        .marks()
        .filter(|(mark, _)| !stands_out(*mark))
        .map(|(mark, grid)| (mark, grid.total()))
        .collect();
    quiet.sort_by_key(|(mark, marks)| (std::cmp::Reverse(*marks), *mark));
    if quiet.is_empty() {
        return Html::default();
    }
    html! {
        <Panel title="Nothing stands out">
            <div class="table-frame"><table class="data" data-table="quiet">
                <caption class="sr-only">{ "Classes without a finding, the most frequent first" }</caption>
                <thead><tr>
                    <th scope="col">{ "Class" }</th><th scope="col">{ "Side" }</th>
                    <th scope="col" class="num">{ "Marks" }</th><th scope="col">{ "Look first at" }</th>
                </tr></thead>
                <tbody>{ for quiet.into_iter().map(row) }</tbody>
            </table></div>
        </Panel>
    }
}

fn class(lot: &Lot, mark: Mark) -> Html {
    let name = lot
        .catalogue
        .get(mark.class)
        .map_or("", |class| &class.name)
        .to_owned();
    html! { <><b class="mono">{ mark.class.to_string() }</b>{ format!(" {name}") }</> }
}

/// "0.0031", or "below 0.0001".
fn small(q: Probability) -> String {
    match q.get() {
        q if q < 1e-4 => "below 0.0001".to_owned(),
        q => format!("{q:.4}"),
    }
}
