//! The day beside the production days before it, and what must be said of it.

use yew::prelude::*;

use crate::export::{Change, Compared};
use crate::ui::kit::{count, number_of};

use super::Record;
use super::part::{part, table};
use super::summary::{interval, percent};

/// Remarks on the day, said before its figures.
pub fn remarks(record: &Record) -> Html {
    if record.remarks.is_empty() {
        return Html::default();
    }
    let line = |text: &String| html! { <li>{ text.clone() }</li> };
    html! {
        <aside class="remarks" role="note" data-remarks={record.remarks.len().to_string()}>
            <strong>{ "Of this day it must be said:" }</strong>
            <ul>{ for record.remarks.iter().map(line) }</ul>
        </aside>
    }
}

pub fn compared(record: &Record) -> Html {
    let Some(first) = record.compared.first().filter(|row| row.days > 0) else {
        return Html::default();
    };
    let title = match &first.change {
        Some(change) => format!(
            "Spoilage beside the last {}: {}",
            days(first),
            change.word()
        ),
        None => format!("The last {}", days(first)),
    };
    let row = |row: &Compared| {
        let span = row.from.zip(row.to);
        vec![
            format!("Last {}", row.window),
            count(row.days),
            span.map_or_else(String::new, |(from, to)| format!("{from} to {to}")),
            count(row.sheets),
            row.spoilage
                .map_or_else(String::new, |rate| percent(rate.ppm)),
            row.spoilage
                .map_or_else(String::new, |rate| interval(&rate)),
            row.change
                .map_or_else(String::new, |change| signed(change.ppm)),
            row.change.map_or_else(String::new, said),
        ]
    };
    let headings = [
        ("Production days", false),
        ("In the book", true),
        ("From and to", false),
        ("Sheets", true),
        ("Spoilage", true),
        ("95 % interval", true),
        ("This day", true),
        ("Difference", false),
    ];
    let rows = record.compared.iter().map(row);
    let lead = "Days on which sheets were examined, taken together. The interval of the difference is Newcombe's; it takes each note by itself.";
    let body = table("Comparison with the days before", &headings, rows);
    part(&title, lead, "wide", body)
}

fn days(row: &Compared) -> String {
    number_of(row.days, "production day", "production days")
}

fn said(change: Change) -> String {
    let (low, high) = (signed(change.low_ppm), signed(change.high_ppm));
    format!("{}: {low} to {high}", change.word())
}

/// Parts per million as points of per cent, with a sign.
fn signed(ppm: i64) -> String {
    let sign = if ppm < 0 { "−" } else { "+" };
    format!("{sign}{}", percent(ppm.unsigned_abs()))
}
