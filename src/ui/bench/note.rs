//! One note on the drawn sheet.

use yew::prelude::*;

use super::chip::{Chip, draw_chip, n};

#[derive(Properties, PartialEq)]
pub struct NoteProps {
    pub id: AttrValue,
    /// Row and column as seen, from 0.
    pub row: u8,
    pub column: u8,
    /// Millimetres from the top left of the sheet.
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
    pub name: AttrValue,
    pub serial: Option<AttrValue>,
    pub chips: Vec<Chip>,
    pub defective: bool,
    /// What repeats here, when the Bench says so.
    pub repeats: Option<AttrValue>,
    pub selected: bool,
    pub cursor: bool,
}

/// Chips that fit on a note; the rest are counted.
const CHIPS: usize = 4;

/// A note with its ornament, name, serial and tags.
#[function_component]
pub fn Note(props: &NoteProps) -> Html {
    let (x, y, w, h) = (props.x, props.y, props.width, props.height);
    let unit = (h * 0.17).min(w * 0.09);
    let pad = unit * 0.6;
    let class = classes!(
        "note",
        props.defective.then_some("defective"),
        props.selected.then_some("selected"),
        props.cursor.then_some("cursor"),
    );
    let ornament = format!(
        "translate({} {}) scale({})",
        n(x + w * 0.66),
        n(y + h * 0.55),
        n(h * 0.34)
    );
    html! {
        <g id={&props.id} role="gridcell" {class} aria-selected={props.selected.to_string()} aria-label={spoken(props)}
            data-cell={format!("{},{}", props.row, props.column)}>
            <rect class="note-paper" x={n(x)} y={n(y)} width={n(w)} height={n(h)} />
            <use href="#rosette" class="ornament" transform={ornament} />
            if props.defective { <rect class="note-hatch" x={n(x)} y={n(y)} width={n(w)} height={n(h)} fill="url(#hatch)" /> }
            <text class="note-name" x={n(x + pad)} y={n(y + pad + unit)} font-size={n(unit * 1.08)}>{ &props.name }</text>
            if let Some(serial) = &props.serial {
                { " " }
                <text class="note-serial" x={n(x + pad)} y={n(y + h - pad)} font-size={n(unit)}>{ serial }</text>
            }
            if let Some(repeats) = &props.repeats { { repeat_mark(repeats, x + pad * 1.8, y + h * 0.5, unit) } }
            { chips(props, unit) }
            <rect class="note-edge" x={n(x)} y={n(y)} width={n(w)} height={n(h)} />
        </g>
    }
}

/// Three sheets on each other: this note is marked sheet after sheet.
fn repeat_mark(repeats: &AttrValue, x: f64, y: f64, unit: f64) -> Html {
    let (wide, step) = (n(unit * 1.7), unit * 0.55);
    let sheet = |place: i32| {
        let place = f64::from(place);
        format!(
            "M{} {}h{wide}",
            n(x + place * step * 0.6),
            n(y + place * step)
        )
    };
    let d: String = (-1..=1).map(sheet).collect();
    html! { <g class="repeat-mark"><title>{ repeats }</title><path {d} stroke-width={n(unit * 0.2)} /></g> }
}

fn chips(props: &NoteProps, unit: f64) -> Html {
    let height = unit * 2.0;
    let gap = unit * 0.3;
    let right = props.x + props.width - gap * 1.5;
    let place = |index: usize| {
        let (row, column) = (index / 2, index % 2);
        let x = right - column as f64 * (height * 1.5 + gap);
        (x, props.y + gap * 1.5 + row as f64 * (height + gap))
    };
    let draw = |(index, chip): (usize, &Chip)| {
        let (x, y) = place(index);
        html! { <>{ " " }{ draw_chip(chip, x, y, height) }</> }
    };
    let more = props.chips.len().saturating_sub(CHIPS);
    html! {
        <>
            { for props.chips.iter().take(CHIPS).enumerate().map(draw) }
            if more > 0 {
                { " " }
                <text class="chip-more" x={n(right)} y={n(props.y + props.height - unit * 0.6)} font-size={n(unit)} text-anchor="end">{ format!("+{more}") }</text>
            }
        </>
    }
}

/// Begins with what is written on the note, as it is written: whoever speaks to the page says that.
fn spoken(props: &NoteProps) -> String {
    let mut said = vec![props.name.to_string()];
    said.extend(props.serial.iter().map(AttrValue::to_string));
    let mut codes = props.chips.iter().map(|chip| chip.code.to_string());
    said.extend(codes.by_ref().take(CHIPS));
    let more: Vec<String> = codes.collect();
    if !more.is_empty() {
        said.push(format!("+{} {}", more.len(), more.join(" ")));
    }
    let mut text = said.join(" ");
    if props.defective {
        text.push_str(", defective");
    }
    if let Some(repeats) = &props.repeats {
        text.push_str(&format!(", repeating: {repeats}"));
    }
    text
}
