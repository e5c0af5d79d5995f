//! Looking up a serial or a sheet: its whole life.

use yew::prelude::*;

use crate::book::{
    ArchivedNote, Book, Fate, Life, Lot, Place, PrintedLife, ReplacementLife, SheetText, State,
    Subject, Trace,
};
use crate::desk::Desk;
use crate::desk::forms::Typed;
use crate::inspect::{Source, Tag};
use crate::people::Duty;
use crate::sheet::Slip;
use crate::ui::kit::{Dialog, Field, count, use_form};
use crate::ui::use_shop;

use super::life;

#[derive(Properties, PartialEq)]
pub struct LookupProps {
    pub onclose: Callback<()>,
}

/// Type or scan a serial or a sheet; the answer follows as it is typed.
#[function_component]
pub fn Lookup(props: &LookupProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let text = form.text("serial");
    let desk = shop.desk();
    html! {
        <Dialog title="Look up a serial or a sheet" onclose={props.onclose.clone()} class="lookup">
            <Field form={form.clone()} name="serial" label="Serial or sheet" mono=true autofocus=true
                hint="A printed or replacement note, or a sheet as lot and number: BW-0412 17. Spaces and small letters do not matter." />
            <div aria-live="polite">
                if !text.trim().is_empty() {
                    { answer(&desk, &text) }
                    if desk.may(Duty::RunTheOffice) { { meant(desk.state(), &text) } }
                }
            </div>
        </Dialog>
    }
}

fn answer(desk: &Desk, text: &str) -> Html {
    let book = &desk.book;
    let trace = book.state().trace(text);
    if let Trace::Found(life) = trace {
        return match *life {
            Life::Printed(life) => printed(desk, &life),
            Life::Replacement(life) => replacement(book, &life),
        };
    }
    match book.state().find_sheet(text) {
        Some(SheetText::Found(lot, sheet)) => return life::sheet(book, lot, sheet),
        Some(SheetText::NoSuchSheet { lot, sheets }) => {
            let sheets = count(sheets);
            return says(&format!("Lot {lot} has no such sheet. Give 1 to {sheets}."));
        }
        Some(SheetText::InArchive(lot)) => {
            return says(&book.state().archive_of(ArchivedNote::Printed(lot)));
        }
        None => {}
    }
    match trace {
        Trace::InArchive(note) => says(&book.state().archive_of(note)),
        Trace::NotASerial(why) => says(&why.to_string()),
        Trace::NothingNumbered => says("The book has no numbered lot yet. Open one in the Office."),
        Trace::NoSuchNote | Trace::Found(_) => says(
            "This serial is well formed, but no lot and no replacement series in this book has it.",
        ),
    }
}

/// The likely slips in a serial that does not hold. Shown to a supervisor only.
fn meant(state: &State, text: &str) -> Html {
    let slips = state.meant(text);
    if slips.is_empty() {
        return Html::default();
    }
    let line = |slip: &Slip| html! { <li class="mono">{ slip.to_string() }</li> };
    html! {
        <div class="meant">
            <h3>{ "It may be one of these" }</h3>
            <ul>{ for slips.iter().map(line) }</ul>
            <p class="hint">{ "Read the note again before you use any of them." }</p>
        </div>
    }
}

fn says(text: &str) -> Html {
    html! { <p class="answer">{ text }</p> }
}

pub(super) fn row(name: &'static str, value: Html) -> Html {
    html! { <><dt>{ name }</dt><dd>{ value }</dd></> }
}

fn printed(desk: &Desk, life: &PrintedLife) -> Html {
    let state = desk.state();
    let Some(lot) = state.lots.get(&life.lot) else {
        return Html::default();
    };
    let position = lot.product.layout.name(life.position).to_owned();
    let subject = Subject::Note(life.lot, life.sheet, life.serial);
    html! {
        <>
        <dl class="life" data-life="note">
            { row("Serial", html! { <b class="mono">{ state.in_groups(life.serial.as_str()) }</b> }) }
            { row("Product", html! { { product(desk, life) } }) }
            { row("Printed", html! { { format!("lot {}, sheet {}, position {position}", life.lot, count(life.sheet.number())) } }) }
            { row("Printed place", html! { { format!("stack {}, {} from the top; bundle {}, box {}", life.place.stack, life.place.depth, life.place.bundle, life.place.box_no) } }) }
            { row("Seen", html! { { seen(state, life) } }) }
            { row("Fate", html! { { fate(life) } }) }
            { row("Replaced by", html! { <span class="mono">{ life.replacement.map_or_else(|| "–".to_owned(), |serial| state.in_groups(serial.as_str())) }</span> }) }
            { row("Custody", custody(life.custody)) }
        </dl>
        { life::steps(&desk.book, &subject) }
        </>
    }
}

/// The product, and that it is another than the Bench's own when it is.
fn product(desk: &Desk, life: &PrintedLife) -> String {
    let of = |lot| Some(&desk.state().lots.get(lot)?.product);
    let Some(product) = of(&life.lot) else {
        return String::new();
    };
    let here = desk.bench.lot.as_ref().and_then(of);
    let other = here.filter(|here| here.id != product.id);
    let other = other.map(|here| format!("; the lot on the Bench is of {}", here.id));
    format!(
        "{}, {}{}",
        product.id,
        product.title,
        other.unwrap_or_default()
    )
}

/// What was found on the note, and what followed for its sheet.
fn seen(state: &State, life: &PrintedLife) -> String {
    let Some(exam) = life.exam else {
        return "not examined yet".to_owned();
    };
    let tags: Vec<String> = Lot::tags_at(exam, life.position).map(seen_tag).collect();
    let tags = match tags.is_empty() {
        true => "no tags".to_owned(),
        false => tags.join("; "),
    };
    let word = exam.machine_word().map(|word| format!(", {word}"));
    let (verdict, reason) = (exam.ruling.verdict.name(), &exam.ruling.reason);
    let (by, word) = (state.name_of(exam.by), word.unwrap_or_default());
    format!("{tags}; sheet {verdict} ({reason}), examined by {by}{word}")
}

/// "OM front, by machine".
pub(super) fn seen_tag(tag: &Tag) -> String {
    let machine = match tag.source {
        Source::Machine => ", by machine",
        Source::Eye => "",
    };
    format!("{} {}{machine}", tag.class, tag.side.name())
}

/// What became of a printed note.
fn fate(life: &PrintedLife) -> &'static str {
    match (life.exam, life.lost, life.custody) {
        (None, _, _) => "open: its sheet is not examined",
        (Some(_), false, _) => "fit",
        (Some(_), true, Some(Place::Destroyed(_))) => "destroyed: this note no longer exists",
        (Some(_), true, Some(Place::Missing(_))) => "missing: it is not where it should be",
        (Some(_), true, Some(Place::Lost(_))) => "declared lost",
        (Some(_), true, _) => "to be destroyed",
    }
}

pub(super) fn custody(place: Option<Place>) -> Html {
    let text = match place {
        None => "not a spoil".to_owned(),
        Some(Place::Loose) => "loose, not in a container yet".to_owned(),
        Some(Place::In(container)) => format!("in container {container}"),
        Some(Place::Missing(container)) => {
            format!("missing: it should lie in container {container}")
        }
        Some(Place::Lost(entry)) => format!("declared lost in entry {entry}"),
        Some(Place::Destroyed(session)) => format!("destroyed in session {session}"),
    };
    html! { { text } }
}

fn replacement(book: &Book, life: &ReplacementLife) -> Html {
    let state = book.state();
    let drawn = match &life.drawn {
        None => "not drawn yet".to_owned(),
        Some((lot, note, fate, seq)) => {
            let note = note.map_or_else(
                || "a note".to_owned(),
                |serial| state.in_groups(serial.as_str()),
            );
            let fate = match fate {
                Fate::OnHand => "on hand",
                Fate::Inserted => "inserted",
                Fate::Spoiled => "spoiled",
                Fate::Returned => "returned",
            };
            format!("for {note} of lot {lot}, entry {seq}; {fate}")
        }
    };
    html! {
        <>
        <dl class="life" data-life="replacement">
            { row("Serial", html! { <b class="mono">{ state.in_groups(life.serial.as_str()) }</b> }) }
            { row("Series", html! { { life.series.to_string() } }) }
            { row("Drawn", html! { { drawn } }) }
            { row("Custody", custody(life.custody)) }
        </dl>
        { life::steps(book, &Subject::Replacement(life.serial)) }
        </>
    }
}
