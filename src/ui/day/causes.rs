//! Tags by class, most first, and by step.

use yew::prelude::*;

use crate::export::TagRow;
use crate::inspect::ClassCode;
use crate::ui::chart::{ParetoBar, ParetoChart};
use crate::ui::kit::{Panel, count};

use super::RecordProps;
use super::summary::percent;

/// Classes drawn as bars; the table has them all.
const DRAWN: usize = 12;

#[function_component]
pub fn Causes(props: &RecordProps) -> Html {
    let classes: Vec<_> = props.record.classes().collect();
    if classes.is_empty() {
        return Html::default();
    }
    let bar = |(code, row): &(ClassCode, &TagRow)| ParetoBar {
        code: code.to_string().into(),
        name: row.name.clone().into(),
        step: row.step,
        count: row.tags,
        cumulative: row.cumulative_ppm.unwrap_or_default() as f64 / 1e6,
    };
    let bars: Vec<_> = classes.iter().take(DRAWN).map(bar).collect();
    let label = "Tags by class, the most frequent first; the figures are in the table below";
    let steps = props.record.steps().map(step_row).collect::<Html>();
    html! {
        <Panel title="Tags by class" class={classes!("wide", "causes")}>
            <div class="side-by-side">
                <ParetoChart {label} {bars} />
                <table class="data">
                    <caption>{ "By step" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Step" }</th><th scope="col" class="num">{ "Tags" }</th>
                        <th scope="col" class="num">{ "Share" }</th>
                    </tr></thead>
                    <tbody>{ steps }</tbody>
                </table>
            </div>
            <details>
                <summary>{ format!("All {} classes in figures", classes.len()) }</summary>
                { class_table(&classes) }
            </details>
        </Panel>
    }
}

fn class_table(classes: &[(ClassCode, &TagRow)]) -> Html {
    let row = |(code, row): &(ClassCode, &TagRow)| {
        html! {
            <tr key={code.to_string()} data-row={code.to_string()}>
                <th scope="row"><span class="mono">{ code.to_string() }</span>{ format!(" {}", row.name) }</th>
                <td>{ row.step.name() }</td>
                <td class="num">{ count(row.tags) }</td>
                <td class="num">{ percent(row.share_ppm) }</td>
                <td class="num">{ row.cumulative_ppm.map(percent) }</td>
            </tr>
        }
    };
    html! {
        <table class="data">
            <caption class="sr-only">{ "Tags by class" }</caption>
            <thead><tr>
                <th scope="col">{ "Class" }</th><th scope="col">{ "Step" }</th>
                <th scope="col" class="num">{ "Tags" }</th><th scope="col" class="num">{ "Share" }</th>
                <th scope="col" class="num">{ "With all above" }</th>
            </tr></thead>
            <tbody>{ for classes.iter().map(row) }</tbody>
        </table>
    }
}

fn step_row(row: &TagRow) -> Html {
    html! {
        <tr key={row.step.slug()}>
            <th scope="row">{ &row.name }</th>
            <td class="num">{ count(row.tags) }</td>
            <td class="num">{ percent(row.share_ppm) }</td>
        </tr>
    }
}
