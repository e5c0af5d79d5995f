//! Pictures as plain shapes: drawn on the page by the screens, and written as SVG files. Each
//! reads in black on white, by hatch and figure, and has a title that states what it shows.

mod alike;
mod bars;
mod control;
mod map;
mod svg;

pub use alike::{class_rates, classes_headline, measured_headline, tolerance_band};
pub use bars::{by_hour, pareto};
pub use control::{control_chart, headline, sentences, telling};
pub use map::{PositionMap, draw_map, map_file, position_map, save_map};
pub use svg::svg_file;

use crate::inspect::Step;

/// A picture of shapes. Lengths are in units of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Names the drawing's hatches, so that two drawings on a page do not share them.
    pub id: String,
    pub width: f64,
    pub height: f64,
    /// What the picture shows, as a sentence.
    pub title: String,
    pub shapes: Vec<Shape>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// SVG path data.
    Path { d: String, class: &'static str },
    Bar {
        x: f64,
        y: f64,
        width: f64,
        height: f64,
        fill: Fill,
    },
    Text {
        x: f64,
        y: f64,
        text: String,
        anchor: Anchor,
        class: &'static str,
    },
    /// A sign that explains itself when it is pointed at or focused.
    Mark {
        x: f64,
        y: f64,
        sign: Sign,
        note: String,
    },
}

/// How a bar or a cell is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// The hatch of a step.
    Step(Step),
    /// A hatch that grows denser, 0 (empty) to 4.
    Level(u8),
    Plain,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    pub fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// Signs differ in form, not only in colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A point beyond a limit: a filled diamond.
    Outside,
    /// A point that completes a run: a ring.
    Run,
}

impl Sign {
    pub fn class(self) -> &'static str {
        match self {
            Self::Outside => "sign-outside",
            Self::Run => "sign-run",
        }
    }

    /// The outline around a place.
    pub fn path(self, x: f64, y: f64) -> String {
        match self {
            Self::Outside => format!("M{} {}l5 5l-5 5l-5 -5z", number(x), number(y - 5.0)),
            Self::Run => format!(
                "M{} {}a5 5 0 1 0 10 0a5 5 0 1 0 -10 0",
                number(x - 5.0),
                number(y)
            ),
        }
    }
}

impl Fill {
    /// The hatch's name within its drawing; a plain fill has none.
    pub fn hatch(self) -> Option<String> {
        match self {
            Self::Step(step) => Some(step.slug().to_owned()),
            Self::Level(0) | Self::Plain => None,
            Self::Level(level) => Some(format!("level-{level}")),
        }
    }

    /// The lines of the hatch on a tile of 8 by 8.
    pub fn lines(self) -> &'static str {
        match self {
            Self::Step(step) => lines_of(step),
            Self::Level(1) => "M-1 1L1 -1M7 9L9 7",
            Self::Level(2) => "M0 8L8 0M-2 2L2 -2M6 10L10 6",
            Self::Level(3) => "M0 8L8 0M-4 8L4 0M4 8L12 0",
            Self::Level(_) => "M0 8L8 0M-4 8L4 0M4 8L12 0M0 0L8 8M-4 0L4 8M4 0L12 8",
            Self::Plain => "",
        }
    }

    pub fn class(self) -> &'static str {
        match self {
            Self::Step(_) => "chart-bar",
            Self::Level(_) => "map-cell",
            Self::Plain => "rate-bar",
        }
    }
}

/// Lines of an 8 by 8 tile.
fn lines_of(step: Step) -> &'static str {
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

impl Drawing {
    /// Each hatch that the drawing uses, once.
    pub fn hatches(&self) -> Vec<Fill> {
        let mut used: Vec<Fill> = Vec::new();
        for shape in &self.shapes {
            if let Shape::Bar { fill, .. } = shape
                && fill.hatch().is_some()
                && !used.contains(fill)
            {
                used.push(*fill);
            }
        }
        used
    }

    fn text(
        &mut self,
        (x, y): (f64, f64),
        text: impl Into<String>,
        anchor: Anchor,
        class: &'static str,
    ) {
        let text = text.into();
        self.shapes.push(Shape::Text {
            x,
            y,
            text,
            anchor,
            class,
        });
    }
}

/// A length with at most one decimal, as SVG takes it.
pub fn number(length: f64) -> String {
    let text = format!("{length:.1}");
    match text.strip_suffix(".0") {
        Some("-0") => "0".to_owned(),
        Some(whole) => whole.to_owned(),
        None => text,
    }
}

/// The end of a scale: 1, 2, 4 or 8 times a power of ten, so that quarters are round.
fn scale_end(highest: f64) -> f64 {
    if highest <= 0.0 {
        return 1.0;
    }
    let power = 10_f64.powf(highest.log10().floor());
    let steps = [1.0, 2.0, 4.0, 8.0, 10.0].map(|step| step * power);
    steps
        .into_iter()
        .find(|end| *end >= highest)
        .unwrap_or(power * 10.0)
}

/// A figure of a scale, without digits that say nothing.
fn tick(value: f64) -> String {
    let rounded = (value * 1e6).round() / 1e6;
    format!("{rounded}")
}

/// Parts per million as per cent with two decimals.
fn per_cent(ppm: u64) -> String {
    format!("{:.2} %", ppm as f64 / 1e4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_ends_round_and_above_everything() {
        let ends = [0.0, 0.3, 1.0, 2.1, 7.9, 8.5, 30.0].map(scale_end);
        assert_eq!(ends, [1.0, 0.4, 1.0, 4.0, 8.0, 10.0, 40.0]);
    }

    #[test]
    fn lengths_are_short() {
        assert_eq!(
            [1.0, -0.04, 2.25, 10.5].map(number),
            ["1", "0", "2.2", "10.5"]
        );
        assert_eq!([0.1 + 0.2, 1.0, 0.0].map(tick), ["0.3", "1", "0"]);
    }

    #[test]
    fn every_hatch_differs_from_every_other() {
        let steps = Step::ALL.into_iter().map(Fill::Step);
        let steps: std::collections::BTreeSet<_> = steps.map(Fill::lines).collect();
        assert_eq!(steps.len(), Step::ALL.len());
        let levels: std::collections::BTreeSet<_> =
            (1..=4).map(|n| Fill::Level(n).lines()).collect();
        assert_eq!(levels.len(), 4);
    }
}
