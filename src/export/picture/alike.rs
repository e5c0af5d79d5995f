//! Groups side by side: the rates of classes, and what was measured within its tolerance.

use crate::book::{By, ClassesAlike, MeasuredGroup, QuantityAlike};
use crate::inspect::ClassCode;
use crate::quality::Probability;
use crate::quality::rates::ClassRates;

use super::{Anchor, Drawing, Fill, Shape, Sign, number, scale_end, tick};

const WIDTH: f64 = 640.0;
const ROW: f64 = 20.0;
/// Where the scale begins and ends.
const LEFT: f64 = 200.0;
/// Longest name that has room before the scale, in characters.
const NAME: usize = 28;
const RIGHT: f64 = 500.0;

/// What the classes of groups say, as a sentence without its full stop.
pub fn classes_headline(alike: &ClassesAlike) -> String {
    let (one, many) = (alike.by.name(), alike.by.plural());
    let groups = alike.groups.len();
    match (groups, alike.differ().as_slice()) {
        (0, _) => format!("No sheet says of which {one} it is"),
        (1, _) => format!("There is one {one} only, so there is nothing to compare it with"),
        (_, []) => {
            format!("No class differs between the {groups} {many} more than chance explains")
        }
        (_, [first, more @ ..]) => {
            let than = match groups {
                2 => "the other",
                _ => "the others together",
            };
            let side = if first.more { "more" } else { "less" };
            let mut text = format!(
                "{} {} has {side} {} than {than}: {} of sheets against {}",
                capital(one),
                first.group,
                alike.named(first.class),
                share(first.rate),
                share(first.others)
            );
            match more.len() {
                0 => {}
                1 => text += ", and one more difference",
                more => text += &format!(", and {more} more differences"),
            }
            text
        }
    }
}

fn capital(word: &str) -> String {
    let mut text = word.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

fn share(rate: f64) -> String {
    format!("{:.2} %", rate * 100.0)
}

/// What one class says.
fn class_headline(alike: &ClassesAlike, class: &ClassRates<ClassCode>) -> String {
    let differs = class
        .groups
        .iter()
        .any(|group| group.q <= Probability::ONE_IN_TWENTY);
    let word = if differs {
        "differ"
    } else {
        "do not clearly differ"
    };
    format!("{}: {} {word}", alike.named(class.class), alike.by.plural())
}

/// A name as far as it has room.
fn shortened(name: &str) -> String {
    match name.char_indices().nth(NAME) {
        Some((end, _)) => format!("{}…", &name[..end]),
        None => name.to_owned(),
    }
}

/// One class: a row for each group, with the rate and its interval. A group that differs from the
/// others has a filled diamond and says so.
pub fn class_rates(alike: &ClassesAlike, class: &ClassRates<ClassCode>) -> Drawing {
    let highs = class.groups.iter().map(|group| group.interval.high);
    let roof = scale_end(highs.fold(0.0, f64::max) * 100.0);
    let at = |rate: f64| LEFT + (RIGHT - LEFT) * (rate * 100.0 / roof).min(1.0);
    let floor = ROW * class.groups.len() as f64 + 4.0;
    let mut drawing = Drawing {
        id: format!("alike-{}", class.class),
        width: WIDTH,
        height: floor + 18.0,
        title: class_headline(alike, class),
        shapes: Vec::new(),
    };
    for part in 0..=4 {
        let value = roof * f64::from(part) / 4.0;
        upright(&mut drawing, at(value / 100.0), floor, "chart-grid");
        let label = format!("{} %", tick(value));
        drawing.text(
            (at(value / 100.0), floor + 14.0),
            label,
            Anchor::Middle,
            "chart-axis",
        );
    }
    for (place, (group, (name, _))) in class.groups.iter().zip(&alike.groups).enumerate() {
        let y = ROW * (place as f64 + 0.5) + 2.0;
        let rate = group.found as f64 / group.of as f64;
        drawing.text(
            (LEFT - 10.0, y + 4.0),
            shortened(name),
            Anchor::End,
            "chart-name",
        );
        let (low, high) = (at(group.interval.low), at(group.interval.high));
        whisker(&mut drawing, (low, high), y);
        let differs = group.q <= Probability::ONE_IN_TWENTY;
        match differs {
            true => drawing.shapes.push(Shape::Mark {
                x: at(rate),
                y,
                sign: Sign::Outside,
                note: format!("{name} differs from the others in {}", class.class),
            }),
            false => square(&mut drawing, at(rate), y),
        }
        let figure = format!("{}{}", share(rate), if differs { ", differs" } else { "" });
        drawing.text((WIDTH, y + 4.0), figure, Anchor::End, "chart-count");
    }
    drawing
}

fn upright(drawing: &mut Drawing, x: f64, floor: f64, class: &'static str) {
    drawing.shapes.push(Shape::Path {
        d: format!("M{} 2V{}", number(x), number(floor)),
        class,
    });
}

fn whisker(drawing: &mut Drawing, (low, high): (f64, f64), y: f64) {
    let (low, high, y, top) = (number(low), number(high), number(y), number(y - 4.0));
    drawing.shapes.push(Shape::Path {
        d: format!("M{low} {y}H{high}M{low} {top}v8M{high} {top}v8"),
        class: "rate-whisker",
    });
}

fn square(drawing: &mut Drawing, x: f64, y: f64) {
    drawing.shapes.push(Shape::Bar {
        x: x - 3.5,
        y: y - 3.5,
        width: 7.0,
        height: 7.0,
        fill: Fill::Plain,
    });
}

/// What was measured of groups, as a sentence without its full stop.
pub fn measured_headline(quantity: &QuantityAlike, by: By) -> String {
    let name = capital(quantity.quantity.name());
    let unit = quantity.quantity.unit();
    let compared: Vec<&MeasuredGroup> = quantity
        .groups
        .iter()
        .filter(|group| group.compared)
        .collect();
    let mean = |group: &&&MeasuredGroup| group.moments.mean;
    let ends = |of: fn(&&&MeasuredGroup) -> f64| {
        let by = |a: &&&MeasuredGroup, b: &&&MeasuredGroup| of(a).total_cmp(&of(b));
        Some((compared.iter().max_by(by)?, compared.iter().min_by(by)?))
    };
    let differ = |one: Option<crate::book::Tested>| one.is_some_and(|one| one.differ());
    let spread = |group: &&&MeasuredGroup| group.moments.spread.unwrap_or_default();
    if compared.len() < 2 {
        let many = by.plural();
        return format!("{name}: fewer than two {many} have five readings, so nothing is compared");
    }
    match (differ(quantity.means), differ(quantity.spreads)) {
        (true, also) => {
            let (most, least) = ends(mean).expect("two groups are compared");
            let also = if also {
                ", and so do their spreads"
            } else {
                ""
            };
            format!(
                "{name} differs between {}: {} has the greatest mean, {:.3} {unit}, {} the least, {:.3} {unit}{also}",
                by.plural(),
                most.name,
                most.moments.mean / 1000.0,
                least.name,
                least.moments.mean / 1000.0
            )
        }
        (false, true) => {
            let (most, least) = ends(spread).expect("two groups are compared");
            format!(
                "{name} spreads differently: {} most, by {:.3} {unit}, {} least, by {:.3} {unit}",
                most.name,
                spread(&most) / 1000.0,
                least.name,
                spread(&least) / 1000.0
            )
        }
        (false, false) if quantity.means.is_none() => {
            format!("{name}: the readings of a group do not vary, so nothing can be compared")
        }
        (false, false) => format!(
            "{name} is alike in the {} {} compared: neither mean nor spread differs more than chance explains",
            compared.len(),
            by.plural()
        ),
    }
}

/// The groups of one quantity over its tolerance: a thin line from the least to the greatest
/// reading, a bar a standard deviation either side of the mean.
pub fn tolerance_band(quantity: &QuantityAlike, by: By) -> Drawing {
    let scale = Scale::of(quantity);
    let floor = ROW * quantity.groups.len() as f64 + 22.0;
    let mut drawing = Drawing {
        id: format!("band-{}", quantity.quantity.slug()),
        width: WIDTH,
        height: floor + 18.0,
        title: measured_headline(quantity, by),
        shapes: Vec::new(),
    };
    limits(&mut drawing, quantity, &scale, floor);
    let unit = quantity.quantity.unit();
    for (x, value) in [(LEFT, scale.from), (RIGHT, scale.to)] {
        let label = format!("{:.3} {unit}", value / 1000.0);
        drawing.text((x, floor + 14.0), label, Anchor::Middle, "chart-axis");
    }
    for (place, group) in quantity.groups.iter().enumerate() {
        band_row(
            &mut drawing,
            group,
            &scale,
            ROW * (place as f64 + 0.5) + 20.0,
        );
    }
    drawing
}

/// From the least to the greatest that is drawn, in thousandths of the unit.
struct Scale {
    from: f64,
    to: f64,
}

impl Scale {
    fn of(quantity: &QuantityAlike) -> Self {
        let limits = quantity.tolerance.iter();
        let limits = limits
            .flat_map(|one| [Some(one.target), one.lower, one.upper])
            .flatten();
        let ends = quantity
            .groups
            .iter()
            .flat_map(|group| [group.least, group.greatest]);
        let all: Vec<f64> = limits.chain(ends).map(|one| f64::from(one.0)).collect();
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        // Never a scale without length.
        let room = ((greatest - least) * 0.06).max(1.0);
        Self {
            from: least - room,
            to: greatest + room,
        }
    }

    fn at(&self, value: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (value - self.from) / (self.to - self.from)
    }
}

fn limits(drawing: &mut Drawing, quantity: &QuantityAlike, scale: &Scale, floor: f64) {
    drawing.shapes.push(Shape::Path {
        d: format!("M{} {}H{}", number(LEFT), number(floor), number(RIGHT)),
        class: "chart-grid",
    });
    let Some(tolerance) = quantity.tolerance else {
        return;
    };
    let lines = [
        ("lower", tolerance.lower, "chart-limit"),
        ("target", Some(tolerance.target), "chart-centre"),
        ("upper", tolerance.upper, "chart-limit"),
    ];
    let mut taken: Option<f64> = None;
    for (word, limit, class) in lines {
        let Some(limit) = limit else { continue };
        let x = scale.at(f64::from(limit.0));
        drawing.shapes.push(Shape::Path {
            d: format!("M{} 16V{}", number(x), number(floor)),
            class,
        });
        // A word that would run into the one before is left to the table.
        if taken.is_none_or(|before| x - before > 88.0) {
            let label = format!("{word} {limit}");
            drawing.text((x, 11.0), label, Anchor::Middle, "chart-axis");
            taken = Some(x);
        }
    }
}

fn band_row(drawing: &mut Drawing, group: &MeasuredGroup, scale: &Scale, y: f64) {
    drawing.text(
        (LEFT - 10.0, y + 4.0),
        shortened(&group.name),
        Anchor::End,
        "chart-name",
    );
    let [least, greatest] = [group.least, group.greatest].map(|one| scale.at(f64::from(one.0)));
    let mean = scale.at(group.moments.mean);
    let spread = group.moments.spread.unwrap_or_default();
    let [low, high] = [-1.0, 1.0].map(|side| scale.at(group.moments.mean + side * spread));
    drawing.shapes.push(Shape::Bar {
        x: low,
        y: y - 6.0,
        width: (high - low).max(1.0),
        height: 12.0,
        fill: Fill::Plain,
    });
    let (base, top) = (number(y), number(y - 7.0));
    drawing.shapes.push(Shape::Path {
        d: format!(
            "M{} {base}H{}M{} {top}v14",
            number(least),
            number(greatest),
            number(mean)
        ),
        class: "rate-whisker",
    });
    let said = match (group.capability, group.outside) {
        (_, Some(outside)) if outside > 0 => format!("{outside} outside"),
        (Some(one), _) => format!("Cpk {:.2}", one.cpk.value),
        _ => format!("{} readings", group.moments.n),
    };
    drawing.text((WIDTH, y + 4.0), said, Anchor::End, "chart-count");
}
