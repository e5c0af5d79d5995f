//! What leaves the machine: the book, the day's tables, the printed record.

use yew::prelude::*;

use crate::book::{Copied, CopyTaken, Entry, Hash};
use crate::desk::{Action, Download};
use crate::export::{book_file, day_zip, stem};
use crate::ui::{Shop, use_shop};

use super::RecordProps;
use super::workbook::SaveWorkbook;

#[function_component]
pub fn Exports(props: &RecordProps) -> Html {
    let shop = use_shop();
    let save_book = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| {
            let today = shop.state().day_of(&shop.now());
            let (file, head) = (book_file(&shop.desk().book, today), shop.desk().book.head());
            if let Some((name, bytes)) = file {
                let mime = "application/jsonl";
                copy(&shop, Download { name, mime, bytes }, Copied::Book, head);
            }
        })
    };
    let save_day = {
        let (shop, record) = (shop.clone(), props.record.clone());
        Callback::from(move |_: MouseEvent| {
            let file = Download {
                name: format!("{}_day.zip", stem(&record.bench, record.day)),
                mime: "application/zip",
                bytes: day_zip(&record),
            };
            copy(&shop, file, Copied::DayRecord, record.head);
        })
    };
    // The lists of an archived day are not here, so its record would be wrong.
    let whole = !shop.state().is_archived(props.record.day);
    let print = shop.on(|_: MouseEvent| Action::Print);
    html! {
        <>
            <button type="button" class="primary" onclick={save_book} data-action="save-book" title="Every line of the book, as it is chained (JSON Lines). Save it last: the day's files are checked against a book that has the heads they name">{ "Save the book" }</button>
            <button type="button" onclick={save_day} disabled={!whole} data-action="save-day" title="A ZIP of CSV tables with a page that explains them">{ "Save the day as CSV" }</button>
            if whole { <SaveWorkbook record={props.record.clone()} /> }
            <button type="button" onclick={print} disabled={!whole} data-action="print-day">{ "Print the day record" }</button>
        </>
    }
}

/// Offers the file, then notes in the book that a copy with this head has left.
pub fn copy(shop: &Shop, file: Download, what: Copied, head: Hash) {
    shop.act(Action::Save(file));
    shop.act(Action::Record(vec![Entry::CopyTaken(CopyTaken::new(
        what, head,
    ))]));
}
