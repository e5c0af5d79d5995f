//! Rates side by side, each with the interval it is known to.

use yew::prelude::*;

/// One rate, all in the same unit.
#[derive(Clone, PartialEq)]
pub struct RateBar {
    pub label: AttrValue,
    pub rate: f64,
    pub low: f64,
    pub high: f64,
}

#[derive(Properties, PartialEq)]
pub struct RateProps {
    /// What the drawing shows, for those who do not see it.
    pub label: AttrValue,
    /// Written behind each figure of the scale.
    pub unit: AttrValue,
    pub bars: Vec<RateBar>,
}

const TOP: f64 = 12.0;
const FLOOR: f64 = 150.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 640.0;

/// Upright bars with whiskers from the low to the high end of their interval.
#[function_component]
pub fn RateChart(props: &RateProps) -> Html {
    let highest = props.bars.iter().map(|bar| bar.high).fold(0.0, f64::max);
    let roof = scale_end(highest);
    let y = |rate: f64| FLOOR - (FLOOR - TOP) * rate / roof;
    let pitch = (RIGHT - LEFT) / props.bars.len().max(1) as f64;
    let bar = |(index, bar): (usize, &RateBar)| {
        let middle = LEFT + pitch * (index as f64 + 0.5);
        let half = (pitch * 0.3).min(22.0);
        let (low, high) = (y(bar.low), y(bar.high));
        let whisker = format!(
            "M{middle:.1} {low:.1}V{high:.1}M{:.1} {low:.1}h8M{:.1} {high:.1}h8",
            middle - 4.0,
            middle - 4.0
        );
        html! {
            <g key={bar.label.to_string()}>
                <rect x={format!("{:.1}", middle - half)} y={format!("{:.1}", y(bar.rate))} width={format!("{:.1}", half * 2.0)}
                    height={format!("{:.1}", FLOOR - y(bar.rate))} class="rate-bar" />
                <path d={whisker} class="rate-whisker" />
                <text x={format!("{middle:.1}")} y="166" text-anchor="middle" class="chart-axis">{ &bar.label }</text>
            </g>
        }
    };
    let line = |part: u8| {
        let rate = roof * f64::from(part) / 4.0;
        html! {
            <g key={part.to_string()}>
                <path d={format!("M{LEFT} {:.1}H{RIGHT}", y(rate))} class="chart-grid" />
                <text x={(LEFT - 6.0).to_string()} y={format!("{:.1}", y(rate) + 4.0)} text-anchor="end" class="chart-axis">
                    { format!("{} {}", (rate * 1000.0).round() / 1000.0, props.unit) }
                </text>
            </g>
        }
    };
    html! {
        <svg class="chart" role="img" aria-label={&props.label} viewBox="0 0 640 172">
            { for (0..=4).map(line) }
            { for props.bars.iter().enumerate().map(bar) }
        </svg>
    }
}

/// The end of the scale: 1, 2, 4 or 8 times a power of ten, so that quarters are round.
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_ends_round_and_above_everything() {
        let ends = [0.0, 0.3, 1.0, 2.1, 7.9, 8.5, 30.0].map(scale_end);
        assert_eq!(ends, [1.0, 0.4, 1.0, 4.0, 8.0, 10.0, 40.0]);
    }
}
