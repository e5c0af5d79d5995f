//! Spoilage hour by hour.

use yew::prelude::*;

use crate::export::Of;
use crate::export::picture::by_hour;
use crate::ui::chart::drawn;
use crate::ui::kit::count;

use super::Record;
use super::part::{part, table};
use super::summary::{interval, percent};

pub fn hours(record: &Record) -> Html {
    let Some(drawing) = by_hour(record) else {
        return Html::default();
    };
    let rows = record.examined.iter().filter_map(|row| {
        let (Of::Hour(hour), Some(rate)) = (row.of, row.spoilage) else {
            return None;
        };
        Some(vec![
            format!("{hour:02}:00"),
            count(row.sheets),
            count(row.notes_spoiled),
            percent(rate.ppm),
            interval(&rate),
        ])
    });
    let headings = [
        ("Local hour", false),
        ("Sheets", true),
        ("Notes spoiled", true),
        ("Spoilage", true),
        ("95 % interval", true),
    ];
    let body = html! {
        <>
            { drawn(&drawing, None) }
            <details>
                <summary>{ "Hours in figures" }</summary>
                { table("Spoilage by hour", &headings, rows) }
            </details>
        </>
    };
    let lead = "Notes spoiled of notes examined, by the hour of examination. The thin line spans the 95 % interval.";
    part(&drawing.title, lead, "wide", body)
}
