//! The boxes of a lot and their labels, on A4 or on label stock 100 mm wide.

use gloo::events::EventListener;
use yew::prelude::*;

use crate::desk::Action;
use crate::export::{BoxLabel, BoxState, Exception, LabelRange, box_labels};
use crate::ui::destroy::{bars, square};
use crate::ui::kit::{Empty, count};
use crate::ui::use_shop;

use super::screen::OfLot;

/// What the labels are printed on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stock {
    /// Four to a sheet of A4, with marks to cut by.
    A4,
    /// One to a label, 100 mm by 150 mm.
    Label,
}

/// What is being printed: which boxes (all when none is named), on what.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Printing {
    index: Option<usize>,
    stock: Stock,
}

/// A box gets its label when it is complete; until then the list says what it lacks.
#[function_component]
pub fn Labels(props: &OfLot) -> Html {
    let shop = use_shop();
    let printing = use_state(|| None::<Printing>);
    let after = printing.clone();
    use_effect_with((), move |()| {
        let window = gloo::utils::window();
        let listener = EventListener::new(&window, "afterprint", move |_| after.set(None));
        move || drop(listener)
    });
    let print = shop.clone();
    use_effect_with(*printing, move |printing| {
        if printing.is_some() {
            print.act(Action::Print);
        }
    });
    let lines = shop.desk().book.len();
    let lot = props.lot;
    let boxes = {
        let shop = shop.clone();
        use_memo((lot, lines), move |_| box_labels(&shop.state(), lot))
    };
    if boxes.is_empty() {
        return html! { <Empty text="This lot is not numbered yet, so its boxes have no serials to be labelled with." /> };
    }
    let button = |index, stock, label: &'static str, action: &'static str| {
        let printing = printing.clone();
        let onclick =
            Callback::from(move |_: MouseEvent| printing.set(Some(Printing { index, stock })));
        html! { <button type="button" {onclick} data-action={action}>{ label }</button> }
    };
    let complete = boxes
        .iter()
        .any(|state| matches!(state, BoxState::Complete(_)));
    let row = |(index, state): (usize, &BoxState)| {
        let number = count(index as u64 + 1);
        match state {
            BoxState::Open(missing) => html! {
                <tr key={index} data-box={number.clone()}>
                    <th scope="row" class="num">{ number }</th>
                    <td colspan="4">{ format!("No label yet: {}", missing.sentence()) }</td>
                </tr>
            },
            BoxState::Complete(label) => html! {
                <tr key={index} data-box={number.clone()}>
                    <th scope="row" class="num">{ number }</th>
                    <td class="mono">{ ranges_in_short(&label.ranges) }</td>
                    <td class="num">{ count(label.notes) }</td>
                    <td class="num">{ count(label.replacements()) }</td>
                    <td class="row-actions">
                        { button(Some(index), Stock::A4, "A4", "label-a4") }
                        { button(Some(index), Stock::Label, "100 mm", "label-100") }
                    </td>
                </tr>
            },
        }
    };
    html! {
        <section class="labels">
            <p class="submit">
                if complete {
                    { button(None, Stock::A4, "Print all on A4", "labels-a4") }
                    { button(None, Stock::Label, "Print all on 100 mm stock", "labels-100") }
                } else { { "A box gets its label when every sheet in it is examined and every spoiled note is replaced." } }
            </p>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Boxes of the lot" }</caption>
                    <thead><tr>
                        <th scope="col" class="num">{ "Box" }</th><th scope="col">{ "Serials" }</th><th scope="col" class="num">{ "Notes" }</th>
                        <th scope="col" class="num">{ "Replacement notes" }</th><th scope="col"><span class="sr-only">{ "Print" }</span></th>
                    </tr></thead>
                    <tbody>{ for boxes.iter().enumerate().map(row) }</tbody>
                </table>
            </div>
            if let Some(printing) = *printing { { papers(&boxes, printing) } }
        </section>
    }
}

fn ranges_in_short(ranges: &[LabelRange]) -> String {
    match ranges {
        [] => "replacement notes only".to_owned(),
        [one] => shown(one),
        [first, .., last] => format!(
            "{} … {} ({} ranges)",
            first.shown.0,
            last.shown.1,
            ranges.len()
        ),
    }
}

/// No serial is broken at the end of a line.
fn shown(range: &LabelRange) -> String {
    let [first, last] =
        [&range.shown.0, &range.shown.1].map(|serial| serial.replace(' ', "\u{a0}"));
    match range.first == range.last {
        true => first,
        false => format!("{first} – {last}"),
    }
}

fn papers(boxes: &[BoxState], printing: Printing) -> Html {
    let chosen = boxes
        .iter()
        .enumerate()
        .filter_map(|(index, state)| match state {
            BoxState::Complete(label) if printing.index.is_none_or(|one| one == index) => {
                Some(label)
            }
            _ => None,
        });
    let labels: Vec<&BoxLabel> = chosen.collect();
    let stock = match printing.stock {
        Stock::A4 => "labels-on-a4",
        Stock::Label => "labels-on-stock",
    };
    html! {
        <article class={classes!("print-only", "print-document", "label-paper", stock)}>
            { for labels.iter().map(|label| paper(label)) }
            { for labels.iter().flat_map(|label| lists(label)) }
        </article>
    }
}

fn paper(label: &BoxLabel) -> Html {
    let replacements = label.replacements();
    let exceptions = match label.on_label() {
        [] if replacements == 0 => html! { <p>{ "No replacement notes in this box." }</p> },
        [] => {
            html! { <p>{ format!("{} replacement notes: see the lists of box {}.", count(replacements), label.box_no) }</p> }
        }
        some => html! {
            <>
                <p>{ format!("{} replacement notes:", count(replacements)) }</p>
                <ul>{ for some.iter().map(|one| html! { <li class="mono">{ stands_for(one) }</li> }) }</ul>
            </>
        },
    };
    html! {
        <section class="box-label">
            if label.practice { <p class="print-practice">{ "PRACTICE" }</p> }
            <header><h1>{ &label.denomination }</h1><p>{ format!("Box {} of {}", label.box_no, label.boxes) }</p></header>
            <p>{ &label.works }</p>
            <p>{ format!("Lot {} · {} notes", label.lot, count(label.notes)) }</p>
            { ranges_on_label(&label.ranges) }
            { exceptions }
            <footer>{ bars(&label.bar_text()) }{ square(&label.qr_text(), "QR code with all that the label says") }</footer>
        </section>
    }
}

/// As many ranges as find room; the square code has them all where it can.
fn ranges_on_label(ranges: &[LabelRange]) -> Html {
    const ROOM: usize = 6;
    let more = ranges.len().saturating_sub(ROOM);
    html! {
        <ul class="ranges mono">
            { for ranges.iter().take(ROOM).map(|range| html! { <li>{ shown(range) }</li> }) }
            if more > 0 { <li>{ format!("and {more} more ranges, to {}", ranges.last().map_or("", |last| &last.shown.1)) }</li> }
        </ul>
    }
}

fn stands_for(one: &Exception) -> String {
    format!("{} for {}", shown(&one.inserted), shown(&one.pulled))
}

fn lists(label: &BoxLabel) -> Vec<Html> {
    let lists = label.lists();
    let of = lists.len();
    let page = |(at, list): (usize, &&[Exception])| {
        html! {
            <section class="box-list">
                if label.practice { <p class="print-practice">{ "PRACTICE" }</p> }
                <h2>{ format!("List {} of {of} of box {}, lot {}", at + 1, label.box_no, label.lot) }</h2>
                <ul>{ for list.iter().map(|one| html! { <li class="mono">{ stands_for(one) }</li> }) }</ul>
            </section>
        }
    };
    lists.iter().enumerate().map(page).collect()
}
