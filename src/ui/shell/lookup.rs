//! Looking up a serial: its whole life, for printed and for replacement notes.

use yew::prelude::*;

use crate::book::{Fate, Life, Place, PrintedLife, ReplacementLife, State, Trace};
use crate::desk::forms::Typed;
use crate::inspect::{Source, Tag};
use crate::people::Duty;
use crate::sheet::Slip;
use crate::ui::kit::{Dialog, Field, count, use_form};
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct LookupProps {
    pub onclose: Callback<()>,
}

/// Type or scan a serial; the answer follows as it is typed.
#[function_component]
pub fn Lookup(props: &LookupProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let text = form.text("serial");
    let state = shop.state();
    html! {
        <Dialog title="Look up a serial" onclose={props.onclose.clone()} class="lookup">
            <Field form={form.clone()} name="serial" label="Serial" mono=true autofocus=true
                hint="Printed or replacement note. Spaces and small letters do not matter." />
            <div aria-live="polite">
                if !text.trim().is_empty() {
                    { answer(&state, &text) }
                    if shop.desk().may(Duty::RunTheOffice) { { meant(&state, &text) } }
                }
            </div>
        </Dialog>
    }
}

fn answer(state: &State, text: &str) -> Html {
    match state.trace(text) {
        Trace::Found(life) => match *life {
            Life::Printed(life) => printed(state, &life),
            Life::Replacement(life) => replacement(&life),
        },
        Trace::NoSuchNote => says("No lot and no replacement series in this book has that serial."),
        Trace::NotASerial(why) => says(&why.to_string()),
        Trace::NothingNumbered => says("The book has no numbered lot yet. Open one in the Office."),
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

fn row(name: &'static str, value: Html) -> Html {
    html! { <><dt>{ name }</dt><dd>{ value }</dd></> }
}

fn printed(state: &State, life: &PrintedLife) -> Html {
    let Some(lot) = state.lots.get(&life.lot) else {
        return Html::default();
    };
    let position = lot.product.layout.name(life.position).to_owned();
    let seen = match life.exam {
        None => html! { { "not examined yet" } },
        Some(exam) => {
            let tags: Vec<String> = crate::book::Lot::tags_at(exam, life.position)
                .map(seen_tag)
                .collect();
            let tags = if tags.is_empty() {
                "no tags".to_owned()
            } else {
                tags.join("; ")
            };
            let word = exam.machine_word().map(|word| format!(", {word}"));
            let over = exam.overruled.as_ref();
            let over = over
                .map(|over| format!(", overruled {} in entry {}", over.at.readable(), exam.seq));
            let word = word.unwrap_or_default() + &over.unwrap_or_default();
            html! { { format!("{tags}; sheet {} ({}), examined by {}, {}, entry {}{word}", exam.ruling.verdict.name(), exam.ruling.reason, state.name_of(exam.by), exam.at.readable(), exam.examined_in()) } }
        }
    };
    html! {
        <dl class="life">
            { row("Serial", html! { <b class="mono">{ life.serial.to_string() }</b> }) }
            { row("Printed", html! { { format!("lot {}, sheet {}, position {position}", life.lot, count(life.sheet.number())) } }) }
            { row("Printed place", html! { { format!("stack {}, {} from the top; bundle {}, box {}", life.place.stack, life.place.depth, life.place.bundle, life.place.box_no) } }) }
            { row("Seen", seen) }
            { row("Fate", html! { { fate(life) } }) }
            { row("Replaced by", html! { <span class="mono">{ life.replacement.map_or_else(|| "–".to_owned(), |serial| serial.to_string()) }</span> }) }
            { row("Custody", custody(life.custody)) }
        </dl>
    }
}

/// "OM front, by machine".
fn seen_tag(tag: &Tag) -> String {
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
        (Some(_), true, Some(Place::Destroyed(_))) => "destroyed",
        (Some(_), true, _) => "to be destroyed",
    }
}

fn custody(place: Option<Place>) -> Html {
    let text = match place {
        None => "not a spoil".to_owned(),
        Some(Place::Loose) => "loose, not in a container yet".to_owned(),
        Some(Place::In(container)) => format!("in container {container}"),
        Some(Place::Destroyed(session)) => format!("destroyed in session {session}"),
    };
    html! { { text } }
}

fn replacement(life: &ReplacementLife) -> Html {
    let drawn = match &life.drawn {
        None => "not drawn yet".to_owned(),
        Some((lot, note, fate, seq)) => {
            let note = note.map_or_else(|| "a note".to_owned(), |serial| serial.to_string());
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
        <dl class="life">
            { row("Serial", html! { <b class="mono">{ life.serial.to_string() }</b> }) }
            { row("Series", html! { { life.series.to_string() } }) }
            { row("Drawn", html! { { drawn } }) }
            { row("Custody", custody(life.custody)) }
        </dl>
    }
}
