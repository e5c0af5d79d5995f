//! A weighing against its count: the band in which the reading is expected with the reading on
//! it, and the budget of its uncertainty. Both read in black.

use yew::prelude::*;

use crate::custody::{Budget, Expected, Mass, Row, WeighVerdict};

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 104.0;
/// Upper edge and height of the band.
const TOP: f64 = 38.0;
const TALL: f64 = 30.0;
/// Clear at both ends, so that labels find room.
const MARGIN: f64 = 24.0;
const HATCH: f64 = 9.0;

/// What a count should weigh and, once it is weighed, what the reading says of it.
pub fn weigh_check(expected: &Expected, net: Option<Mass>) -> Html {
    let known = expected.budget.as_ref().ok();
    html! {
        <>
            { verdict(expected, net) }
            if let Some(budget) = known { { table(budget) } }
        </>
    }
}

fn verdict(expected: &Expected, net: Option<Mass>) -> Html {
    html! {
        <div class="weigh-check" data-verdict={net.map(|net| expected.judge(net).name())}>
            if let Some(net) = net { { says(expected, net) } }
            { match &expected.budget {
                Ok(_) => html! { <>{ band(expected, net) }{ fewest(expected) }</> },
                Err(why) if net.is_none() => html! { <p class="hint">{ format!("How far the reading may lie from that is not known: {why}.") }</p> },
                Err(_) => Html::default(),
            } }
        </div>
    }
}

fn says(expected: &Expected, net: Mass) -> Html {
    let mark = match expected.judge(net) {
        WeighVerdict::Agrees => "good",
        WeighVerdict::Differs => "spoiled",
        WeighVerdict::CannotTell => "open",
    };
    let verdict = expected.judge(net).name();
    let says = expected.says(net);
    let why = says
        .strip_prefix(verdict)
        .unwrap_or(&says)
        .trim_start_matches(": ");
    html! { <p class="weigh-says" role="status"><b class={classes!("mark", mark)}>{ verdict }</b><span>{ sentence(why) }</span></p> }
}

/// The same where room is scarce: the budget folded away.
pub fn weigh_check_folded(expected: &Expected, net: Option<Mass>) -> Html {
    let known = expected.budget.as_ref().ok();
    html! {
        <>
            { verdict(expected, net) }
            if let Some(budget) = known {
                <details class="budget-fold"><summary>{ "Uncertainty budget" }</summary>{ table(budget) }</details>
            }
        </>
    }
}

/// With a capital at its start.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn fewest(expected: &Expected) -> Html {
    let says = match expected.fewest() {
        Some(fewest) => format!("The fewest missing that this weighing could show: {fewest}."),
        None => "However many were missing, this weighing could not show it.".to_owned(),
    };
    html! { <p data-fewest="">{ says }</p> }
}

/// Masses to places: the expected mass in the middle, band and reading inside.
struct Axis {
    middle: f64,
    half: f64,
}

impl Axis {
    fn x(&self, mass: f64) -> f64 {
        let share = (mass - self.middle) / self.half;
        WIDTH / 2.0 + share * (WIDTH / 2.0 - MARGIN)
    }
}

fn band(expected: &Expected, net: Option<Mass>) -> Html {
    let mg = |mass: Mass| mass.milligrams() as f64;
    let (middle, wide) = (mg(expected.mass), expected.expanded().map_or(0.0, mg));
    let off = net.map_or(0.0, |net| (mg(net) - middle).abs());
    let half = (wide * 1.8).max(off * 1.1).max(1.0);
    let axis = Axis { middle, half };
    let (left, right) = (axis.x(middle - wide), axis.x(middle + wide));
    let within = expected.expanded().unwrap_or_default();
    let text = format!("expected {} ± {within}", expected.mass);
    let label = match net {
        Some(net) => format!("{text}, reading {net}: {}", expected.judge(net).name()),
        None => text.clone(),
    };
    let (foot, line) = (TOP + TALL, HEIGHT - 6.0);
    html! {
        <svg class="weigh-band" viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img" aria-label={label}>
            <path class="axis" d={format!("M{MARGIN} {foot}H{}", WIDTH - MARGIN)} />
            <rect class="band" x={left.to_string()} y={TOP.to_string()} width={(right - left).max(1.0).to_string()} height={TALL.to_string()} />
            <path class="hatch" d={hatch(left, right)} />
            <path class="middle" d={format!("M{0} {TOP}V{1}", WIDTH / 2.0, foot + 8.0)} />
            <text x={(WIDTH / 2.0).to_string()} y={(line - 2.0).to_string()} text-anchor="middle">{ text }</text>
            if let Some(net) = net { { pin(axis.x(mg(net)), net) } }
        </svg>
    }
}

/// Strokes rising to the right, cut at the ends of the band.
fn hatch(left: f64, right: f64) -> String {
    let mut path = String::new();
    let mut from = left - TALL;
    while from < right {
        let (start, end) = (from.max(left), (from + TALL).min(right));
        if end > start {
            let y = |x: f64| TOP + TALL - (x - from);
            path.push_str(&format!(
                "M{start:.1} {:.1}L{end:.1} {:.1}",
                y(start),
                y(end)
            ));
        }
        from += HATCH;
    }
    path
}

/// The reading: a solid pin from above, through the band.
fn pin(x: f64, net: Mass) -> Html {
    let anchor = match x {
        x if x < WIDTH * 0.2 => "start",
        x if x > WIDTH * 0.8 => "end",
        _ => "middle",
    };
    let top = TOP - 12.0;
    let shape = format!(
        "M{} {top}h14L{x:.1} {}zM{x:.1} {top}V{}",
        x - 7.0,
        TOP - 2.0,
        TOP + TALL
    );
    html! {
        <>
            <path class="pin" d={shape} />
            <text class="reading" x={format!("{x:.1}")} y={(top - 6.0).to_string()} text-anchor={anchor}>{ format!("reading {net}") }</text>
        </>
    }
}

fn table(budget: &Budget) -> Html {
    html! {
        <div class="table-frame">
            <table class="data budget">
                <caption>{ "Uncertainty of the difference (JCGM 100)" }</caption>
                <thead><tr>
                    <th scope="col">{ "Source" }</th><th scope="col" class="num">{ "Value" }</th>
                    <th scope="col">{ "Distribution" }</th><th scope="col" class="num">{ "Divisor" }</th>
                    <th scope="col" class="num">{ "Sensitivity" }</th><th scope="col" class="num">{ "Contribution" }</th>
                </tr></thead>
                <tbody>{ for budget.rows.iter().map(row) }</tbody>
                <tfoot>
                    { sum("Combined standard uncertainty", budget.combined) }
                    { sum("Expanded, coverage 2", budget.expanded()) }
                </tfoot>
            </table>
        </div>
    }
}

/// A cell for each column, so that a narrow screen can leave the same ones away in every row.
fn sum(name: &'static str, milligrams: f64) -> Html {
    html! { <tr><th scope="row">{ name }</th><td /><td /><td /><td /><td class="num">{ grams(milligrams) }</td></tr> }
}

fn row(row: &Row) -> Html {
    let paper = row.source.is_paper();
    let value = row.value / 1000.0;
    html! {
        <tr>
            <th scope="row">{ row.source.to_string() }</th>
            <td class="num">{ if paper { format!("{value} g/m²") } else { format!("{value} g") } }</td>
            <td>{ row.distribution.name() }</td>
            <td class="num">{ if row.distribution.divisor() > 1.0 { "√3" } else { "1" } }</td>
            <td class="num">{ if paper { format!("{:.3} m²", row.sensitivity) } else { "1".to_owned() } }</td>
            <td class="num">{ grams(row.contribution()) }</td>
        </tr>
    }
}

fn grams(milligrams: f64) -> String {
    format!("{:.2} g", milligrams / 1000.0)
}
