//! Causes as bars, the largest first.

use yew::prelude::*;

use crate::inspect::Step;
use crate::ui::kit::count;

use super::hatch::{Hatches, hatch_of};

/// One cause.
#[derive(Clone, PartialEq)]
pub struct ParetoBar {
    pub code: AttrValue,
    pub name: AttrValue,
    pub step: Step,
    pub count: u64,
    /// With all bars before it, 0 to 1.
    pub cumulative: f64,
}

#[derive(Properties, PartialEq)]
pub struct ParetoProps {
    /// What the drawing shows, for those who do not see it.
    pub label: AttrValue,
    pub bars: Vec<ParetoBar>,
}

const ROW: usize = 22;
const LEFT: f64 = 170.0;
const ROOM: f64 = 340.0;

/// Horizontal bars, each with its code, name, count and cumulative share.
#[function_component]
pub fn ParetoChart(props: &ParetoProps) -> Html {
    let most = props.bars.iter().map(|bar| bar.count).max().unwrap_or(1);
    let height = ROW * props.bars.len() + 18;
    let row = |(index, bar): (usize, &ParetoBar)| {
        let y = index * ROW + 18;
        let width = ROOM * bar.count as f64 / most as f64;
        html! {
            <g key={bar.code.to_string()}>
                <text x="0" y={(y + 15).to_string()} class="chart-code">{ &bar.code }</text>
                <text x="30" y={(y + 15).to_string()} class="chart-name">{ &bar.name }</text>
                <rect x={LEFT.to_string()} y={(y + 3).to_string()} width={format!("{width:.1}")} height="16"
                    fill={hatch_of(bar.step)} class="chart-bar" />
                <text x={format!("{:.1}", LEFT + width + 6.0)} y={(y + 15).to_string()} class="chart-count">{ count(bar.count) }</text>
                <text x="640" y={(y + 15).to_string()} text-anchor="end" class="chart-share">{ format!("{:.1} %", bar.cumulative * 100.0) }</text>
            </g>
        }
    };
    html! {
        <svg class="chart" role="img" aria-label={&props.label} viewBox={format!("0 0 640 {height}")}>
            <Hatches />
            <text x="640" y="11" text-anchor="end" class="chart-axis">{ "with all above" }</text>
            { for props.bars.iter().enumerate().map(row) }
        </svg>
    }
}
