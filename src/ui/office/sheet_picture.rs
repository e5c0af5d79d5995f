//! The sheet to scale, as the layout lies, front or back.

use yew::prelude::*;

use crate::sheet::{Layout, Length, Position, Side};

#[derive(Properties, PartialEq)]
pub struct SheetPictureProps {
    /// The sheet, or why the fields give none that works.
    pub layout: Result<Layout, String>,
}

/// The picture with its front and back.
#[function_component]
pub fn SheetPicture(props: &SheetPictureProps) -> Html {
    let side = use_state(Side::default);
    let button = |one: Side, name: &'static str| {
        let side = side.clone();
        let pressed = (*side == one).to_string();
        let onclick = Callback::from(move |_: MouseEvent| side.set(one));
        html! { <button type="button" {onclick} aria-pressed={pressed} data-side={one.name()}>{ name }</button> }
    };
    html! {
        <figure class="sheet-picture">
            <div class="sides-up" role="group" aria-label="Side shown">
                { button(Side::Front, "Front") }{ button(Side::Back, "Back") }
            </div>
            { match &props.layout {
                Ok(layout) => html! { <>{ drawing(layout, *side) }<figcaption>{ caption(layout, *side) }</figcaption></> },
                Err(why) => html! { <p class="no-picture"><strong>{ "This sheet does not work. " }</strong>{ why }</p> },
            } }
        </figure>
    }
}

fn caption(layout: &Layout, side: Side) -> String {
    let spec = layout.spec();
    let notes = layout.notes();
    let right = rest(
        spec.sheet_width,
        spec.margin_x,
        spec.note_width,
        spec.gutter_x,
        spec.columns,
    );
    let bottom = rest(
        spec.sheet_height,
        spec.margin_y,
        spec.note_height,
        spec.gutter_y,
        spec.rows,
    );
    let seen = match side {
        Side::Front => String::new(),
        Side::Back => " Seen from the back, the same notes change places.".to_owned(),
    };
    format!(
        "{notes} notes of {} × {} on {} × {}, to scale. On the front {right} mm stay free at the right and {bottom} mm at the bottom. Small figures: numbering order.{seen}",
        spec.note_width.mm(),
        spec.note_height,
        spec.sheet_width.mm(),
        spec.sheet_height
    )
}

/// What the notes of a checked layout leave free beyond the last one, in mm.
fn rest(sheet: Length, margin: Length, note: Length, gutter: Length, count: u8) -> f64 {
    let count = u32::from(count);
    let used =
        margin.micrometres() + count * note.micrometres() + (count - 1) * gutter.micrometres();
    f64::from(sheet.micrometres() - used) / 1000.0
}

fn drawing(layout: &Layout, side: Side) -> Html {
    let (width, height) = layout.sheet_size();
    let spec = layout.spec();
    let text = (spec.note_height.mm() * 0.42).min(spec.note_width.mm() * 0.24);
    let view = format!("0 0 {} {}", width.mm(), height.mm());
    let label = format!(
        "The {} of the sheet: {} rows of {} notes",
        side.name(),
        layout.rows(),
        layout.columns()
    );
    html! {
        <svg viewBox={view} role="img" aria-label={label}>
            <rect class="paper" width={width.mm().to_string()} height={height.mm().to_string()} />
            { for layout.positions().map(|position| note(layout, side, position, text)) }
        </svg>
    }
}

fn note(layout: &Layout, side: Side, position: Position, text: f64) -> Html {
    let spec = layout.spec();
    let (x, y) = layout.origin(side, position);
    let (width, height) = (spec.note_width.mm(), spec.note_height.mm());
    let name = layout.name(position);
    let size = text.min(width * 1.4 / name.len() as f64);
    let rank = (layout.rank(position) + 1).to_string();
    let at = |share: f64, from: Length, size: f64| format!("{:.2}", from.mm() + size * share);
    html! {
        <g key={position.index()} data-note={name.to_owned()}>
            <rect class="place" x={x.mm().to_string()} y={y.mm().to_string()}
                width={width.to_string()} height={height.to_string()} />
            <text class="name" x={at(0.5, x, width)} y={at(0.5, y, height)} font-size={format!("{size:.2}")}>{ name }</text>
            <text class="rank" x={at(0.97, x, width)} y={at(0.93, y, height)} font-size={format!("{:.2}", text * 0.5)}>{ rank }</text>
        </g>
    }
}
