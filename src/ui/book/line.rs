//! One line of the book as it is written, with who signed it and what it corrects.

use yew::prelude::*;

use crate::book::{Book, Countersigned, Line, kind_words, says};
use crate::desk::log::read;
use crate::ui::kit::{Dialog, count};
use crate::ui::use_shop;

use super::health::fact;

/// Most of a line that is shown, in bytes; the longest lines carry thousands of machine tags.
const SHOWN: usize = 20_000;
/// Most corrections of a line that it links to.
const LINKED: usize = 12;

#[derive(Properties, PartialEq)]
pub struct LineDialogProps {
    pub seq: u64,
    pub onclose: Callback<()>,
    /// Opens another line in its place.
    pub onopen: Callback<u64>,
}

#[function_component]
pub fn LineDialog(props: &LineDialogProps) -> Html {
    let shop = use_shop();
    let desk = shop.desk();
    let (book, seq) = (&desk.book, props.seq);
    let Some(line) = read(book, seq) else {
        return Html::default();
    };
    html! {
        <Dialog title={format!("Entry {}: {}", count(seq), kind_words(line.entry.kind()).to_lowercase())} class="wide" onclose={props.onclose.clone()}>
            <p class="line-says">{ says(&line, book) }</p>
            { facts(book, &line, &props.onopen) }
            { line.countersigned.as_ref().map(|said| signers(book, said)) }
            <h3>{ "The line as it is chained" }</h3>
            <pre class="line-text" tabindex="0" data-line-text="">{ shown(&line.text) }</pre>
            <div class="submit">
                { step(book, seq.checked_sub(1), "Earlier", &props.onopen) }
                { step(book, Some(seq + 1), "Later", &props.onopen) }
            </div>
        </Dialog>
    }
}

fn facts(book: &Book, line: &Line, onopen: &Callback<u64>) -> Html {
    let header = &line.header;
    let checked = header.seq < book.len() - book.unchecked() as u64;
    let signature = match checked {
        true => ("good", "holds"),
        false => ("open", "not checked yet"),
    };
    html! {
        <dl class="life">
            { fact("Recorded", html! { { format!("{} by {} ({})", header.at, book.state().name_of(header.by), header.by) } }) }
            if let Some(seq) = book.corrected_by(&line.entry) {
                { fact("Corrects", to_entry(seq, "to-corrected", onopen)) }
            }
            { corrected_in(book.corrections_of(header.seq), onopen) }
            { fact("Hash", html! { <span class="mono long" data-hash="">{ line.hash.to_string() }</span> }) }
            { fact("Line before", html! { <span class="mono long">{ header.prev.to_string() }</span> }) }
            { fact("Signature", html! { <><span class={classes!("mark", signature.0)}>{ signature.1 }</span><span class="mono long">{ line.sig.to_string() }</span></> }) }
        </dl>
    }
}

/// The entries that correct this one: a range of sheets may have many.
fn corrected_in(entries: &[u64], onopen: &Callback<u64>) -> Html {
    if entries.is_empty() {
        return Html::default();
    }
    let link = |(place, seq): (usize, &u64)| {
        let comma = if place > 0 { ", " } else { "" };
        html! { <>{ comma }{ to_entry(*seq, "to-correction", onopen) }</> }
    };
    let more = entries.len().saturating_sub(LINKED) as u64;
    fact(
        "Corrected in",
        html! {
            <>
                { for entries.iter().take(LINKED).enumerate().map(link) }
                if more > 0 { { format!(" and {} more", count(more)) } }
            </>
        },
    )
}

fn to_entry(seq: u64, action: &'static str, onopen: &Callback<u64>) -> Html {
    html! { <button type="button" class="link" onclick={open(seq, onopen)} data-action={action}>{ format!("entry {}", count(seq)) }</button> }
}

fn signers(book: &Book, said: &Countersigned) -> Html {
    let signer = |one: &crate::people::Countersignature| {
        let name = book.state().name_of(one.by);
        html! { <li><b>{ name }</b>{ format!(" ({}) as {}", one.by, one.meaning.name()) }<span class="mono long">{ one.sig.to_string() }</span></li> }
    };
    html! {
        <>
            <h3>{ "What others signed" }</h3>
            <pre class="statement" tabindex="0">{ &said.statement }</pre>
            <ul class="signers">{ for said.also.iter().map(signer) }</ul>
        </>
    }
}

fn shown(text: &str) -> String {
    if text.len() <= SHOWN {
        return text.to_owned();
    }
    let mut end = SHOWN;
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let more = count((text.len() - end) as u64);
    format!(
        "{}… and {more} bytes more. A saved copy of the book has all of it.",
        &text[..end]
    )
}

fn open(seq: u64, onopen: &Callback<u64>) -> Callback<MouseEvent> {
    onopen.reform(move |_| seq)
}

fn step(book: &Book, seq: Option<u64>, label: &'static str, onopen: &Callback<u64>) -> Html {
    let there = seq.filter(|seq| book.text(*seq).is_some());
    let onclick = there.map(|seq| open(seq, onopen));
    html! { <button type="button" disabled={there.is_none()} {onclick}>{ label }</button> }
}
