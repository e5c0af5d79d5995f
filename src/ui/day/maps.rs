//! Position maps of the lots of the day, both sides, and as files.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::Press;
use crate::desk::{Action, Download};
use crate::export::picture::{PositionMap, draw_map, position_map, save_map};
use crate::export::{Of, stem};
use crate::inspect::ClassCode;
use crate::sheet::{LotId, Side};
use crate::ui::chart::drawn;
use crate::ui::kit::{count, unbroken};
use crate::ui::{Shop, use_shop};

use super::part::{part, table};
use super::summary::percent;
use super::{Record, RecordProps};

#[function_component]
pub fn Maps(props: &RecordProps) -> Html {
    let shop = use_shop();
    let chosen = use_state(|| None::<LotId>);
    let class = use_state(|| None::<ClassCode>);
    let record = &props.record;
    let lots: Vec<LotId> = (record.examined.iter())
        .filter_map(|row| match row.of {
            Of::Lot(lot) => Some(lot),
            _ => None,
        })
        .collect();
    let lot = chosen.filter(|lot| lots.contains(lot));
    let lot = lot.or(lots.first().copied());
    let press = {
        let shop = shop.clone();
        use_memo((record.head, record.day, lot), move |(_, day, lot)| {
            let state = shop.state();
            let lot = state.lots.get(&(*lot)?)?;
            Some(Press::of_day(lot, *day))
        })
    };
    let (Some(lot), Some(press)) = (lot, &*press) else {
        return Html::default();
    };
    let state = shop.state();
    let Some(known) = state.lots.get(&lot) else {
        return Html::default();
    };
    let maps = Side::BOTH.map(|side| position_map(known, press, side, *class));
    let mut classes: Vec<ClassCode> = press.marks().map(|(mark, _)| mark.class).collect();
    classes.dedup();
    let names = lots.iter().map(ToString::to_string);
    let codes = classes.iter().map(ToString::to_string);
    let pick_lot = {
        let chosen = chosen.clone();
        Callback::from(move |text: String| chosen.set(text.parse().ok()))
    };
    let pick_class = {
        let class = class.clone();
        Callback::from(move |text: String| class.set(text.parse().ok()))
    };
    let tools = html! {
        <div class="chart-tools no-print">
            if lots.len() > 1 { { pick("map-lot", "Lot", None, names, &lot.to_string(), pick_lot) } }
            { pick("map-class", "Class", Some("Every class"), codes, &class.map(|c| c.to_string()).unwrap_or_default(), pick_class) }
        </div>
    };
    let body = html! {
        <>
            { tools }
            <div class="maps">{ for maps.iter().flatten().map(|map| one(&shop, record, map)) }</div>
        </>
    };
    let title = format!("Where lot {lot} was marked");
    let lead = "Sheets of the day marked at each position and their share of the sheets examined. The denser the hatch, the nearer to the highest.";
    part(&title, lead, "wide", body)
}

/// A choice among texts; `all` stands for none of them.
fn pick(
    id: &'static str,
    label: &'static str,
    all: Option<&'static str>,
    texts: impl Iterator<Item = String>,
    chosen: &str,
    choose: Callback<String>,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        choose.emit(event.target_unchecked_into::<HtmlSelectElement>().value());
    });
    let option = |text: String| {
        html! { <option key={text.clone()} value={text.clone()} selected={text == chosen}>{ text }</option> }
    };
    html! {
        <label class="pick-one">
            <span>{ label }</span>
            <select {id} {onchange}>
                if let Some(all) = all { <option value="" selected={chosen.is_empty()}>{ all }</option> }
                { for texts.map(option) }
            </select>
        </label>
    }
}

fn one(shop: &Shop, record: &Record, map: &PositionMap) -> Html {
    let file = Download {
        name: format!(
            "{}_{}_{}.svg",
            stem(&record.bench, record.day),
            map.lot,
            map.side.name()
        ),
        mime: "image/svg+xml",
        bytes: save_map(record, map).into_bytes(),
    };
    let save = shop.on(move |_: MouseEvent| Action::Save(file.clone()));
    let rows = map.rows.iter().flatten().map(|cell| {
        vec![
            cell.name.clone(),
            count(cell.marked),
            percent(cell.rate_ppm),
        ]
    });
    let headings = [
        ("Position", false),
        ("Sheets marked", true),
        ("Share", true),
    ];
    let title = map.title();
    html! {
        <figure class="map" data-map={map.side.name()}>
            <figcaption><h3>{ unbroken(&title) }</h3></figcaption>
            { drawn(&draw_map(map), None) }
            <details>
                <summary>{ "Positions in figures" }</summary>
                { table(&title, &headings, rows) }
            </details>
            <button type="button" class="quiet no-print" onclick={save} data-action={format!("save-map-{}", map.side.name())}>{ "Save this side as SVG" }</button>
        </figure>
    }
}
