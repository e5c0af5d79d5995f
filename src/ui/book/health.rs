//! Whether the book is well: what it holds, what is checked, what left, whose keys are here.

use yew::prelude::*;

use crate::book::{Copied, LastCopy, Line};
use crate::desk::{Action, BookView, Desk, Space, alarms, head_out};
use crate::people::Stamp;
use crate::ui::Shop;
use crate::ui::kit::{Panel, count};

use super::heads::head_code;
use super::homes::homes;

/// The whole view.
pub fn health(shop: &Shop) -> Html {
    let (desk, now) = (shop.desk(), shop.now());
    html! {
        <>
            { to_look_after(&desk, &now) }
            <div class="columns">
                <Panel title="Lines">{ lines(&desk) }</Panel>
                <Panel title="Head">{ head(shop, &desk, &now) }</Panel>
                <Panel title="Verification">{ verification(&desk) }</Panel>
                { homes(shop) }
                if desk.space == Space::Real { <Panel title="Keys on this machine">{ keys(&desk) }</Panel> }
            </div>
        </>
    }
}

fn to_look_after(desk: &Desk, now: &Stamp) -> Html {
    let alarms = alarms(desk, now);
    if alarms.is_empty() {
        return html! { <p class="well" role="status"><span class="mark good">{ "Nothing needs looking after." }</span></p> };
    }
    let item = |alarm: &crate::desk::Alarm| html! { <li>{ alarm.to_string() }</li> };
    html! {
        <section class="alarms" role="status" data-alarms={alarms.len().to_string()}>
            <h2>{ "To look after" }</h2>
            <ul>{ for alarms.iter().map(item) }</ul>
        </section>
    }
}

pub(super) fn fact(name: &'static str, value: Html) -> Html {
    html! { <><dt>{ name }</dt><dd>{ value }</dd></> }
}

fn lines(desk: &Desk) -> Html {
    let book = &desk.book;
    let bytes: usize = book.texts().iter().map(|text| text.len() + 1).sum();
    let opened = desk.state().opened.as_ref();
    let last = book.texts().last().and_then(|text| Line::read(text).ok());
    html! {
        <dl class="life">
            { fact("Entries", html! { <b>{ count(book.len()) }</b> }) }
            if book.first_seq() > 0 {
                { fact("Begins", html! { { format!("at entry {}; the archive has {}", count(book.first_seq()), desk.state().archive.entries()) } }) }
            }
            { fact("Size", html! { { size(bytes as u64) } }) }
            if let Some(opened) = opened {
                { fact("Works", html! { { format!("{}, bench {}", opened.works, opened.bench) } }) }
                { fact("Opened", html! { { opened.at.dated() } }) }
                { fact("Number of the book", html! { <span class="mono">{ opened.book.to_string() }</span> }) }
            }
            if let Some(last) = last {
                { fact("Last entry", html! { { format!("{} by {}", last.header.at.dated(), desk.state().name_of(last.header.by)) } }) }
            }
        </dl>
    }
}

/// "840 bytes", "12.3 kB", "4.0 MB".
pub(super) fn size(bytes: u64) -> String {
    match bytes {
        0..=999 => format!("{bytes} bytes"),
        1_000..=999_999 => format!("{}.{} kB", bytes / 1000, bytes / 100 % 10),
        _ => format!("{}.{} MB", count(bytes / 1_000_000), bytes / 100_000 % 10),
    }
}

fn head(shop: &Shop, desk: &Desk, now: &Stamp) -> Html {
    let out = head_out(&desk.book, now);
    let go = shop.on(|_: MouseEvent| Action::GoBook(BookView::Heads));
    let state = desk.state();
    html! {
        <>
            { desk.book.whole_head().map(|head| head_code(&head)) }
            <dl class="life">
                { fact("Last head out", html! { { left(state.last_copy.as_ref()) } }) }
                { fact("Entries since", html! { { count(out.entries) } }) }
                { fact("Last copy of the book", html! { { left(state.last_book_copy.as_ref()) } }) }
            </dl>
            <p class="submit"><button type="button" class={classes!(out.is_due().then_some("primary"))} onclick={go} data-action="to-heads">{ "Let the head out…" }</button></p>
        </>
    }
}

fn left(copy: Option<&LastCopy>) -> String {
    let Some(copy) = copy else {
        return "never".to_owned();
    };
    let what = match copy.what {
        Copied::Book => "with the book",
        Copied::DayRecord => "with a day record",
        Copied::Certificate => "with a certificate",
        Copied::Head => "alone",
    };
    format!("{}, {what}, entry {}", copy.at.dated(), count(copy.seq))
}

fn verification(desk: &Desk) -> Html {
    let (all, left) = (desk.book.texts().len() as u64, desk.book.unchecked() as u64);
    let done = all - left;
    let when = match &desk.checked {
        Some(at) => format!(
            "those stored before, at opening, {}; each later one as it was signed",
            at.dated()
        ),
        None => "under way".to_owned(),
    };
    html! {
        <>
            <dl class="life">
                { fact("Chain and rules", html! { <span class="mark good">{ format!("{} of {} lines hold", count(all), count(all)) }</span> }) }
                { fact("Signatures", html! {
                    <span class={classes!("mark", if left == 0 { "good" } else { "open" })} data-signatures={left.to_string()}>
                        { format!("{} of {} hold", count(done), count(all)) }
                    </span>
                }) }
                { fact("Checked", html! { { when } }) }
            </dl>
            if left > 0 {
                <progress max={all.to_string()} value={done.to_string()} aria-label="Signatures checked" />
            }
            <p class="hint">{ "Done anew each time the book is opened. It shows that no line was changed or slipped in. That none is missing at the end, only a head kept elsewhere shows." }</p>
        </>
    }
}

fn keys(desk: &Desk) -> Html {
    let row = |person: &crate::people::Person| {
        let here = desk.keys.contains_key(&person.key);
        html! {
            <tr key={person.person.to_string()}>
                <th scope="row">{ person.name.to_string() }</th>
                <td class="mono">{ person.key.short() }</td>
                <td><span class={classes!("mark", if here { "good" } else { "open" })}>{ if here { "here" } else { "not here" } }</span></td>
            </tr>
        }
    };
    html! {
        <table class="data">
            <caption class="sr-only">{ "Whose key is on this machine" }</caption>
            <thead><tr><th scope="col">{ "Person" }</th><th scope="col">{ "Key" }</th><th scope="col">{ "On this machine" }</th></tr></thead>
            <tbody>{ for desk.state().people.values().map(row) }</tbody>
        </table>
    }
}
