//! The hatch of each step.

use yew::prelude::*;

use crate::inspect::Step;

/// Lines of an 8 by 8 tile.
fn lines(step: Step) -> &'static str {
    match step {
        Step::Paper => "M0 8L8 0M-2 2L2 -2M6 10L10 6",
        Step::Offset => "M0 0L8 8M6 -2L10 2M-2 6L2 10",
        Step::Screen => "M0 4H8",
        Step::Foil => "M4 0V8",
        Step::Intaglio => "M0 4H8M4 0V8",
        Step::Numbering => "M0 8L8 0M0 0L8 8",
        Step::Handling => "M1 2H3M5 6H7",
    }
}

/// The fill of a step's bars, once [`Hatches`] stands in the same drawing.
pub fn hatch_of(step: Step) -> String {
    format!("url(#hatch-{})", step.slug())
}

/// The patterns that [`hatch_of`] names. Put once into a page's first drawing.
#[function_component]
pub fn Hatches() -> Html {
    let pattern = |step: Step| {
        html! {
            <pattern id={format!("hatch-{}", step.slug())} width="8" height="8" patternUnits="userSpaceOnUse">
                <rect width="8" height="8" class={format!("hatch-ground step-{}", step.slug())} />
                <path d={lines(step)} class="hatch-lines" />
            </pattern>
        }
    };
    html! { <defs>{ for Step::ALL.into_iter().map(pattern) }</defs> }
}
