//! The figures of the whole day.

use yew::prelude::*;

use crate::export::Rate;
use crate::ui::kit::count;

use super::Record;

pub fn summary(record: &Record) -> Html {
    let day = record.whole_day();
    let figure = |slug: &'static str, name: &str, value: String, note: String| {
        html! {
            <div class="figure" data-figure={slug}>
                <dt>{ name.to_owned() }</dt>
                <dd>{ value }</dd>
                if !note.is_empty() { <dd class="hint">{ note }</dd> }
            </div>
        }
    };
    let of_sheets = |part: u64| match day.sheets {
        0 => String::new(),
        sheets => format!("{:.1} % of sheets", part as f64 * 100.0 / sheets as f64),
    };
    let (rate, interval) = day.spoilage.map_or_else(
        || ("–".to_owned(), "no sheet examined".to_owned()),
        |rate| {
            let known = format!("{} with 95 % confidence", interval(&rate));
            (percent(rate.ppm), known)
        },
    );
    html! {
        <dl class="figures">
            { figure("examined", "Sheets examined", count(day.sheets), format!("{} notes", count(day.notes))) }
            { figure("good", "Good", count(day.good), of_sheets(day.good)) }
            { figure("mixed", "Mixed", count(day.mixed), of_sheets(day.mixed)) }
            { figure("spoiled", "Spoiled", count(day.spoiled), of_sheets(day.spoiled)) }
            { figure("notes-spoiled", "Notes spoiled", count(day.notes_spoiled), String::new()) }
            { figure("spoilage", "Spoilage", rate, interval) }
        </dl>
    }
}

/// Parts per million as per cent with two decimals.
pub fn percent(ppm: u64) -> String {
    format!("{:.2} %", ppm as f64 / 10_000.0)
}

/// The two ends of what a rate is known to.
pub fn interval(rate: &Rate) -> String {
    format!("{} to {}", percent(rate.low_ppm), percent(rate.high_ppm))
}
