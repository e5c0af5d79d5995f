//! Sheets examined by bench, product, stage, lot and inspector.

use yew::prelude::*;

use crate::export::{ExaminedRow, Of};
use crate::ui::kit::count;

use super::Record;
use super::part::part;
use super::summary::{interval, percent};

pub fn examined(record: &Record) -> Html {
    let table = |caption: &'static str, wanted: fn(&Of) -> bool| {
        let rows = record.examined.iter().filter(move |row| wanted(&row.of));
        table(caption, rows.map(row).collect())
    };
    if record.whole_day().sheets == 0 {
        return Html::default();
    }
    let body = html! {
        <>
            { table("By bench, product and stage", |of| matches!(of, Of::Bench(_) | Of::Product(_) | Of::Stage(_))) }
            { table("By lot", |of| matches!(of, Of::Lot(_))) }
            { table("By inspector", |of| matches!(of, Of::Inspector(_))) }
        </>
    };
    let lead = "The stage is that of the lot when the sheet was examined.";
    part("Examined", lead, "wide", body)
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
    let (what, key) = match row.of {
        Of::Day => ("Whole day", String::new()),
        Of::Bench(bench) => ("Bench ", bench.to_string()),
        Of::Product(product) => ("Product ", product.to_string()),
        Of::Stage(_) => ("Stage: ", String::new()),
        Of::Lot(lot) => ("", lot.to_string()),
        Of::Inspector(who) => ("", who.to_string()),
        Of::Hour(hour) => ("", format!("{hour:02}")),
    };
    let name = match key.is_empty() {
        true => row.name.clone(),
        false => format!(" {}", row.name),
    };
    html! {
        <tr key={format!("{what}{key}{name}")} data-row={key.clone()}>
            <th scope="row">{ what }<span class="mono">{ key }</span>{ name }</th>
            <td class="num">{ count(row.sheets) }</td>
            <td class="num">{ count(row.good) }</td>
            <td class="num">{ count(row.mixed) }</td>
            <td class="num">{ count(row.spoiled) }</td>
            <td class="num">{ count(row.notes_spoiled) }</td>
            <td class="num">{ row.spoilage.map(|rate| percent(rate.ppm)) }</td>
            <td class="num">{ row.spoilage.map(|rate| interval(&rate)) }</td>
        </tr>
    }
}
