//! What keeping and scrapping a sheet cost by its defective notes, where the sheet is spoiled, and
//! how many sheets have how many.

use yew::prelude::*;

use crate::inspect::Costs;
use crate::ui::kit::count;

#[derive(Properties, PartialEq)]
pub struct CurvesProps {
    /// What the drawing shows, for those who do not see it.
    pub label: AttrValue,
    /// Notes on a sheet.
    pub notes: u16,
    /// Nothing for a limit set by hand: only the line is drawn.
    pub costs: Option<Costs>,
    /// From how many defective notes a sheet is spoiled; nothing when it never pays.
    pub limit: Option<u16>,
    /// The n-th is how many sheets have n defective notes; drawn from 1 on.
    #[prop_or_default]
    pub sheets: Option<Vec<u64>>,
}

const WIDTH: f64 = 520.0;
const LEFT: f64 = 78.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 18.0;
/// Height of the curves, and of the bars below them.
const CURVES: f64 = 194.0;
const BARS: f64 = 110.0;
/// Room for the names of the axes.
const FOOT: f64 = 38.0;

/// Figures to places in one part of the drawing.
struct Scale {
    notes: f64,
    most: f64,
    top: f64,
    bottom: f64,
}

impl Scale {
    fn new(notes: u16, most: u64, top: f64, height: f64) -> Self {
        Self {
            notes: notes.into(),
            most: most as f64,
            top,
            bottom: top + height,
        }
    }

    fn x(&self, defective: u16) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * f64::from(defective) / self.notes
    }

    fn y(&self, figure: u64) -> f64 {
        let share = if self.most > 0.0 {
            figure as f64 / self.most
        } else {
            0.0
        };
        self.bottom - (self.bottom - self.top) * share
    }
}

/// The two curves, the bars of the sheets, or both over one scale of defective notes.
#[function_component]
pub fn Curves(props: &CurvesProps) -> Html {
    let notes = props.notes;
    let curves = props.costs.map(|costs| {
        let most = costs.salvage(notes).max(costs.scrapping(notes));
        (costs, Scale::new(notes, most, TOP, CURVES))
    });
    let below = curves
        .as_ref()
        .map_or(TOP, |(_, scale)| scale.bottom + FOOT + 8.0);
    let bars = props.sheets.as_ref().map(|sheets| {
        let most = sheets.iter().skip(1).copied().max().unwrap_or(0);
        (sheets, Scale::new(notes, most, below, BARS))
    });
    let last = bars.as_ref().map(|(_, scale)| scale.bottom);
    let floor = last
        .or(curves.as_ref().map(|(_, scale)| scale.bottom))
        .unwrap_or(TOP);
    // Bars are low where the limit stands: its words go above them.
    let words = if bars.is_some() {
        floor - BARS + 10.0
    } else {
        floor - 8.0
    };
    html! {
        <svg class="curves-drawing" viewBox={format!("0 0 {WIDTH} {}", floor + FOOT)} role="img" aria-label={&props.label}>
            if let Some((costs, scale)) = &curves { { draw_curves(costs, scale, notes) } }
            if let Some((sheets, scale)) = &bars { { draw_bars(sheets, scale, props.limit) } }
            if let Some(limit) = props.limit { { limit_line(limit, notes, floor, words) } }
        </svg>
    }
}

fn draw_curves(costs: &Costs, scale: &Scale, notes: u16) -> Html {
    let scrapping = costs.scrapping(notes);
    let (x0, x1) = (scale.x(0), scale.x(notes));
    let keep = [costs.salvage(0), costs.salvage(notes)].map(|cost| scale.y(cost));
    let scrap = scale.y(scrapping);
    // Each curve is named where the other is far: keeping on its way up, scrapping at the left.
    let middle = (scale.x(notes / 2), scale.y(costs.salvage(notes / 2)));
    html! {
        <>
            { axes(scale, "cost of the sheet") }
            <line class="scrapping" x1={n(x0)} y1={n(scrap)} x2={n(x1)} y2={n(scrap)} />
            <line class="keeping" x1={n(x0)} y1={n(keep[0])} x2={n(x1)} y2={n(keep[1])} />
            <text class="curve-name scrapping-name" x={n(x1)} y={n(scrap - 6.0)} text-anchor="end">{ format!("scrapping {}", count(scrapping)) }</text>
            <text class="curve-name keeping-name" x={n(middle.0 - 8.0)} y={n(middle.1 - 6.0)} text-anchor="end">{ "keeping" }</text>
        </>
    }
}

/// Bars of sheets that would be kept, and hatched ones of sheets spoiled by their count.
fn draw_bars(sheets: &[u64], scale: &Scale, limit: Option<u16>) -> Html {
    let half = ((scale.x(1) - scale.x(0)) * 0.4).min(11.0);
    let bar = |(defective, sheets): (u16, &u64)| {
        let spoiled = limit.is_some_and(|limit| defective >= limit);
        let top = scale.y(*sheets);
        html! {
            <rect key={defective} class={if spoiled { "bar-spoiled" } else { "bar-mixed" }} x={n(scale.x(defective) - half)} y={n(top)}
                width={n(2.0 * half)} height={n(scale.bottom - top)} />
        }
    };
    let with_some = (0..).zip(sheets).skip(1).filter(|(_, sheets)| **sheets > 0);
    html! { <>{ axes(scale, "sheets") }{ for with_some.map(bar) }</> }
}

fn axes(scale: &Scale, name: &'static str) -> Html {
    let notes = scale.notes as u16;
    let step = (notes / 8).max(1);
    let step = [1, 2, 5, 10, 20, 50]
        .into_iter()
        .find(|s| *s >= step)
        .unwrap_or(100);
    let bottom = scale.bottom;
    let tick = |defective: u16| {
        let x = n(scale.x(defective));
        html! {
            <g key={defective}>
                <line class="axis" x1={x.clone()} x2={x.clone()} y1={n(bottom)} y2={n(bottom + 4.0)} />
                <text class="axis-text" {x} y={n(bottom + 17.0)} text-anchor="middle">{ defective.to_string() }</text>
            </g>
        }
    };
    let left = n(LEFT - 8.0);
    html! {
        <g aria-hidden="true">
            <path class="axis" d={format!("M{} {}V{}H{}", n(LEFT), n(scale.top), n(bottom), n(WIDTH - RIGHT))} />
            { for (0..=notes).step_by(step.into()).map(tick) }
            <text class="axis-text" x={left.clone()} y={n(bottom)} text-anchor="end">{ "0" }</text>
            <text class="axis-text" x={left} y={n(scale.top + 8.0)} text-anchor="end">{ count(scale.most as u64) }</text>
            <text class="axis-text" x={n(WIDTH - RIGHT)} y={n(bottom + 34.0)} text-anchor="end">{ "defective notes on the sheet" }</text>
            <text class="axis-text" x="4" y={n(scale.top - 6.0)}>{ name }</text>
        </g>
    }
}

/// Where a sheet is spoiled, through all parts of the drawing.
fn limit_line(limit: u16, notes: u16, floor: f64, words: f64) -> Html {
    let x = Scale::new(notes, 0, TOP, CURVES).x(limit);
    // The words stand on the side that has room for them.
    let (at, anchor) = match limit > notes / 2 {
        true => (x - 6.0, "end"),
        false => (x + 6.0, "start"),
    };
    html! {
        <g>
            <line class="limit" x1={n(x)} x2={n(x)} y1={n(TOP)} y2={n(floor)} />
            <text class="limit-text" x={n(at)} y={n(words)} text-anchor={anchor}>{ format!("spoiled at {limit}") }</text>
        </g>
    }
}

fn n(number: f64) -> String {
    format!("{number:.1}")
}
