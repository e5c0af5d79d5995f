//! The position map: how often each note of the sheet is marked, on its front and on its back.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::{Lot, Mark, Press};
use crate::inspect::ClassCode;
use crate::quality::Grid;
use crate::quality::map::RateMap;
use crate::sheet::{LotId, Side};
use crate::ui::kit::{Panel, count, percent};
use crate::ui::use_shop;

/// What the map counts.
#[derive(Clone, PartialEq)]
pub struct Counts {
    examined: u64,
    /// Sheets with any mark at each position, front and back.
    sides: [Option<Grid>; 2],
    by_mark: Vec<(Mark, Grid)>,
}

impl Counts {
    pub fn of(press: &Press) -> Self {
        Self {
            examined: press.examined(),
            sides: Side::BOTH.map(|side| press.side(side).cloned()),
            by_mark: press
                .marks()
                .map(|(mark, grid)| (mark, grid.clone()))
                .collect(),
        }
    }

    /// The counts of a side, of one class or of all; nothing when there is no mark.
    fn grid(&self, side: Side, class: Option<ClassCode>) -> Option<&Grid> {
        let Some(class) = class else {
            let [front, back] = &self.sides;
            let grid = if side == Side::Front { front } else { back };
            return grid.as_ref();
        };
        let mut marks = self.by_mark.iter();
        marks
            .find(|(mark, _)| (mark.class, mark.side) == (class, side))
            .map(|(_, grid)| grid)
    }

    fn classes(&self) -> Vec<ClassCode> {
        let mut classes: Vec<_> = self.by_mark.iter().map(|(mark, _)| mark.class).collect();
        classes.dedup();
        classes
    }
}

#[derive(Properties, PartialEq)]
pub struct MapProps {
    pub lot: LotId,
    pub marks: Counts,
}

/// Both sides, each as it is seen, for all classes or for one.
#[function_component]
pub fn PositionMaps(props: &MapProps) -> Html {
    let shop = use_shop();
    let class = use_state(|| None::<ClassCode>);
    let onchange = {
        let class = class.clone();
        Callback::from(move |event: Event| {
            let value = event.target_unchecked_into::<HtmlSelectElement>().value();
            class.set(value.parse().ok());
        })
    };
    let state = shop.state();
    let Some(lot) = state.lots.get(&props.lot) else {
        return Html::default();
    };
    let option = |code: &ClassCode| {
        let name = lot.catalogue.get(*code).map_or("", |class| &class.name);
        html! { <option key={code.to_string()} value={code.to_string()} selected={*class == Some(*code)}>{ format!("{code} {name}") }</option> }
    };
    html! {
        <Panel title="Position map" lead="Sheets marked at each position and their share of the sheets examined. The stronger the shade, the nearer to the highest.">
            <label class="field map-class">{ "Class" }
                <select id="map-class" {onchange}>
                    <option value="" selected={class.is_none()}>{ "Every class" }</option>
                    { for props.marks.classes().iter().map(option) }
                </select>
            </label>
            <div class="maps">{ for Side::BOTH.map(|side| map(lot, &props.marks, side, *class)) }</div>
        </Panel>
    }
}

fn map(lot: &Lot, counts: &Counts, side: Side, class: Option<ClassCode>) -> Html {
    let layout = &lot.product.layout;
    let grid = counts.grid(side, class);
    let rates = grid.map(|grid| {
        RateMap::new(grid, counts.examined)
            .expect("a position is counted at most once for each sheet examined")
    });
    let cell = |row: u8, column: u8| {
        let position = layout.seen_at(side, row, column)?;
        let (marked, rate, highest) = match (grid, &rates) {
            (Some(grid), Some(map)) => (
                grid.counts()[position.index()],
                map.rates()[position.index()],
                map.highest(),
            ),
            _ => (0, 0.0, 0.0),
        };
        Some(html! {
            <td class={shade(rate, highest)} key={column}>
                <b>{ layout.name(position) }</b>
                if marked == 0 { <span class="num none">{ "0" }</span> } else {
                    <span class="num">{ count(marked) }</span><span class="num soft">{ percent(Some(rate)) }</span>
                }
            </td>
        })
    };
    let row = |row: u8| {
        let cells = (0..layout.columns()).filter_map(|column| cell(row, column));
        html! { <tr key={row}>{ for cells }</tr> }
    };
    html! {
        <div class="table-frame">
            <table class="position-map" data-map={side.name()}>
                <caption>{ match side { Side::Front => "Front", Side::Back => "Back, as seen from the back" } }</caption>
                <tbody>{ for (0..layout.rows()).map(row) }</tbody>
            </table>
        </div>
    }
}

/// One of five shades, by the share of the highest rate.
fn shade(rate: f64, highest: f64) -> &'static str {
    const SHADES: [&str; 5] = ["shade-0", "shade-1", "shade-2", "shade-3", "shade-4"];
    if highest == 0.0 {
        return SHADES[0];
    }
    SHADES[(rate / highest * 4.0).ceil() as usize]
}
