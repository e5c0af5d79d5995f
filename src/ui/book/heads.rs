//! Heads that leave this machine and come back to it.

use yew::prelude::*;

use crate::book::{Book, Entry, Head, HeadCode, Line, glance, says};
use crate::desk::log::read;
use crate::export::{QrLevel, head_text, qr_drawing};
use crate::ui::kit::{Panel, count};
use crate::ui::use_shop;

use super::back::HeadBack;
use super::out::HeadOutward;

/// Notes of copies that are shown, the last ones.
const SHOWN: usize = 12;

#[function_component]
pub fn Heads() -> Html {
    let shop = use_shop();
    let length = shop.desk().book.len();
    let left = {
        let shop = shop.clone();
        use_memo(length, move |_| last_copies(&shop.desk().book))
    };
    html! {
        <>
            <div class="columns">
                <div class="print-document head-paper">
                    { paper(&shop.desk().book) }
                    <HeadOutward />
                </div>
                <HeadBack />
            </div>
            <Panel class="no-print" title="What left this machine" lead="The last first. Each of these carries a head; keep what can be compared later.">
                { table(&shop.desk().book, &left) }
            </Panel>
        </>
    }
}

/// What stands above the head on paper only.
fn paper(book: &Book) -> Html {
    let Some(opened) = &book.state().opened else {
        return Html::default();
    };
    html! {
        <div class="print-only">
            <h1>{ "Head of the book" }</h1>
            if opened.practice { <p class="print-practice">{ "PRACTICE. Everything in this book is invented." }</p> }
            <p>{ format!("{}, bench {}, book {}", opened.works, opened.bench, opened.book) }</p>
        </div>
    }
}

/// The short code with the number of entries it stands behind.
pub fn head_code(head: &Head) -> Html {
    html! {
        <div class="head-code">
            <p class="code mono" data-head-code={head.code().to_string()} data-head={head.hash.to_string()}>{ head.code().to_string() }</p>
            <p class="hint">{ format!("Code of the head: entry {}, the last of {}.", count(head.entries - 1), count(head.entries)) }</p>
        </div>
    }
}

/// All of the head for a scanner.
pub fn head_qr(head: &Head) -> Html {
    // The text of a head is far shorter than what a code holds.
    let Ok(drawing) = qr_drawing(&head_text(head), QrLevel::Medium) else {
        return Html::default();
    };
    html! {
        <svg class="qr" role="img" aria-label="QR code of the head" viewBox={format!("0 0 {0} {0}", drawing.side)}>
            <rect width={drawing.side.to_string()} height={drawing.side.to_string()} class="qr-ground" />
            <path d={drawing.path} class="qr-modules" shape-rendering="crispEdges" />
        </svg>
    }
}

/// The last notes of copies, the last first.
fn last_copies(book: &Book) -> Vec<Line> {
    let noted = |text: &str| glance(text).is_some_and(|line| line.kind == "copy.taken");
    let lines = (book.first_seq()..book.len()).rev();
    let copies = lines.filter(|seq| book.text(*seq).is_some_and(|text| noted(text)));
    copies
        .filter_map(|seq| read(book, seq))
        .take(SHOWN)
        .collect()
}

fn table(book: &Book, copies: &[Line]) -> Html {
    if copies.is_empty() {
        let none = match book.first_seq() {
            0 => "Nothing yet.".to_owned(),
            first => format!(
                "Nothing since entry {}; what left before is noted in the archive.",
                count(first)
            ),
        };
        return html! { <p>{ none }</p> };
    }
    let row = |line: &Line| {
        html! {
            <tr key={line.header.seq} data-row={line.header.seq.to_string()}>
                <td class="num">{ count(line.header.seq) }</td>
                <td class="when">{ line.header.at.dated() }</td>
                <td>{ book.state().name_of(line.header.by) }</td>
                <td>{ says(line, book) }</td>
                <td class="mono">{ code_of(line) }</td>
            </tr>
        }
    };
    html! {
        <div class="table-frame"><table class="data">
            <caption class="sr-only">{ "Copies that left" }</caption>
            <thead><tr>
                <th scope="col" class="num">{ "Entry" }</th><th scope="col">{ "When" }</th><th scope="col">{ "Noted by" }</th>
                <th scope="col">{ "What left" }</th><th scope="col">{ "Code" }</th>
            </tr></thead>
            <tbody>{ for copies.iter().map(row) }</tbody>
        </table></div>
    }
}

/// A copy that was noted on the head it carries has that head's code.
fn code_of(line: &Line) -> String {
    match &line.entry {
        Entry::CopyTaken(data) if data.head == line.header.prev => {
            HeadCode::new(line.header.seq, &data.head).to_string()
        }
        _ => String::new(),
    }
}
