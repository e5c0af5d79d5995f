//! What was done on the day, and what was open before and after it.

use yew::prelude::*;

use crate::account::Carried;
use crate::ui::kit::count;

use super::Record;
use super::part::{part, table};

pub fn day_acts(record: &Record) -> Html {
    let acts = record.acts;
    let lines = [
        ("Replacement notes drawn", acts.replacements_drawn),
        ("Replacement notes inserted", acts.replacements_inserted),
        ("Replacement notes spoiled", acts.replacements_spoiled),
        ("Replacement notes returned", acts.replacements_returned),
        ("Containers sealed", acts.containers_sealed),
        ("Destruction sessions", acts.sessions),
        ("Whole sheets destroyed", acts.sheets_destroyed),
        ("Single notes destroyed", acts.notes_destroyed),
        ("Corrections", acts.corrections),
        ("Verdicts overruled", acts.overrulings),
        ("Corrections in the cage", acts.custody_corrections),
        ("Spoils declared lost", acts.spoils_declared_lost),
        ("Sheets passed on the machine's word", acts.on_machines_word),
        ("Entries", acts.entries),
    ];
    let line = |(name, number): &(&'static str, u64)| {
        html! { <tr key={*name} data-row={*name}><th scope="row">{ *name }</th><td class="num">{ count(*number) }</td></tr> }
    };
    let body = html! {
        <table class="data">
            <caption class="sr-only">{ "What was done on the day" }</caption>
            <tbody>{ for lines.iter().map(line) }</tbody>
        </table>
    };
    part("Done on the day", "", "", body)
}

/// What the day took over and what it leaves.
pub fn carried_in_and_over(record: &Record) -> Html {
    let before = carried_lines(&record.carried_in);
    let after = carried_lines(&record.carried);
    let rows = before.into_iter().zip(after);
    let rows =
        rows.map(|((name, before), (_, after))| vec![name.to_owned(), count(before), count(after)]);
    let headings = [
        ("Open", false),
        ("Carried in", true),
        ("Carried over", true),
    ];
    let lead = "As it stood before the first entry of the day and after its last.";
    let body = table("What is carried in and over", &headings, rows);
    part("Carried in and over", lead, "", body)
}

/// What is carried over, in words.
pub fn carried_lines(carried: &Carried) -> [(&'static str, u64); 8] {
    [
        ("Sheets not examined", carried.sheets_not_examined),
        ("Notes without a replacement", carried.notes_to_replace),
        ("Replacement notes on hand", carried.replacements_on_hand),
        ("Spoils loose", carried.spoils_loose),
        (
            "Spoils in open containers",
            carried.spoils_in_open_containers,
        ),
        ("Spoils sealed, not destroyed", carried.spoils_sealed),
        ("Spoils held", carried.spoils_held),
        ("Spoils missing", carried.spoils_missing),
    ]
}
