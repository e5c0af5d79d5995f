//! The head of the book: what a witness keeps to tell this book from any other.

use yew::prelude::*;

use crate::book::Head as BookHead;
use crate::ui::book::{head_code, head_qr};

use super::Record;
use super::part::part;

pub fn head(record: &Record) -> Html {
    let head = of(record);
    let body = html! {
        <>
            { head_code(&head) }
            <div class="head-parts">
                { head_qr(&head) }
                <div>
                    <p class="full-head mono">{ head.hash.to_string() }</p>
                    <p class="hint">{ "Whoever keeps it can tell later whether any line before it was changed or dropped." }</p>
                </div>
            </div>
            <p class="signature print-only">{ "Supervisor (name, signature, time)" }</p>
        </>
    };
    part("Head of the book", "", "head-of-book", body)
}

fn of(record: &Record) -> BookHead {
    BookHead {
        book: record.book,
        entries: record.book_entries,
        hash: record.head,
    }
}
