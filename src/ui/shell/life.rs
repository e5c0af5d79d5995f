//! What the book says of one sheet or note: its steps in order, and a sheet as a whole.

use yew::prelude::*;

use crate::book::{Book, Exam, Lot, Place, State, Step, Subject};
use crate::custody::Item;
use crate::inspect::{Spot, Tag};
use crate::sheet::{LotId, Printed, Serial, SheetNo};
use crate::ui::kit::count;

use super::lookup::{custody, row, seen_tag};

/// Every line of the book that speaks of the subject, first to last.
pub(super) fn steps(book: &Book, subject: &Subject) -> Html {
    let steps = book.life(subject);
    let step = |step: &Step| {
        html! {
            <tr key={step.entry} data-row={step.entry.to_string()}>
                <td class="num">{ count(step.entry) }</td>
                <td class="when">{ step.at.dated() }</td>
                <td>{ book.state().name_of(step.by) }</td>
                <td>{ &step.says }</td>
            </tr>
        }
    };
    html! {
        <table class="data steps" data-table="steps">
            <caption>{ "Its life, by the lines of this book" }</caption>
            <thead><tr>
                <th scope="col" class="num">{ "Entry" }</th>
                <th scope="col">{ "When" }</th>
                <th scope="col">{ "Who" }</th>
                <th scope="col">{ "What" }</th>
            </tr></thead>
            <tbody>{ for steps.iter().map(step) }</tbody>
        </table>
    }
}

/// A sheet: what was found on it, what followed, and its steps.
pub(super) fn sheet(book: &Book, id: LotId, sheet: SheetNo) -> Html {
    let state = book.state();
    let Some(lot) = state.lots.get(&id) else {
        return Html::default();
    };
    let exam = lot.sheet(sheet).and_then(|sheet| sheet.exam.as_deref());
    let place = state.cage.spoils.get(&Item::Sheet(id, sheet)).copied();
    let (product, subject) = (&lot.product, Subject::Sheet(id, sheet));
    let number = count(sheet.number());
    html! {
        <>
            <dl class="life" data-life="sheet">
                { row("Sheet", html! { <b>{ format!("sheet {number} of lot {id}") }</b> }) }
                { row("Product", html! { { format!("{}, {}", product.id, product.title) } }) }
                { row("Verdict", html! { { verdict(state, exam) } }) }
                if let Some(exam) = exam {
                    { row("Tags", tags(lot, exam)) }
                    { row("Replacement notes", html! { <span class="mono">{ replacements(book, &subject) }</span> }) }
                }
                { row("Custody", whole_or_notes(state, lot, sheet, exam, place)) }
            </dl>
            { steps(book, &subject) }
        </>
    }
}

fn verdict(state: &State, exam: Option<&Exam>) -> String {
    exam.map_or_else(
        || "not examined yet".to_owned(),
        |exam| {
            let (verdict, by) = (exam.ruling.verdict.name(), state.name_of(exam.by));
            format!("{verdict}: {}; examined by {by}", exam.ruling.reason)
        },
    )
}

fn tags(lot: &Lot, exam: &Exam) -> Html {
    let place = |tag: &Tag| match tag.spot {
        Spot::WholeSheet => "whole sheet".to_owned(),
        Spot::Note(position) => lot.product.layout.name(position).to_owned(),
    };
    let line = |tag: &Tag| html! { <li>{ format!("{}: {}", place(tag), seen_tag(tag)) }</li> };
    match exam.tags.is_empty() {
        true => html! { { "none" } },
        false => html! { <ul class="plain">{ for exam.tags.iter().map(line) }</ul> },
    }
}

fn replacements(book: &Book, subject: &Subject) -> String {
    let drawn = book.stood_in(subject).into_iter();
    let drawn: Vec<String> = drawn.map(|serial| serial.to_string()).collect();
    match drawn.is_empty() {
        true => "none drawn".to_owned(),
        false => drawn.join(", "),
    }
}

/// Where the sheet lies, or each note that was pulled from it.
fn whole_or_notes(
    state: &State,
    lot: &Lot,
    sheet: SheetNo,
    exam: Option<&Exam>,
    place: Option<Place>,
) -> Html {
    let lost = exam.map_or_else(Vec::new, |exam| lot.lost(&exam.ruling));
    let pulled = lost.into_iter().filter_map(|position| {
        let serial = lot.serial(sheet, position)?;
        let place = state.cage.spoils.get(&Item::Note(serial))?;
        Some((serial, *place))
    });
    let pulled: Vec<_> = pulled.collect();
    if pulled.is_empty() || place.is_some() {
        return custody(place);
    }
    let line = |(serial, place): &(Serial<Printed>, Place)| {
        html! { <li><span class="mono">{ serial.to_string() }</span>{ " " }{ custody(Some(*place)) }</li> }
    };
    html! { <ul class="plain">{ for pulled.iter().map(line) }</ul> }
}
