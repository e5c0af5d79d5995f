//! The operating characteristic: how often a lot is accepted, by the share of its bad items.

use yew::prelude::*;

/// Chances of acceptance, one for each share of bad items.
#[derive(Clone, PartialEq)]
pub struct OcCurve {
    /// What the drawing shows, for those who do not see it.
    pub label: String,
    /// Share of bad items and chance of acceptance, by rising share.
    pub points: Vec<(f64, f64)>,
    /// Points to mark and to name.
    pub marks: Vec<(f64, f64, String)>,
}

const WIDTH: f64 = 520.0;
const HEIGHT: f64 = 240.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 12.0;
const FOOT: f64 = 44.0;

impl OcCurve {
    fn most(&self) -> f64 {
        self.points.last().map_or(1.0, |(share, _)| *share)
    }

    fn x(&self, share: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * share / self.most()
    }

    fn y(&self, chance: f64) -> f64 {
        TOP + (HEIGHT - TOP - FOOT) * (1.0 - chance)
    }

    pub fn draw(&self) -> Html {
        let place =
            |(share, chance): &(f64, f64)| format!("{:.1},{:.1}", self.x(*share), self.y(*chance));
        let line: Vec<String> = self.points.iter().map(place).collect();
        html! {
            <svg class="oc-curve" viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img" aria-label={self.label.clone()}>
                { for [0.0, 0.5, 1.0].map(|chance| self.across(chance)) }
                { for [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| self.below(part)) }
                <text class="axis" x={format!("{:.1}", LEFT + (WIDTH - LEFT - RIGHT) / 2.0)} y={format!("{:.1}", HEIGHT - 8.0)} text-anchor="middle">{ "Bad among the passed sheets, per cent" }</text>
                <polyline class="curve" points={line.join(" ")} />
                { for self.marks.iter().map(|mark| self.mark(mark)) }
            </svg>
        }
    }

    fn across(&self, chance: f64) -> Html {
        let y = format!("{:.1}", self.y(chance));
        html! {
            <>
                <line class="grid" x1={format!("{LEFT}")} x2={format!("{:.1}", WIDTH - RIGHT)} y1={y.clone()} y2={y.clone()} />
                <text class="axis" x={format!("{:.1}", LEFT - 6.0)} y={y} text-anchor="end" dominant-baseline="middle">{ format!("{:.0} %", chance * 100.0) }</text>
            </>
        }
    }

    fn below(&self, part: f64) -> Html {
        let share = self.most() * part;
        html! {
            <text class="axis" x={format!("{:.1}", self.x(share))} y={format!("{:.1}", HEIGHT - FOOT + 16.0)} text-anchor="middle">{ format!("{:.1}", share * 100.0) }</text>
        }
    }

    fn mark(&self, (share, chance, name): &(f64, f64, String)) -> Html {
        let (x, y) = (self.x(*share), self.y(*chance));
        html! {
            <g>
                <circle class="mark" cx={format!("{x:.1}")} cy={format!("{y:.1}")} r="4.5" />
                <text class="mark-name" x={format!("{:.1}", x + 9.0)} y={format!("{:.1}", y - 6.0)}>{ name }</text>
            </g>
        }
    }
}
