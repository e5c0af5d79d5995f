//! Sheets lost or added at the numbering press: the form, and what is recorded.

use yew::prelude::*;

use crate::book::{Lot, PressRecord, State};
use crate::desk::forms::press::{
    DIFFERENCES, adds, lots_at_press, press_differed, press_field, press_start,
};
use crate::ui::kit::{ErrorSummary, Panel, count, use_form};
use crate::ui::use_shop;

use super::input::{Inputs, choices, lots, use_only};
use super::submit::use_submit;

#[function_component]
pub fn PressForm() -> Html {
    let shop = use_shop();
    let form = use_form(|| press_start(&shop.state()));
    let at_press: Vec<String> = lots_at_press(&shop.state())
        .map(|lot| lot.id.to_string())
        .collect();
    use_only(&form, "press-lot", at_press);
    let submit = use_submit(&form, press_differed, press_field, press_start);
    let state = shop.state();
    let inputs = Inputs::of(&form);
    html! {
        <Panel title="Lost or added at the press" lead="When the sheets that took serials are not those that were received. The serials behind shift, so it is recorded before replacements are drawn.">
            <form class="form-fields" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="press">
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    { inputs.pick("press-lot", "Lot at the press", "Opened before numbering", lots(lots_at_press(&state))) }
                    { inputs.pick("press-what", "What differed", "", choices(&DIFFERENCES)) }
                    if adds(form.typed()) {
                        { inputs.number("press-after", "Right behind sheet", "0: before the first sheet") }
                        { inputs.number("press-sheets", "Sheets added", "They get the next sheet numbers and are still to be examined") }
                    } else {
                        { inputs.number("press-sheet", "Sheet lost", "Good or mixed; it never took a serial") }
                    }
                </div>
                <div class="fields wide">
                    { inputs.text("press-reason", "Reason it differs", "What happened, up to 200 characters") }
                    { inputs.code("press-second", "Second person's code", "Saw it too, and signs") }
                </div>
                { submit.button("Record the difference", "press-differed") }
            </form>
            { recorded(&state) }
        </Panel>
    }
}

fn recorded(state: &State) -> Html {
    let lots = lots_at_press(state);
    let rows: Vec<_> = lots
        .flat_map(|lot| lot.press.records.iter().map(move |record| (lot, record)))
        .collect();
    if rows.is_empty() {
        return Html::default();
    }
    html! {
        <div class="table-frame">
            <table class="data" data-table="press">
                <caption>{ "Recorded for open lots" }</caption>
                <thead><tr>
                    <th scope="col">{ "Lot" }</th><th scope="col">{ "What differed" }</th>
                    <th scope="col">{ "Reason" }</th><th scope="col">{ "By, and seen by" }</th>
                    <th scope="col" class="num">{ "Entry" }</th>
                </tr></thead>
                <tbody>{ for rows.into_iter().map(|(lot, record)| row(state, lot, record)) }</tbody>
            </table>
        </div>
    }
}

fn row(state: &State, lot: &Lot, record: &PressRecord) -> Html {
    let persons = format!(
        "{}, {}",
        state.name_of(record.by),
        state.name_of(record.second)
    );
    html! {
        <tr key={record.seq.to_string()} data-row={record.seq.to_string()}>
            <th scope="row" class="mono">{ lot.id.to_string() }</th>
            <td>{ record.what.to_string() }</td>
            <td>{ &record.reason }</td>
            <td>{ persons }</td>
            <td class="num">{ count(record.seq) }</td>
        </tr>
    }
}
