//! A tag as a bold chip: its code, its step's colour, its hatch.

use yew::prelude::*;

use crate::inspect::{Severity, Source, Step};

/// What a chip shows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Chip {
    pub code: crate::inspect::ClassCode,
    pub step: Step,
    pub severity: Severity,
    pub source: Source,
    /// Tagged on the side that lies face down.
    pub other_side: bool,
}

/// Draws a chip in sheet units with its top right corner at (x, y).
pub fn draw_chip(chip: &Chip, x: f64, y: f64, height: f64) -> Html {
    let width = height * 1.5;
    let class = classes!(
        "chip",
        (chip.severity == Severity::Minor).then_some("minor"),
        (chip.source == Source::Machine).then_some("machine"),
        chip.other_side.then_some("other-side"),
    );
    let left = x - width;
    let stripe = height * 0.22;
    html! {
        <g {class}>
            <rect class="chip-body" x={n(left)} y={n(y)} width={n(width)} height={n(height)} rx={n(height * 0.14)} />
            <rect class={format!("chip-step step-{}", chip.step.slug())} x={n(left)} y={n(y)} width={n(stripe)} height={n(height)} rx={n(height * 0.1)} />
            <text class="chip-code" x={n(left + stripe + (width - stripe) / 2.0)} y={n(y + height * 0.71)} font-size={n(height * 0.62)} text-anchor="middle">
                { chip.code.to_string() }
            </text>
        </g>
    }
}

/// A number as an SVG attribute.
pub fn n(value: f64) -> String {
    format!("{value:.2}")
}
