//! The drawn sheet: to scale, keyboard, mouse and touch.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

use crate::book::Lot;
use crate::desk::Action;
use crate::desk::bench::{Bench, Cell, Command, Key, command_for};
use crate::desk::findings::{Told, repeating};
use crate::inspect::{Ruling, Spot, Tag};
use crate::sheet::{Layout, Position};
use crate::ui::use_shop;

use super::chip::{Chip, n};
use super::note::{Note, NoteProps};
use super::repeating::LINES;
use super::rosette::rosette;

/// The sheet on the bench.
#[function_component]
pub fn Sheet() -> Html {
    let shop = use_shop();
    let onkeydown = {
        let shop = shop.clone();
        Callback::from(move |event: KeyboardEvent| {
            let name = event.key();
            let ctrl = event.ctrl_key() || event.meta_key();
            let key = Key {
                name: &name,
                shift: event.shift_key(),
                ctrl,
            };
            if let Some(command) = command_for(key).filter(|_| !event.alt_key()) {
                event.prevent_default();
                shop.act(Action::Bench(command));
            }
        })
    };
    let point = |dragging: bool| {
        let shop = shop.clone();
        Callback::from(move |event: PointerEvent| {
            if dragging && event.buttons() & 1 == 0 {
                return;
            }
            if let Some(cell) = cell_of(&event) {
                let extend = dragging || event.shift_key();
                let same = dragging && shop.desk().bench.selection.cursor == cell;
                if !same {
                    shop.act(Action::Bench(Command::Point { cell, extend }));
                }
            }
        })
    };
    let (onpointerdown, onpointermove) = (point(false), point(true));
    let desk = shop.desk();
    let bench = &desk.bench;
    let Some(lot) = bench.lot(desk.state()) else {
        return Html::default();
    };
    let ornament = use_ornament(lot.product.title.clone());
    let layout = &lot.product.layout;
    let (width, height) = layout.sheet_size();
    let (width, height) = (width.mm(), height.mm());
    let cursor = bench.selection.cursor;
    let ruling = bench.ruling(lot);
    let told = repeating(lot, bench, LINES);
    html! {
        <svg class="sheet" role="grid" tabindex="0" data-sheet-grid="" viewBox={format!("0 0 {} {}", n(width), n(height))}
            aria-label={format!("Sheet {} of {}, {}", bench.sheet, lot.len(), bench.side.name())}
            aria-rowcount={layout.rows().to_string()} aria-colcount={layout.columns().to_string()}
            aria-multiselectable="true" aria-activedescendant={cell_id(cursor)}
            {onkeydown} {onpointerdown} {onpointermove}>
            <defs>
                <symbol id="rosette" overflow="visible"><path d={(*ornament).clone()} /></symbol>
                <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                    <line x1="0" y1="0" x2="0" y2="6" class="hatch-line" />
                </pattern>
            </defs>
            <rect class="sheet-paper" x="0" y="0" width={n(width)} height={n(height)} />
            { register_marks(width, height) }
            { for (0..layout.rows()).map(|row| draw_row(lot, bench, &ruling, &told, row)) }
        </svg>
    }
}

/// The rosette's path, computed once for each product.
#[hook]
fn use_ornament(title: String) -> Rc<AttrValue> {
    use_memo(title, |title| AttrValue::from(rosette(title)))
}

fn cell_id(cell: Cell) -> String {
    format!("note-{}-{}", cell.row, cell.column)
}

fn draw_row(lot: &Lot, bench: &Bench, ruling: &Ruling, told: &[Told], row: u8) -> Html {
    let layout = &lot.product.layout;
    let cells = (0..layout.columns())
        .filter_map(|column| note_props(lot, bench, ruling, told, Cell { row, column }));
    html! {
        <g role="row" key={row.to_string()}>
            { for cells.map(|props| {
                let key = props.id.to_string();
                html! { <Note {key} ..props /> }
            }) }
        </g>
    }
}

fn note_props(
    lot: &Lot,
    bench: &Bench,
    ruling: &Ruling,
    told: &[Told],
    cell: Cell,
) -> Option<NoteProps> {
    let layout = &lot.product.layout;
    let position = layout.seen_at(bench.side, cell.row, cell.column)?;
    let (x, y) = layout.origin(bench.side, position);
    let (width, height) = note_size(layout);
    Some(NoteProps {
        id: cell_id(cell).into(),
        row: cell.row,
        column: cell.column,
        x: x.mm(),
        y: y.mm(),
        width,
        height,
        name: layout.name(position).to_owned().into(),
        serial: lot.serial_shown(bench.sheet, position).map(AttrValue::from),
        chips: chips(lot, bench, position),
        defective: lot.is_lost(ruling, position),
        repeats: repeats(bench, told, position),
        selected: bench.selection.contains(cell),
        cursor: bench.selection.cursor == cell,
    })
}

/// What the Bench says of this position on the side that lies up.
fn repeats(bench: &Bench, told: &[Told], position: Position) -> Option<AttrValue> {
    let here = |told: &&Told| told.at == Some(position) && told.mark.side == bench.side;
    let told = told.iter().find(here)?;
    Some(AttrValue::from(told.what.clone()))
}

fn note_size(layout: &Layout) -> (f64, f64) {
    let spec = layout.spec();
    (spec.note_width.mm(), spec.note_height.mm())
}

fn chips(lot: &Lot, bench: &Bench, position: Position) -> Vec<Chip> {
    let here = bench
        .draft
        .tags()
        .iter()
        .filter(|tag| tag.spot == Spot::Note(position));
    here.filter_map(|tag| chip(lot, bench, tag)).collect()
}

fn chip(lot: &Lot, bench: &Bench, tag: &Tag) -> Option<Chip> {
    let class = lot.catalogue.get(tag.class)?;
    Some(Chip {
        code: tag.class,
        step: class.step,
        severity: lot.rules.severity(class),
        source: tag.source,
        other_side: tag.side != bench.side,
    })
}

/// Corner crosses, as a press prints them.
fn register_marks(width: f64, height: f64) -> Html {
    let inset = 9.0;
    let corners = [
        (inset, inset),
        (width - inset, inset),
        (inset, height - inset),
        (width - inset, height - inset),
    ];
    let mark = |(x, y): (f64, f64)| {
        html! {
            <g class="register">
                <circle cx={n(x)} cy={n(y)} r="3.4" />
                <path d={format!("M{} {}h12M{} {}v12", n(x - 6.0), n(y), n(x), n(y - 6.0))} />
            </g>
        }
    };
    html! { <g aria-hidden="true">{ for corners.into_iter().map(mark) }</g> }
}

/// The cell under the pointer. Touch keeps its first target while it moves, so the page is asked.
fn cell_of(event: &PointerEvent) -> Option<Cell> {
    let (x, y) = (event.client_x() as f32, event.client_y() as f32);
    let under = gloo::utils::document().element_from_point(x, y);
    let target = under.or_else(|| event.target()?.dyn_into::<Element>().ok())?;
    let cell = target.closest("[data-cell]").ok()??;
    let text = cell.get_attribute("data-cell")?;
    let (row, column) = text.split_once(',')?;
    Some(Cell {
        row: row.parse().ok()?,
        column: column.parse().ok()?,
    })
}
