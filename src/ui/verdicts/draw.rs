//! Drawing replacement notes for a lot.

use yew::prelude::*;

use crate::account::Forecast;
use crate::book::{Lot, Pool, State, Stock, stock};
use crate::desk::forms::{draw_entries, drawable, sheets_left};
use crate::desk::stock::{told_forecast, told_short};
use crate::people::{Duty, Stamp};
use crate::sheet::SeriesId;
use crate::ui::kit::{Confirm, Empty, Panel, count};
use crate::ui::use_shop;

use super::picks::Picks;
use super::screen::OfLot;

/// What is needed, from which series, and the pick list of what was drawn.
#[function_component]
pub fn Replacements(props: &OfLot) -> Html {
    let shop = use_shop();
    let numbered = {
        let state = shop.state();
        state.lots.get(&props.lot).map(|lot| lot.is_numbered())
    };
    match numbered {
        None => Html::default(),
        Some(false) => html! {
            <Empty text="This lot is not numbered yet, so no serial can be replaced. Its spoiled sheets leave before numbering." />
        },
        Some(true) => html! { <><Draw lot={props.lot} /><Picks lot={props.lot} /></> },
    }
}

#[function_component]
fn Draw(props: &OfLot) -> Html {
    let shop = use_shop();
    let problem = use_state(|| None::<String>);
    let asking = use_state(|| None::<Ask>);
    let state = shop.state();
    let Some(lot) = state.lots.get(&props.lot) else {
        return Html::default();
    };
    let needs = lot.needs().len();
    let mut pools = state.pools.values();
    let of_product = |pool: &&Pool| pool.series.product() == lot.product.id;
    let pools: Vec<&Pool> = pools.by_ref().filter(of_product).collect();
    let may = shop.desk().may(Duty::DrawReplacements);
    let now = shop.now();
    let stock = stock(&state, lot.product.id, state.day_of(&now));
    let draw = |series: SeriesId, number: usize| {
        let (shop, problem, lot) = (shop.clone(), problem.clone(), lot.id);
        let asking = asking.clone();
        Callback::from(move |()| {
            asking.set(None);
            let entries = draw_entries(&shop.state(), lot, series, number);
            let result = entries.and_then(|entries| shop.record(entries));
            problem.set(result.err().map(|why| why.to_string()));
        })
    };
    let ask = |what: Option<Ask>| {
        let asking = asking.clone();
        Callback::from(move |()| asking.set(what))
    };
    let row = |pool: &&Pool| {
        let id = pool.series.id();
        let number = drawable(&state, lot, pool);
        html! {
            <tr key={id.to_string()} data-row={id.to_string()}>
                <th scope="row">{ id.to_string() }</th>
                <td class="num">{ count(pool.used()) }</td>
                <td class="num" data-left="">{ count(pool.left()) }</td>
                <td>{ forecast(&state, lot, pool, &stock, &now) }</td>
                <td>
                    if number > 0 {
                        <button type="button" class="primary" disabled={!may} onclick={ask(Some((id, number, pool.series.notes_of_sheet()))).reform(|_: MouseEvent| ())} data-action="draw">
                            { draw_label(number, pool.series.notes_of_sheet()) }
                        </button>
                    }
                </td>
            </tr>
        }
    };
    let short = told_short(&stock, &lot.product.title);
    let none_alone = pools.iter().all(|pool| pool.left() < needs as u64);
    html! {
        <Panel title="Draw" lead={needed(needs, lot.sheet_needs().len())}>
            if let Some(told) = sheets_told(&state, lot) { <p class="hint" data-sheets="">{ told }</p> }
            if let Some((series, number, of_sheet)) = *asking {
                <Confirm action={draw_label(number, of_sheet)} onconfirm={draw(series, number)} oncancel={ask(None)}
                    text={format!("They leave series {series} for lot {}. A drawn note cannot be put back into the series.", lot.id)} />
            }
            if let Some(why) = &*problem { <p class="error" role="alert">{ why }</p> }
            if !may { <p>{ "Drawing replacements is for a supervisor." }</p> }
            if pools.is_empty() {
                <p>{ format!("There is no replacement series for {}. A supervisor adds one in the Office.", lot.product.title) }</p>
            } else {
                if let Some(short) = short {
                    <p class="caution" data-short="">{ short }</p>
                } else if none_alone && needs > 0 {
                    <p class="caution">{ "No series alone has that many left. Draw what one has, then the rest from the next." }</p>
                }
                <div class="table-frame">
                    <table class="data draw-table">
                        <caption class="sr-only">{ "Replacement series of this product" }</caption>
                        <thead><tr>
                            <th scope="col">{ "Series" }</th>
                            <th scope="col" class="num">{ "Drawn" }</th>
                            <th scope="col" class="num">{ "Left" }</th>
                            <th scope="col">{ "Forecast" }</th>
                            <th scope="col"><span class="sr-only">{ "Draw" }</span></th>
                        </tr></thead>
                        <tbody>{ for pools.iter().map(row) }</tbody>
                    </table>
                </div>
            }
        </Panel>
    }
}

/// From which series, how many notes, and the notes of a sheet when it is one of sheets.
type Ask = (SeriesId, usize, Option<u16>);

fn draw_label(number: usize, of_sheet: Option<u16>) -> String {
    if let Some(of_sheet) = of_sheet {
        return match number / usize::from(of_sheet) {
            1 => "Draw 1 replacement sheet".to_owned(),
            sheets => format!("Draw {} replacement sheets", count(sheets as u64)),
        };
    }
    match number {
        0 => "Nothing to draw".to_owned(),
        1 => "Draw 1 replacement note".to_owned(),
        number => format!("Draw {} replacement notes", count(number as u64)),
    }
}

fn needed(needs: usize, sheets: usize) -> String {
    match needs {
        _ if sheets == 1 => format!(
            "{} notes need a replacement, among them 1 whole sheet.",
            count(needs as u64)
        ),
        _ if sheets > 1 => format!(
            "{} notes need a replacement, among them {} whole sheets.",
            count(needs as u64),
            count(sheets as u64)
        ),
        0 => "Every spoiled note has its replacement.".to_owned(),
        1 => "1 note needs a replacement.".to_owned(),
        needs => format!("{} notes need a replacement.", count(needs as u64)),
    }
}

/// What whole sheets are drawn from, when some are wanted.
fn sheets_told(state: &State, lot: &Lot) -> Option<String> {
    let wanted = !lot.sheet_needs().is_empty();
    wanted.then(|| match state.sheets_left(lot.product.id) {
        Some(pool) => format!(
            "Whole spoiled sheets take whole sheets from series {}.",
            pool.series.id()
        ),
        None => {
            "No replacement sheet is left, so loose notes may be drawn for whole sheets as well."
                .to_owned()
        }
    })
}

/// How long the series lasts by its own draws, and in sheets at the rate of the day.
fn forecast(state: &State, lot: &Lot, pool: &Pool, stock: &Stock, now: &Stamp) -> String {
    let known = stock.series.get(&pool.series.id());
    let forecast = known.copied().unwrap_or(Forecast::TooFewDraws);
    let told = told_forecast(forecast);
    match (forecast, sheets_left(state, lot, pool, state.day_of(now))) {
        (Forecast::RunOut | Forecast::AllWaitedFor, _) | (_, None | Some(0)) => told,
        (_, Some(sheets)) => format!(
            "{told} Today's spoilage would use it up in about {} more sheets.",
            count(sheets)
        ),
    }
}
