//! Replacement series: the list, and the form that sets one aside.

use yew::prelude::*;

use crate::book::{Fate, Pool};
use crate::desk::forms::numbering::{ARRANGEMENTS, DIRECTIONS};
use crate::desk::forms::series::{
    SERIES_FORMAT, SERIES_RUN, STOCKS, series, series_ends, series_field, series_preview,
    series_start,
};
use crate::desk::stock::StockList;
use crate::ui::kit::{Empty, ErrorSummary, Panel, count, use_form};
use crate::ui::{Shop, use_shop};

use super::input::{Inputs, choices, products, use_only_product};
use super::serial_fields::serial_fields;
use super::submit::{Supervised, use_submit};

pub fn series_tab(shop: &Shop) -> Html {
    html! {
        <>
            <Panel title="Replacement series">{ list(&shop) }</Panel>
            <Supervised what="Setting a series aside"><SeriesForm /></Supervised>
        </>
    }
}

fn list(shop: &Shop) -> Html {
    let state = shop.state();
    if state.pools.is_empty() {
        return html! { <Empty text="No replacement notes are set aside yet. Verdicts can draw none before." /> };
    }
    let list = StockList::of(&state, state.day_of(&shop.now()));
    html! {
        <>
            { for list.short.iter().map(|short| html! { <p class="caution">{ short }</p> }) }
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Replacement series" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Series" }</th><th scope="col">{ "Product" }</th>
                        <th scope="col">{ "From" }</th><th scope="col">{ "To" }</th>
                        <th scope="col" class="num">{ "Notes" }</th><th scope="col" class="num">{ "Drawn" }</th>
                        <th scope="col" class="num">{ "Inserted" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                        <th scope="col" class="num">{ "Returned" }</th><th scope="col" class="num">{ "On hand" }</th><th scope="col" class="num">{ "Left" }</th>
                        <th scope="col">{ "Lasts" }</th>
                    </tr></thead>
                    <tbody>{ for state.pools.values().map(|pool| row(pool, &list)) }</tbody>
                </table>
            </div>
        </>
    }
}

fn row(pool: &Pool, list: &StockList) -> Html {
    let id = pool.series.id().to_string();
    let (from, to) = series_ends(&pool.series);
    html! {
        <tr key={id.clone()} data-row={id.clone()}>
            <th scope="row" class="mono">{ id }</th>
            <td class="mono">{ pool.series.product().to_string() }</td>
            <td class="mono">{ from }</td><td class="mono">{ to }</td>
            <td class="num">{ count(pool.series.len()) }</td>
            <td class="num">{ count(pool.used()) }</td>
            <td class="num">{ count(pool.count(Fate::Inserted)) }</td>
            <td class="num">{ count(pool.count(Fate::Spoiled)) }</td>
            <td class="num">{ count(pool.count(Fate::Returned)) }</td>
            <td class="num">{ count(pool.count(Fate::OnHand)) }</td>
            <td class="num">{ count(pool.left()) }</td>
            <td data-lasts="">{ list.lasts(pool) }</td>
        </tr>
    }
}

#[function_component]
fn SeriesForm() -> Html {
    let shop = use_shop();
    let form = use_form(|| series_start(&shop.state()));
    use_only_product(&form, "series-product");
    let submit = use_submit(&form, series, series_field, series_start);
    let inputs = Inputs::of(&form);
    let preview = series_preview(form.typed(), &shop.state());
    let sheets = form.typed().get("series-stock") == "sheets";
    html! {
        <Panel title="Set replacement notes aside" lead="Notes of this series replace spoiled ones, each once: loose notes by rising number, sheets one after the other.">
            <form onsubmit={submit.onsubmit.clone()} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    { inputs.code("series-id", "Series", "1 to 24 letters, figures, dots, hyphens, like R20-B") }
                    { inputs.pick("series-product", "Product", "They replace notes of this product only", products(&shop.state())) }
                    { inputs.pick("series-stock", "Made of", "Whole sheets replace whole spoiled sheets, where the rules say so", choices(&STOCKS)) }
                    if sheets {
                        { inputs.number(SERIES_RUN.sheets, "Sheets", "Of this product, numbered in one run") }
                        { inputs.number(SERIES_RUN.first, "First number", "Of the first sheet, first position") }
                        { inputs.number(SERIES_RUN.stride, "Stride", "Empty: no gaps (the sheets, or the notes of a sheet)") }
                        { inputs.pick(SERIES_RUN.direction, "Numbers run", "", choices(&DIRECTIONS)) }
                        { inputs.pick(SERIES_RUN.arrangement, "Consecutive serials lie", "", choices(&ARRANGEMENTS)) }
                    } else {
                        { inputs.number("series-first", "First number", "0 or more, within the digits") }
                        { inputs.number("series-last", "Last number", "Included; not below the first") }
                    }
                </div>
                <fieldset><legend>{ "Serial format" }</legend>{ serial_fields(&inputs, &SERIES_FORMAT) }</fieldset>
                <p class="preview-line" aria-live="polite" data-preview="series">{ preview.map(|text| format!("Sets aside {text}.")) }</p>
                { submit.button("Set the series aside", "add-series") }
            </form>
        </Panel>
    }
}
