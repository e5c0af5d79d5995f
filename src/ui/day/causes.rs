//! Tags by class and by step, most first.

use yew::prelude::*;

use crate::export::TagRow;
use crate::export::picture::pareto;
use crate::ui::chart::drawn;
use crate::ui::kit::count;

use super::Record;
use super::part::part;
use super::summary::percent;

/// Classes drawn as bars; the table has them all.
const DRAWN: usize = 12;

/// One panel for classes, one for steps.
pub fn causes(record: &Record) -> Html {
    let classes: Vec<&TagRow> = record.classes().map(|(_, row)| row).collect();
    let steps: Vec<&TagRow> = record.steps().collect();
    html! { <>{ chart("by-class", "class", &classes) }{ chart("by-step", "step", &steps) }</> }
}

fn chart(id: &'static str, by: &'static str, rows: &[&TagRow]) -> Html {
    let Some(drawing) = pareto(id, rows, DRAWN) else {
        return Html::default();
    };
    let lead = format!("Tags by {by}, the most frequent first.");
    let body = html! {
        <>
            { drawn(&drawing, None) }
            <details>
                <summary>{ format!("All {} in figures", rows.len()) }</summary>
                { table(by, rows) }
            </details>
        </>
    };
    part(&drawing.title, &lead, "bars", body)
}

fn table(by: &'static str, rows: &[&TagRow]) -> Html {
    let row = |row: &&TagRow| {
        let code = row.class.map(|class| class.to_string()).unwrap_or_default();
        html! {
            <tr key={format!("{code}{}", row.step.slug())} data-row={code.clone()}>
                <th scope="row"><span class="mono">{ code }</span>{ format!(" {}", row.name) }</th>
                <td class="num">{ count(row.tags) }</td>
                <td class="num">{ count(row.sheets) }</td>
                <td class="num">{ percent(row.share_ppm) }</td>
                <td class="num">{ percent(row.cumulative_ppm) }</td>
            </tr>
        }
    };
    html! {
        <table class="data">
            <caption class="sr-only">{ format!("Tags by {by}") }</caption>
            <thead><tr>
                <th scope="col">{ by }</th>
                <th scope="col" class="num">{ "Tags" }</th><th scope="col" class="num">{ "Sheets" }</th>
                <th scope="col" class="num">{ "Share" }</th><th scope="col" class="num">{ "With all above" }</th>
            </tr></thead>
            <tbody>{ for rows.iter().map(row) }</tbody>
        </table>
    }
}
