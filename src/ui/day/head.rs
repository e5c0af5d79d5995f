//! The head of the book: what a witness keeps to tell this book from any other.

use yew::prelude::*;

use crate::export::{QrLevel, qr_drawing};
use crate::ui::kit::count;

use super::Record;
use super::part::part;

pub fn head(record: &Record) -> Html {
    let body = html! {
        <>
            <div class="head-parts">
                { code(record) }
                <div>
                    <p class="short-head mono" data-head={record.head.to_string()}>{ record.head.short() }</p>
                    <p class="full-head mono">{ record.head.to_string() }</p>
                    <p class="hint">{ format!("Hash of entry {}, the last of {}. Whoever keeps it can tell later whether any line before it was changed or dropped.",
                        record.book_entries.saturating_sub(1), count(record.book_entries)) }</p>
                </div>
            </div>
            <p class="signature print-only">{ "Supervisor (name, signature, time)" }</p>
        </>
    };
    part("Head of the book", "", "head-of-book", body)
}

/// The head with its bench, day and number of entries, for a scanner.
fn code(record: &Record) -> Html {
    let text = format!(
        "{} {} {} {}",
        record.bench, record.day, record.book_entries, record.head
    );
    // A bench, a day and a hash are far shorter than what a code holds.
    let Ok(drawing) = qr_drawing(&text, QrLevel::Medium) else {
        return Html::default();
    };
    html! {
        <svg class="qr" role="img" aria-label="QR code of the head" viewBox={format!("0 0 {} {}", drawing.side, drawing.side)}>
            <rect width={drawing.side.to_string()} height={drawing.side.to_string()} class="qr-ground" />
            <path d={drawing.path} class="qr-modules" shape-rendering="crispEdges" />
        </svg>
    }
}
