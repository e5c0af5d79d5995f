//! Pareto of the classes: the few that make most of the tags.

use yew::prelude::*;

use crate::book::Lot;
use crate::inspect::ClassCode;
use crate::quality::pareto::{Bar, pareto};
use crate::sheet::LotId;
use crate::ui::Shop;
use crate::ui::kit::{Empty, count, percent};

/// Width of the longest bar, in units of its drawing.
const FULL: f64 = 200.0;

pub fn classes(shop: &Shop, lot: LotId) -> Html {
    let state = shop.state();
    let Some(lot) = state.lots.get(&lot) else {
        return Html::default();
    };
    let bars = pareto(tags_by_class(lot));
    let Some(longest) = bars.first().map(|bar| bar.share) else {
        return html! { <Empty text="No sheet of this lot has a tag yet. Examine some on the Bench." /> };
    };
    html! {
        <div class="table-frame">
            <table class="data pareto">
                <caption>{ "Tags on examined sheets by class, most frequent first. A sheet may have several." }</caption>
                <thead><tr>
                    <th scope="col">{ "Class" }</th>
                    <th scope="col">{ "Step" }</th>
                    <th scope="col" class="num">{ "Tags" }</th>
                    <th scope="col" class="num">{ "Share" }</th>
                    <th scope="col" class="num">{ "Added up" }</th>
                    <th scope="col"><span class="sr-only">{ "Bar" }</span></th>
                </tr></thead>
                <tbody>{ for bars.iter().map(|bar| row(lot, bar, longest)) }</tbody>
            </table>
        </div>
    }
}

fn tags_by_class(lot: &Lot) -> impl Iterator<Item = (ClassCode, u64)> {
    let exams = lot.sheets.iter().filter_map(|sheet| sheet.exam.as_deref());
    exams.flat_map(|exam| &exam.tags).map(|tag| (tag.class, 1))
}

fn row(lot: &Lot, bar: &Bar<ClassCode>, longest: f64) -> Html {
    let class = lot.catalogue.get(bar.key);
    let step = class.map_or("", |class| class.step.name());
    let slug = class.map_or("", |class| class.step.slug());
    let width = format!("{:.1}", FULL * bar.share / longest);
    html! {
        <tr key={bar.key.to_string()} data-row={bar.key.to_string()}>
            <th scope="row"><b class="mono">{ bar.key.to_string() }</b>{ format!(" {}", class.map_or("", |class| &class.name)) }</th>
            <td>{ step }</td>
            <td class="num">{ count(bar.count) }</td>
            <td class="num">{ percent(Some(bar.share)) }</td>
            <td class="num">{ percent(Some(bar.cumulative)) }</td>
            <td class="bar-cell">
                <svg viewBox={format!("0 0 {FULL} 12")} aria-hidden="true" preserveAspectRatio="none">
                    <rect class={format!("pareto-bar step-{slug}")} x="0" y="0" {width} height="12" />
                </svg>
            </td>
        </tr>
    }
}
