//! Findings of the day, corrections made, and replacement series.

use yew::prelude::*;

use crate::account::Amendment;
use crate::export::{FindingRow, SeriesRow};
use crate::ui::kit::{count, number_of};

use super::Record;
use super::part::{part, table};

/// Rows of a list on the page; the tables of the day have them all.
const SHOWN: usize = 60;

pub fn findings(record: &Record) -> Html {
    if record.whole_day().sheets == 0 {
        return Html::default();
    }
    let rows = &record.findings;
    let title = match rows.as_slice() {
        [] => "Nothing repeats more than chance allows".to_owned(),
        [one] => format!("1 finding: {} {} at {}", one.class, one.kind, one.at),
        [first, ..] => format!(
            "{} findings, first {} {} at {}",
            count(rows.len() as u64),
            first.class,
            first.kind,
            first.at
        ),
    };
    let row = |row: &FindingRow| {
        let sheets = row.sheets;
        vec![
            row.lot.to_string(),
            row.kind.to_owned(),
            row.class.to_string(),
            row.side.name().to_owned(),
            row.at.clone(),
            sheets.map_or_else(String::new, |(from, to)| format!("{from} to {to}")),
            count(row.count),
            row.expected_milli
                .map_or_else(String::new, |n| format!("{:.1}", n as f64 / 1e3)),
            billionths(row.q_ppb),
            row.look_at.clone(),
        ]
    };
    let headings = [
        ("Lot", false),
        ("Kind", false),
        ("Class", false),
        ("Side", false),
        ("Where", false),
        ("Sheets", true),
        ("Count", true),
        ("Expected", true),
        ("q-value", true),
        ("Look first at", false),
    ];
    let lead = "Runs at one position, and columns or rows marked more than their share, in the sheets of the day. At most 1 in 20 is to be expected by chance.";
    let body = match rows.is_empty() {
        true => Html::default(),
        false => html! {
            <>
                { table("Findings of the day", &headings, rows.iter().take(SHOWN).map(row)) }
                { more(rows.len(), "findings") }
            </>
        },
    };
    part(&title, lead, "wide", body)
}

fn billionths(chance: u64) -> String {
    match chance as f64 / 1e9 {
        q if q < 1e-4 => "below 0.0001".to_owned(),
        q => format!("{q:.4}"),
    }
}

fn more(rows: usize, name: &'static str) -> Html {
    match rows.saturating_sub(SHOWN) {
        0 => Html::default(),
        left => html! {
            <p class="hint">{ format!("{} more are in the table \"{name}\" of the day.", count(left as u64)) }</p>
        },
    }
}

pub fn corrections(record: &Record) -> Html {
    let rows = &record.amendments;
    if rows.is_empty() {
        return Html::default();
    }
    let row = |row: &Amendment| {
        let (before, after) = row.what.said();
        let of = match (row.what.reruled(), row.what.session(), row.what.container()) {
            (Some(of), ..) => format!("{} {}", of.lot, of.sheet),
            (_, Some(session), Some(container)) => format!("{session}, {container}"),
            (_, Some(session), None) => session.to_string(),
            (_, _, container) => container.map_or_else(String::new, |of| of.to_string()),
        };
        vec![
            row.entry.to_string(),
            row.what.name().to_owned(),
            of,
            format!("{before} → {after}"),
            row.reason.clone(),
            row.by.to_string(),
            row.at.clock(),
        ]
    };
    let headings = [
        ("Entry", true),
        ("What", false),
        ("Of", false),
        ("Before → now", false),
        ("Reason", false),
        ("By", false),
        ("At", true),
    ];
    let title = number_of(rows.len() as u64, "correction made", "corrections made");
    let body = html! {
        <>
            { table("Corrections made on the day", &headings, rows.iter().take(SHOWN).map(row)) }
            { more(rows.len(), "corrections") }
        </>
    };
    let lead =
        "Sheets examined anew, verdicts overruled, and facts of the cage put right on the day.";
    part(&title, lead, "wide", body)
}

pub fn series(record: &Record) -> Html {
    if record.series.is_empty() {
        return Html::default();
    }
    let row = |row: &SeriesRow| {
        let figures = [
            row.drawn_on_the_day,
            row.drawn,
            row.inserted,
            row.spoiled,
            row.returned,
            row.on_hand,
            row.left,
        ];
        let name = format!("{} for {}", row.series, row.product);
        std::iter::once(name).chain(figures.map(count)).collect()
    };
    let headings = [
        ("Series", false),
        ("Drawn on the day", true),
        ("Drawn", true),
        ("Inserted", true),
        ("Spoiled", true),
        ("Returned", true),
        ("On hand", true),
        ("Left", true),
    ];
    let left: u64 = record.series.iter().map(|row| row.left).sum();
    let title = format!("{} replacement notes left", count(left));
    let body = table(
        "Replacement series",
        &headings,
        record.series.iter().map(row),
    );
    part(
        &title,
        "Every replacement series as the book stands.",
        "wide",
        body,
    )
}
