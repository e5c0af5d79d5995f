//! A drawing on the page.

use yew::prelude::*;

use crate::export::picture::{Drawing, Fill, Shape, number};

/// The drawing as an image with its title. `point` hears the note of a mark that is pointed at or
/// focused, and an empty text when it is left; without it marks are only drawn, as on paper.
pub fn drawn(drawing: &Drawing, point: Option<&Callback<AttrValue>>) -> Html {
    let id = drawing.id.as_str();
    let view = format!("0 0 {} {}", number(drawing.width), number(drawing.height));
    let mut shapes = drawing.shapes.iter();
    let marked = point.is_some() && shapes.any(|shape| matches!(shape, Shape::Mark { .. }));
    // An image hides what is in it, so a drawing with marks to reach is a group.
    let role = if marked { "group" } else { "img" };
    html! {
        <svg class="chart" {role} aria-label={drawing.title.clone()} viewBox={view} data-drawing={id.to_owned()}>
            <defs>{ for drawing.hatches().into_iter().map(|fill| pattern(id, fill)) }</defs>
            { for drawing.shapes.iter().map(|shape| element(id, shape, point)) }
        </svg>
    }
}

fn pattern(id: &str, fill: Fill) -> Html {
    let name = fill.hatch().unwrap_or_default();
    let ground = match fill {
        Fill::Step(_) => format!("hatch-ground step-{name}"),
        _ => format!("hatch-ground {name}"),
    };
    html! {
        <pattern id={format!("{id}-{name}")} width="8" height="8" patternUnits="userSpaceOnUse">
            <rect width="8" height="8" class={ground} />
            <path d={fill.lines()} class="hatch-lines" />
        </pattern>
    }
}

fn element(id: &str, shape: &Shape, point: Option<&Callback<AttrValue>>) -> Html {
    match shape {
        Shape::Path { d, class } => html! { <path d={d.clone()} class={*class} /> },
        Shape::Bar {
            x,
            y,
            width,
            height,
            fill,
        } => {
            let hatch = fill.hatch().map(|name| format!("url(#{id}-{name})"));
            html! {
                <rect x={number(*x)} y={number(*y)} width={number(*width)} height={number(*height)} fill={hatch} class={fill.class()} />
            }
        }
        Shape::Text {
            x,
            y,
            text,
            anchor,
            class,
        } => html! {
            <text x={number(*x)} y={number(*y)} text-anchor={anchor.name()} class={*class}>{ text.clone() }</text>
        },
        Shape::Mark { x, y, sign, note } => {
            let Some(say) = point.cloned() else {
                return html! { <path d={sign.path(*x, *y)} class={sign.class()} /> };
            };
            let note: AttrValue = note.clone().into();
            let told = {
                let (say, note) = (say.clone(), note.clone());
                move || say.emit(note.clone())
            };
            let left = move || say.emit(AttrValue::default());
            let (over, out) = (told.clone(), left.clone());
            html! {
                <g class="sign" tabindex="0" role="img" aria-label={&note}
                    onfocus={move |_: FocusEvent| told()} onblur={move |_: FocusEvent| left()}
                    onmouseenter={move |_: MouseEvent| over()} onmouseleave={move |_: MouseEvent| out()}>
                    <circle cx={number(*x)} cy={number(*y)} r="12" class="sign-target" />
                    <path d={sign.path(*x, *y)} class={sign.class()} />
                </g>
            }
        }
    }
}
