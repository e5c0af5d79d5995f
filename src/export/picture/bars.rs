//! Causes and rates as bars.

use crate::export::{DayRecord, ExaminedRow, Of, TagRow};
use crate::sheet::grouped;

use super::{Anchor, Drawing, Fill, Shape, number, per_cent, scale_end, tick};

const WIDTH: f64 = 640.0;
const ROW: f64 = 22.0;
/// Where the bars of causes begin, and how long the longest is.
const NAMES: f64 = 170.0;
const ROOM: f64 = 340.0;

/// Causes as lying bars, the largest first, each with its count and the share of it and all above.
/// At most `most` are drawn; the title is about the first.
pub fn pareto(id: &str, rows: &[&TagRow], most: usize) -> Option<Drawing> {
    let first = rows.first()?;
    let whole: u64 = rows.iter().map(|row| row.tags).sum();
    let drawn = &rows[..rows.len().min(most)];
    let mut drawing = Drawing {
        id: id.to_owned(),
        width: WIDTH,
        height: ROW * drawn.len() as f64 + 18.0,
        title: format!(
            "{} makes {} of {} tags",
            named(first),
            per_cent(first.share_ppm),
            grouped(whole)
        ),
        shapes: Vec::new(),
    };
    drawing.text((WIDTH, 11.0), "with all above", Anchor::End, "chart-axis");
    for (place, row) in drawn.iter().enumerate() {
        cause(&mut drawing, row, place as f64 * ROW + 18.0, first.tags);
    }
    Some(drawing)
}

fn named(row: &TagRow) -> String {
    match row.class {
        Some(class) => format!("{class} {}", row.name),
        None => row.name.clone(),
    }
}

fn cause(drawing: &mut Drawing, row: &TagRow, y: f64, most: u64) {
    let base = y + 15.0;
    let name_at = match row.class {
        Some(class) => {
            drawing.text((0.0, base), class.to_string(), Anchor::Start, "chart-code");
            30.0
        }
        None => 0.0,
    };
    drawing.text((name_at, base), &row.name, Anchor::Start, "chart-name");
    let width = ROOM * row.tags as f64 / most as f64;
    drawing.shapes.push(Shape::Bar {
        x: NAMES,
        y: y + 3.0,
        width,
        height: 16.0,
        fill: Fill::Step(row.step),
    });
    let count = grouped(row.tags);
    drawing.text(
        (NAMES + width + 6.0, base),
        count,
        Anchor::Start,
        "chart-count",
    );
    let share = format!("{:.1} %", row.cumulative_ppm as f64 / 1e4);
    drawing.text((WIDTH, base), share, Anchor::End, "chart-share");
}

const TOP: f64 = 12.0;
const FLOOR: f64 = 150.0;
const LEFT: f64 = 56.0;

/// Spoilage of the day hour by hour, each with the interval it is known to. Nothing for a day of
/// less than two hours.
pub fn by_hour(record: &DayRecord) -> Option<Drawing> {
    let hours: Vec<(u8, &ExaminedRow)> = (record.examined.iter())
        .filter_map(|row| match row.of {
            Of::Hour(hour) => Some((hour, row)),
            _ => None,
        })
        .collect();
    let rate = |row: &ExaminedRow| row.spoilage.map_or(0, |rate| rate.ppm);
    let (worst, row) = hours
        .iter()
        .max_by_key(|(hour, row)| (rate(row), 24 - hour))?;
    if hours.len() < 2 {
        return None;
    }
    let title = match rate(row) {
        0 => "No note was spoiled in any hour".to_owned(),
        worst_rate => format!(
            "Spoilage was highest from {worst:02}:00, {} of {} notes",
            per_cent(worst_rate),
            grouped(row.notes)
        ),
    };
    let highest = hours.iter().filter_map(|(_, row)| row.spoilage);
    let highest = highest.map(|rate| rate.high_ppm).max().unwrap_or(0);
    let roof = scale_end(highest as f64 / 1e4);
    let mut drawing = Drawing {
        id: "hours".to_owned(),
        width: WIDTH,
        height: 172.0,
        title,
        shapes: Vec::new(),
    };
    scale(&mut drawing, roof);
    let pitch = (WIDTH - LEFT) / hours.len() as f64;
    for (place, (hour, row)) in hours.iter().enumerate() {
        let middle = LEFT + pitch * (place as f64 + 0.5);
        upright(&mut drawing, row, (middle, pitch), roof);
        let hour = format!("{hour:02} h");
        drawing.text((middle, 166.0), hour, Anchor::Middle, "chart-axis");
    }
    Some(drawing)
}

fn height(ppm: u64, roof: f64) -> f64 {
    FLOOR - (FLOOR - TOP) * (ppm as f64 / 1e4) / roof
}

fn scale(drawing: &mut Drawing, roof: f64) {
    for part in 0..=4 {
        let rate = roof * f64::from(part) / 4.0;
        let y = FLOOR - (FLOOR - TOP) * f64::from(part) / 4.0;
        drawing.shapes.push(Shape::Path {
            d: format!("M{} {}H{}", number(LEFT), number(y), number(WIDTH)),
            class: "chart-grid",
        });
        let label = format!("{} %", tick(rate));
        drawing.text((LEFT - 6.0, y + 4.0), label, Anchor::End, "chart-axis");
    }
}

fn upright(drawing: &mut Drawing, row: &ExaminedRow, (middle, pitch): (f64, f64), roof: f64) {
    let Some(rate) = row.spoilage else {
        return;
    };
    let half = (pitch * 0.3).min(22.0);
    let [top, low, high] = [rate.ppm, rate.low_ppm, rate.high_ppm].map(|ppm| height(ppm, roof));
    drawing.shapes.push(Shape::Bar {
        x: middle - half,
        y: top,
        width: half * 2.0,
        height: FLOOR - top,
        fill: Fill::Plain,
    });
    let (at, foot) = (number(middle), number(middle - 4.0));
    drawing.shapes.push(Shape::Path {
        d: format!(
            "M{at} {low}V{high}M{foot} {low}h8M{foot} {high}h8",
            low = number(low),
            high = number(high)
        ),
        class: "rate-whisker",
    });
}
