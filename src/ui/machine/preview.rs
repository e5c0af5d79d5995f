//! What a machine file holds, before and after it is recorded.

use std::rc::Rc;

use yew::prelude::*;

use crate::desk::Action;
use crate::desk::import::{MachineImport, REFUSED_SHOWN};
use crate::export::RefusedRow;
use crate::inspect::ClassCode;
use crate::ui::Shop;
use crate::ui::kit::{count, number_of};

/// Figures, classes and refused rows, and the button that records.
pub fn preview(
    shop: &Shop,
    import: &Rc<MachineImport>,
    problem: &str,
    onrecord: &Callback<()>,
    onagain: &Callback<()>,
) -> Html {
    let tags = import.to_record();
    let label = match tags {
        1 => "Record 1 tag".to_owned(),
        _ => format!("Record {} tags", count(tags as u64)),
    };
    let onrecord = onrecord.reform(|_: MouseEvent| ());
    let onagain = onagain.reform(|_: MouseEvent| ());
    let saving = shop.desk().is_saving();
    html! {
        <>
            { figures(import) }
            if !problem.is_empty() { <p class="summary" role="alert" data-problem="">{ format!("Not recorded. {}", problem) }</p> }
            { nothing_new(import) }
            <div class="submit">
                if tags > 0 { <button type="button" class="primary" onclick={onrecord} disabled={saving} data-action="record-tags">{ label }</button> }
                <button type="button" onclick={onagain} data-action="another-file">{ "Choose another file" }</button>
            </div>
            <div class="machine-parts">
                { classes(shop, import) }
                { refused(shop, import) }
            </div>
        </>
    }
}

fn figures(import: &MachineImport) -> Html {
    let figure = |label: &'static str, number: usize, name: &'static str| {
        html! { <div><dt>{ label }</dt><dd data-figure={name}>{ count(number as u64) }</dd></div> }
    };
    html! {
        <>
            <p><span class="mono">{ &import.file }</span>{ ", SHA-256 " }<span class="mono">{ import.sha256.short() }</span></p>
            <dl class="figures">
                { figure("Rows in the file", import.rows(), "rows") }
                { figure("Accepted", import.accepted, "accepted") }
                { figure("Refused", import.refused().len(), "refused") }
                { figure("Known already", import.known, "known") }
                { figure("Tags to record", import.to_record(), "tags") }
                { figure("Sheets they touch", import.sheets, "sheets") }
            </dl>
        </>
    }
}

fn nothing_new(import: &MachineImport) -> Html {
    let text = match (import.to_record(), import.known) {
        (0, 0) => "No row of this file can be recorded.",
        (0, _) => {
            "This file adds nothing: the book has every one of its tags from the machine already."
        }
        (_, 0) => return Html::default(),
        _ => "Tags that the book has from the machine already are left out.",
    };
    html! { <p role="status">{ text }</p> }
}

fn classes(shop: &Shop, import: &MachineImport) -> Html {
    let by_class = &import.by_class;
    if by_class.is_empty() {
        return Html::default();
    }
    let state = shop.state();
    let catalogue = state.lot(import.lot).ok().map(|lot| &lot.catalogue);
    let name = |code: ClassCode| {
        let class = catalogue.and_then(|catalogue| catalogue.get(code));
        class.map_or_else(String::new, |class| class.name.clone())
    };
    html! {
        <table class="data machine-classes">
            <caption>{ "Tags to record, by class" }</caption>
            <thead><tr><th scope="col">{ "Class" }</th><th scope="col">{ "Name" }</th><th scope="col" class="num">{ "Tags" }</th></tr></thead>
            <tbody>{ for by_class.iter().map(|&(code, tags)| html! {
                <tr key={code.to_string()}><th scope="row" class="mono">{ code.to_string() }</th><td>{ name(code) }</td><td class="num">{ count(tags as u64) }</td></tr>
            }) }</tbody>
        </table>
    }
}

fn refused(shop: &Shop, import: &Rc<MachineImport>) -> Html {
    let refused = import.refused();
    if refused.is_empty() {
        return html! { <p class="soft">{ "No row was refused." }</p> };
    }
    let save = {
        let import = Rc::clone(import);
        shop.on(move |_: MouseEvent| Action::Save(import.refused_rows()))
    };
    let caption = match refused.len() {
        all if all <= REFUSED_SHOWN => number_of(all as u64, "refused row", "refused rows"),
        all => format!(
            "The first {REFUSED_SHOWN} of {} refused rows",
            count(all as u64)
        ),
    };
    html! {
        <div>
            <div class="table-frame refused-rows" tabindex="0" role="region" aria-label={caption.clone()}>
                <table class="data">
                    <caption>{ caption }</caption>
                    <thead><tr><th scope="col" class="num">{ "Line" }</th><th scope="col">{ "Column" }</th><th scope="col">{ "Value" }</th><th scope="col">{ "Why it was refused" }</th></tr></thead>
                    <tbody>{ for refused.iter().take(REFUSED_SHOWN).map(refused_row) }</tbody>
                </table>
            </div>
            <button type="button" onclick={save} data-action="save-refused">{ "Save the refused rows" }</button>
        </div>
    }
}

fn refused_row(row: &RefusedRow) -> Html {
    html! {
        <tr key={row.line}>
            <td class="num">{ count(row.line) }</td>
            <td>{ row.column.map_or("whole row", |column| column.name()) }</td>
            <td class="mono value">{ &row.value }</td>
            <td>{ row.reason.to_string() }</td>
        </tr>
    }
}

/// Said when the store has it all.
pub fn recorded(import: &MachineImport, onclose: &Callback<()>) -> Html {
    let close = onclose.reform(|_: MouseEvent| ());
    let text = format!(
        "Recorded {} tags on {} sheets. The bench shows them when it comes to these sheets; an examination confirms or overrules them.",
        count(import.to_record() as u64),
        count(import.sheets as u64)
    );
    html! {
        <>
            <p role="status" data-machine-recorded="">{ text }</p>
            <div class="submit"><button type="button" class="primary" onclick={close} data-action="done">{ "Done" }</button></div>
        </>
    }
}
