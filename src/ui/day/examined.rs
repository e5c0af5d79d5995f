//! Sheets examined by lot and by inspector.

use yew::prelude::*;

use crate::export::{ExaminedRow, Of};
use crate::ui::kit::{Panel, count};

use super::RecordProps;
use super::summary::percent;

#[function_component]
pub fn Examined(props: &RecordProps) -> Html {
    let rows = |wanted: fn(&Of) -> bool| {
        let rows = props
            .record
            .examined
            .iter()
            .filter(move |row| wanted(&row.of));
        rows.map(row).collect::<Vec<_>>()
    };
    let lots = rows(|of| matches!(of, Of::Lot(_)));
    let inspectors = rows(|of| matches!(of, Of::Inspector(_)));
    if lots.is_empty() {
        return Html::default();
    }
    html! {
        <Panel title="Examined" class={classes!("wide")}>
            { table("By lot", lots) }
            { table("By inspector", inspectors) }
        </Panel>
    }
}

fn table(caption: &'static str, rows: Vec<Html>) -> Html {
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ caption }</caption>
                <thead><tr>
                    <th scope="col">{ "Who or what" }</th>
                    <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "Good" }</th>
                    <th scope="col" class="num">{ "Mixed" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                    <th scope="col" class="num">{ "Notes spoiled" }</th>
                    <th scope="col" class="num">{ "Spoilage" }</th><th scope="col" class="num">{ "95 % interval" }</th>
                </tr></thead>
                <tbody>{ rows }</tbody>
            </table>
        </div>
    }
}

fn row(row: &ExaminedRow) -> Html {
    let key = match row.of {
        Of::Day => "Whole day".to_owned(),
        Of::Lot(lot) => lot.to_string(),
        Of::Inspector(who) => who.to_string(),
        Of::Hour(hour) => format!("{hour:02}"),
    };
    let rate = row.spoilage.map(|rate| percent(rate.ppm));
    let interval = row
        .spoilage
        .map(|rate| format!("{} to {}", percent(rate.low_ppm), percent(rate.high_ppm)));
    html! {
        <tr key={key.clone()} data-row={key.clone()}>
            <th scope="row"><span class="mono">{ key }</span>{ format!(" {}", row.name) }</th>
            <td class="num">{ count(row.sheets) }</td>
            <td class="num">{ count(row.good) }</td>
            <td class="num">{ count(row.mixed) }</td>
            <td class="num">{ count(row.spoiled) }</td>
            <td class="num">{ count(row.notes_spoiled) }</td>
            <td class="num">{ rate }</td>
            <td class="num">{ interval }</td>
        </tr>
    }
}
