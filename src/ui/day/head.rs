//! The head of the book: what a witness keeps to tell this book from any other.

use yew::prelude::*;

use crate::book::Head as BookHead;
use crate::ui::book::{head_code, head_qr};
use crate::ui::kit::Panel;

use super::{Record, RecordProps};

#[function_component]
pub fn Head(props: &RecordProps) -> Html {
    let head = of(&props.record);
    html! {
        <Panel title="Head of the book" class={classes!("head-of-book")}>
            <div class="head-parts">
                { head_qr(&head) }
                <div>
                    { head_code(&head) }
                    <p class="full-head mono">{ head.hash.to_string() }</p>
                    <p class="hint">{ "Whoever keeps it can tell later whether any line before it was changed or dropped." }</p>
                </div>
            </div>
            <p class="signature print-only">{ "Supervisor (name, signature, time)" }</p>
        </Panel>
    }
}

fn of(record: &Record) -> BookHead {
    BookHead {
        book: record.book,
        entries: record.book_entries,
        hash: record.head,
    }
}
