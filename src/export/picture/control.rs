//! Control charts: values, limits that step with the size of each stack, and signs where a point
//! leaves them or completes a run.

use std::cmp::Reverse;
use std::ops::Range;

use crate::export::{ChartOfLot, ChartPoint, Plotted};
use crate::sheet::{grouped, number_of};

use super::{Anchor, Drawing, Shape, Sign, number, per_cent, scale_end, tick};

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 216.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 628.0;
const TOP: f64 = 26.0;
const FLOOR: f64 = 178.0;

/// Points closer together than this are drawn as one stroke from the least to the greatest of them,
/// and signs closer than half their width as the first of them.
const STROKE: f64 = 0.5;
const SIGN: f64 = 5.0;

/// The points of `window`, or as many of them as there are. However many they are, the values are
/// one path and each limit is one; only points with something to say get a sign of their own, and
/// what would be drawn on top of itself is left out.
pub fn control_chart(chart: &ChartOfLot, window: Range<usize>) -> Drawing {
    let end = window.end.min(chart.points.len());
    let start = window.start.min(end);
    let seen = &chart.points[start..end];
    let highest = |point: &ChartPoint| point.upper_ppm.max(point.value_ppm);
    let roof = chart.points.iter().map(highest).max().unwrap_or(0);
    let place = Place {
        roof: scale_end(shown(chart.plotted, roof)),
        pitch: (RIGHT - LEFT) / seen.len().max(1) as f64,
        plotted: chart.plotted,
    };
    let mut drawing = Drawing {
        id: format!("chart-{}-{}", chart.plotted.name(), chart.lot),
        width: WIDTH,
        height: HEIGHT,
        title: headline(chart),
        shapes: Vec::new(),
    };
    scale(&mut drawing, &place);
    lines(&mut drawing, chart, seen, &place);
    feet(&mut drawing, seen, &place);
    signs(&mut drawing, chart, seen, &place);
    drawing
}

fn signs(drawing: &mut Drawing, chart: &ChartOfLot, seen: &[ChartPoint], place: &Place) {
    let mut last = [(Sign::Outside, f64::MIN), (Sign::Run, f64::MIN)];
    for (number, point) in seen.iter().enumerate() {
        let Some(sign) = sign_of(point) else {
            continue;
        };
        let (x, y) = (place.x(number), place.y(point.value_ppm));
        let before = last.iter_mut().find(|(known, _)| *known == sign);
        if let Some((_, at)) = before
            && x - *at >= SIGN
        {
            *at = x;
            let note = sentence(chart, point);
            drawing.shapes.push(Shape::Mark { x, y, sign, note });
        }
    }
}

/// Where points lie in the drawing.
struct Place {
    roof: f64,
    pitch: f64,
    plotted: Plotted,
}

impl Place {
    /// The middle of the n-th point seen.
    fn x(&self, number: usize) -> f64 {
        LEFT + self.pitch * (number as f64 + 0.5)
    }

    /// How many points share a stroke; one, unless they are very many.
    fn in_a_stroke(&self) -> usize {
        (STROKE / self.pitch).ceil().max(1.0) as usize
    }

    fn y(&self, ppm: u64) -> f64 {
        FLOOR - (FLOOR - TOP) * shown(self.plotted, ppm) / self.roof
    }
}

/// The figure on the scale: per cent of notes, or tags a sheet.
fn shown(plotted: Plotted, ppm: u64) -> f64 {
    match plotted {
        Plotted::P => ppm as f64 / 1e4,
        Plotted::U => ppm as f64 / 1e6,
    }
}

fn figure(plotted: Plotted, ppm: u64) -> String {
    match plotted {
        Plotted::P => per_cent(ppm),
        Plotted::U => format!("{:.3}", ppm as f64 / 1e6),
    }
}

fn scale(drawing: &mut Drawing, place: &Place) {
    for part in 0..=4 {
        let y = FLOOR - (FLOOR - TOP) * f64::from(part) / 4.0;
        drawing.shapes.push(Shape::Path {
            d: format!("M{} {}H{}", number(LEFT), number(y), number(RIGHT)),
            class: "chart-grid",
        });
        let value = tick(place.roof * f64::from(part) / 4.0);
        let value = match place.plotted {
            Plotted::P => format!("{value} %"),
            Plotted::U => value,
        };
        drawing.text((LEFT - 6.0, y + 4.0), value, Anchor::End, "chart-axis");
    }
    let axis = match place.plotted {
        Plotted::P => "defective notes of notes examined",
        Plotted::U => "tags a sheet",
    };
    drawing.text((LEFT, 14.0), axis, Anchor::Start, "chart-axis");
}

fn lines(drawing: &mut Drawing, chart: &ChartOfLot, seen: &[ChartPoint], place: &Place) {
    let stepped = |of: fn(&ChartPoint) -> u64| {
        let mut d = String::new();
        // One step for all that would share a stroke.
        for index in (0..seen.len()).step_by(place.in_a_stroke()) {
            let y = number(place.y(of(&seen[index])));
            d += &match index {
                0 => format!("M{} {y}", number(LEFT)),
                _ => format!("V{y}"),
            };
            let end = (index + place.in_a_stroke()).min(seen.len());
            d += &format!("H{}", number(LEFT + place.pitch * end as f64));
        }
        d
    };
    let mut values = String::new();
    for (index, stroke) in seen.chunks(place.in_a_stroke()).enumerate() {
        let x = number(place.x(index * place.in_a_stroke()));
        let ends = stroke.iter().map(|point| point.value_ppm);
        let (least, greatest) = (ends.clone().min(), ends.max());
        let ends = [least, greatest.filter(|_| stroke.len() > 1)];
        for value in ends.into_iter().flatten() {
            let join = if values.is_empty() { "M" } else { "L" };
            values += &format!("{join}{x} {}", number(place.y(value)));
        }
    }
    let centre = number(place.y(chart.centre_ppm));
    let centre = format!("M{} {centre}H{}", number(LEFT), number(RIGHT));
    let paths = [
        (stepped(|point| point.upper_ppm), "chart-limit"),
        (stepped(|point| point.lower_ppm), "chart-limit"),
        (centre, "chart-centre"),
        (values, "chart-line"),
    ];
    for (d, class) in paths {
        drawing.shapes.push(Shape::Path { d, class });
    }
}

/// Sheet numbers under some of the points.
fn feet(drawing: &mut Drawing, seen: &[ChartPoint], place: &Place) {
    let every = seen.len().div_ceil(8).max(1);
    for (index, point) in seen.iter().enumerate().step_by(every) {
        let sheet = grouped(point.from.number().into());
        drawing.text(
            (place.x(index), FLOOR + 16.0),
            sheet,
            Anchor::Middle,
            "chart-axis",
        );
    }
    let axis = "first sheet of the stack";
    drawing.text((RIGHT, FLOOR + 32.0), axis, Anchor::End, "chart-axis");
}

fn sign_of(point: &ChartPoint) -> Option<Sign> {
    match (point.outside, point.signals.is_empty()) {
        (true, _) => Some(Sign::Outside),
        (false, false) => Some(Sign::Run),
        (false, true) => None,
    }
}

/// What a point says: its sheets, its value, its limits and the rules that it completes.
fn sentence(chart: &ChartOfLot, point: &ChartPoint) -> String {
    let figure = |ppm| figure(chart.plotted, ppm);
    let what = match chart.plotted {
        Plotted::P => format!("{} of {} notes", grouped(point.found), grouped(point.size)),
        Plotted::U => format!(
            "{} on {}",
            number_of(point.found, "tag", "tags"),
            number_of(point.size, "sheet", "sheets")
        ),
    };
    let mut text = format!(
        "Sheets {} to {}: {what}, {}; limits {} and {}.",
        grouped(point.from.number().into()),
        grouped(point.to.number().into()),
        figure(point.value_ppm),
        figure(point.lower_ppm),
        figure(point.upper_ppm)
    );
    for heard in &point.signals {
        text += &format!(" {}: {}", heard.rule, heard.sentence);
    }
    text
}

/// Every point that has something to say.
pub fn telling(chart: &ChartOfLot) -> impl Iterator<Item = &ChartPoint> {
    let telling = |point: &&ChartPoint| point.outside || !point.signals.is_empty();
    chart.points.iter().filter(telling)
}

/// The same in words, the worst first: what lies furthest above its limit, then what completes a
/// run, then what lies below.
pub fn sentences(chart: &ChartOfLot) -> impl Iterator<Item = String> + '_ {
    let mut points: Vec<_> = telling(chart).collect();
    points.sort_by_key(|point| match side(chart, point) {
        Some(Side::Above) => (0, Reverse(over(chart, point))),
        None => (1, Reverse(0)),
        Some(Side::Below) => (2, Reverse(over(chart, point))),
    });
    points.into_iter().map(|point| sentence(chart, point))
}

#[derive(PartialEq)]
enum Side {
    Above,
    Below,
}

/// On which side of its limits a point lies.
fn side(chart: &ChartOfLot, point: &ChartPoint) -> Option<Side> {
    let above = point.value_ppm > chart.centre_ppm;
    let side = if above { Side::Above } else { Side::Below };
    point.outside.then_some(side)
}

/// How far a point lies from the middle, in millionths of the way to its limit on that side:
/// stacks differ in size, and so do their limits.
fn over(chart: &ChartOfLot, point: &ChartPoint) -> u64 {
    let limit = if point.value_ppm > chart.centre_ppm {
        point.upper_ppm
    } else {
        point.lower_ppm
    };
    let way = limit.abs_diff(chart.centre_ppm).max(1);
    point.value_ppm.abs_diff(chart.centre_ppm) * 1_000_000 / way
}

/// What the chart shows, as a sentence.
pub fn headline(chart: &ChartOfLot) -> String {
    let what = match chart.plotted {
        Plotted::P => "defective notes",
        Plotted::U => "tags a sheet",
    };
    let beyond = |way: Side| {
        let points = chart.points.iter();
        points
            .filter(|point| side(chart, point).as_ref() == Some(&way))
            .count() as u64
    };
    let (above, below) = (beyond(Side::Above), beyond(Side::Below));
    let runs = chart
        .points
        .iter()
        .filter(|point| !point.signals.is_empty());
    let stacks = number_of(chart.points.len() as u64, "stack", "stacks");
    match (above, below, runs.count()) {
        (0, 0, 0) => format!(
            "{}: {what} of {stacks} vary no more than chance allows",
            chart.lot
        ),
        (0, 0, runs) => format!(
            "{}: {what} of {stacks} stay within the limits, but {} complete a run",
            chart.lot,
            grouped(runs as u64)
        ),
        (above, 0, _) => format!(
            "{}: {what} above the limit in {} of {stacks}",
            chart.lot,
            grouped(above)
        ),
        (0, below, _) => format!(
            "{}: {what} below the limit in {} of {stacks}",
            chart.lot,
            grouped(below)
        ),
        (above, below, _) => format!(
            "{}: {what} above the limit in {}, below it in {}, of {stacks}",
            chart.lot,
            grouped(above),
            grouped(below)
        ),
    }
}
