//! Spoilage hour by hour.

use yew::prelude::*;

use crate::export::Of;
use crate::ui::chart::{RateBar, RateChart};
use crate::ui::kit::Panel;

use super::RecordProps;

#[function_component]
pub fn Hours(props: &RecordProps) -> Html {
    let bars: Vec<RateBar> = props
        .record
        .examined
        .iter()
        .filter_map(|row| {
            let (Of::Hour(hour), Some(rate)) = (row.of, row.spoilage) else {
                return None;
            };
            let per_cent = |ppm: u64| ppm as f64 / 10_000.0;
            Some(RateBar {
                label: format!("{hour:02} h").into(),
                rate: per_cent(rate.ppm),
                low: per_cent(rate.low_ppm),
                high: per_cent(rate.high_ppm),
            })
        })
        .collect();
    if bars.len() < 2 {
        return Html::default();
    }
    let in_words = |bar: &RateBar| format!("{} {:.2} %", bar.label, bar.rate);
    let label = format!(
        "Spoilage by the hour of examination: {}",
        bars.iter().map(in_words).collect::<Vec<_>>().join(", ")
    );
    html! {
        <Panel title="Spoilage by hour" class={classes!("wide")} lead="Notes spoiled of notes examined in each hour. The thin line spans the 95 % interval.">
            <RateChart {label} unit="%" {bars} />
        </Panel>
    }
}
