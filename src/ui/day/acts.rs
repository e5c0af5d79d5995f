//! What was done on the day, and what is left over.

use yew::prelude::*;

use crate::export::Carried;
use crate::ui::kit::{Panel, count};

use super::RecordProps;

#[function_component]
pub fn DayActs(props: &RecordProps) -> Html {
    let acts = props.record.acts;
    let lines = [
        ("Replacement notes drawn", acts.replacements_drawn),
        ("Replacement notes inserted", acts.replacements_inserted),
        ("Replacement notes spoiled", acts.replacements_spoiled),
        ("Replacement notes returned", acts.replacements_returned),
        ("Containers sealed", acts.containers_sealed),
        ("Destruction sessions", acts.sessions),
        ("Sheets destroyed", acts.sheets_destroyed),
        ("Notes destroyed", acts.notes_destroyed),
        ("Corrections", acts.corrections),
        ("Verdicts overruled", acts.overrulings),
        ("Sheets passed on the machine's word", acts.on_machines_word),
        ("Entries", acts.entries),
    ];
    html! { <Panel title="Done on the day">{ counts("What was done on the day", &lines) }</Panel> }
}

#[function_component]
pub fn CarriedOver(props: &RecordProps) -> Html {
    let lines = carried_lines(&props.record.carried);
    html! {
        <Panel title="Carried over" lead={format!("As the book stands after {} entries.", count(props.record.book_entries))}>
            { counts("What is carried over", &lines) }
        </Panel>
    }
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

fn counts(caption: &'static str, lines: &[(&'static str, u64)]) -> Html {
    let line = |(name, number): &(&'static str, u64)| {
        html! { <tr key={*name} data-row={*name}><th scope="row">{ *name }</th><td class="num">{ count(*number) }</td></tr> }
    };
    html! {
        <table class="data">
            <caption class="sr-only">{ caption }</caption>
            <tbody>{ for lines.iter().map(line) }</tbody>
        </table>
    }
}
