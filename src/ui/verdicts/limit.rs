//! The limit of the lot's own rules, and what another one would do.

use yew::prelude::*;

use crate::book::{DefectCounts, Lot};
use crate::desk::forms::rules::crossing_says;
use crate::inspect::{Costs, Limit};
use crate::sheet::LotId;
use crate::ui::Shop;
use crate::ui::chart::Curves;
use crate::ui::kit::{Empty, Panel, count};

/// How far from the limit the table looks, each way.
const AROUND: u16 = 4;

pub fn limit_view(shop: &Shop, lot: LotId) -> Html {
    let state = shop.state();
    let Some(lot) = state.lots.get(&lot) else {
        return Html::default();
    };
    if lot.tally.examined() == 0 {
        return html! { <Empty text="No sheet of this lot is examined yet, so there is nothing to count." /> };
    }
    let (notes, counts) = (lot.notes(), DefectCounts::of(lot));
    let limit = lot.rules.spoiled_at(notes);
    let (costs, says) = match lot.rules.limit {
        Limit::ByCost(costs) => (Some(costs), crossing_says(&costs, notes)),
        Limit::SpoiledAt(_) => (
            None,
            format!("The limit is set by hand: a sheet is spoiled from {limit} defective notes"),
        ),
    };
    html! {
        <div class="limit-view columns">
            <Panel title="Limit of this lot" lead="The lot keeps the rules it was opened under.">
                <figure class="curves">
                    <figcaption><strong>{ says.clone() }</strong>{ "." }
                        if costs.is_none() { { " The rules of this lot name no costs, so there are no curves to compare." } }
                    </figcaption>
                    <Curves label={says} {notes} {costs} limit={limit} sheets={counts.sheets.clone()} />
                </figure>
                <p>{ beside(lot, &counts) }</p>
            </Panel>
            <Panel title="What another limit would do" lead="By the tags of the sheets examined, whatever was overruled.">
                { table(&counts, limit, notes, costs) }
            </Panel>
        </div>
    }
}

/// The sheets that the bars leave out.
fn beside(lot: &Lot, counts: &DefectCounts) -> String {
    let clean = counts.sheets[0];
    let whole = match counts.whole_sheet {
        0 => String::new(),
        1 => " One more is spoiled by a whole-sheet class, whatever the limit.".to_owned(),
        sheets => format!(
            " {} more are spoiled by a whole-sheet class, whatever the limit.",
            count(sheets)
        ),
    };
    format!(
        "Bars count sheets with at least one defective note. {} of {} sheets examined have none.{whole}",
        count(clean),
        count(lot.tally.examined())
    )
}

fn table(counts: &DefectCounts, limit: u16, notes: u16, costs: Option<Costs>) -> Html {
    let row = |at: u16| {
        let (mixed, spoiled) = counts.split(at);
        let now = at == limit;
        html! {
            <tr key={at} class={classes!(now.then_some("now"))} data-row={at.to_string()}>
                <th scope="row" class="num">{ at }if now { <span class="gone">{ "in force" }</span> }</th>
                <td class="num">{ count(mixed) }</td>
                <td class="num">{ count(spoiled) }</td>
                <td class="num">{ count(counts.lost(at)) }</td>
                if let Some(costs) = costs { <td class="num">{ count(counts.cost(at, &costs)) }</td> }
            </tr>
        }
    };
    let around = limit.saturating_sub(AROUND).max(1)..=limit.saturating_add(AROUND).min(notes);
    html! {
        <div class="table-frame"><table class="data" data-table="limits">
            <caption class="sr-only">{ "Sheets mixed and spoiled by their count at each limit" }</caption>
            <thead><tr>
                <th scope="col" class="num">{ "Spoiled at" }</th>
                <th scope="col" class="num">{ "Mixed sheets" }</th>
                <th scope="col" class="num">{ "Spoiled sheets" }</th>
                <th scope="col" class="num">{ "Notes to replace" }</th>
                if costs.is_some() { <th scope="col" class="num">{ "Cost" }</th> }
            </tr></thead>
            <tbody>{ for around.map(row) }</tbody>
        </table></div>
    }
}
