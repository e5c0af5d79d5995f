//! The ribbon: the hundred sheets up to a little beyond this one, as ticks to read and to reach.

use yew::prelude::*;

use crate::book::{Gone, Lot, SheetState};
use crate::desk::Action;
use crate::desk::bench::Command;
use crate::inspect::Verdict;
use crate::sheet::SheetNo;
use crate::ui::Shop;
use crate::ui::kit::count;

use super::chip::n;

/// Sheets shown.
const SHOWN: u32 = 100;
/// Of these, sheets after the current one.
const AHEAD: u32 = 10;

pub fn ribbon(shop: &Shop) -> Html {
    let desk = shop.desk();
    let bench = &desk.bench;
    let Some(lot) = bench.lot(desk.state()) else {
        return Html::default();
    };
    let (first, last) = shown(lot, bench.sheet);
    let tick = |index: u32| {
        let sheet = SheetNo::from_index(index);
        let onclick = shop.on(move |_: MouseEvent| Action::BenchClick(Command::Turn(sheet)));
        draw_tick(lot, sheet, index - first, sheet == bench.sheet, onclick)
    };
    html! {
        <div class="ribbon">
            <svg viewBox={format!("0 0 {} 26", SHOWN * 10)} preserveAspectRatio="none" role="img" aria-label={spoken(lot, first, last)}>
                { for (first..=last).map(tick) }
            </svg>
            <p>{ spoken(lot, first, last) }</p>
        </div>
    }
}

fn shown(lot: &Lot, sheet: SheetNo) -> (u32, u32) {
    let last = (sheet.index() + AHEAD).min(lot.len() - 1);
    let first = (last + 1).saturating_sub(SHOWN);
    (first, (first + SHOWN - 1).min(lot.len() - 1))
}

fn draw_tick(
    lot: &Lot,
    sheet: SheetNo,
    place: u32,
    current: bool,
    onclick: Callback<MouseEvent>,
) -> Html {
    let state = lot.sheet(sheet);
    let gone = lot.gone(sheet);
    let kind = match gone {
        Some(Gone::LostAtPress { .. }) => "lost",
        Some(Gone::BeforeNumbering) | None => state.map_or("open", kind),
    };
    let (top, height) = match kind {
        "spoiled" => (2.0, 22.0),
        "mixed" => (8.0, 16.0),
        "machine" => (12.0, 12.0),
        _ => (16.0, 8.0),
    };
    let title = match gone {
        Some(gone) => format!("Sheet {}: {gone}", count(sheet.number())),
        None => format!("Sheet {}: {kind}", count(sheet.number())),
    };
    let x = f64::from(place) * 10.0;
    html! {
        <g class={classes!("tick", format!("tick-{kind}"), current.then_some("current"))} {onclick} key={sheet.to_string()}>
            <title>{ title }</title>
            <rect class="tick-hit" x={n(x)} y="0" width="10" height="26" />
            <rect class="tick-mark" x={n(x + 2.5)} y={n(top)} width="5" height={n(height)} />
        </g>
    }
}

fn kind(state: &SheetState) -> &'static str {
    match &state.exam {
        Some(exam) => exam.ruling.verdict.name(),
        None if !state.machine.is_empty() => "machine",
        None => "open",
    }
}

fn spoken(lot: &Lot, first: u32, last: u32) -> String {
    let shown = || (first..=last).map(SheetNo::from_index);
    let lost = |sheet: &SheetNo| lot.press.lost.contains_key(sheet);
    let with = |verdict: Verdict| {
        let stood = shown().filter(|sheet| !lost(sheet));
        count(
            stood
                .filter(|sheet| lot.verdict(*sheet) == Some(verdict))
                .count() as u64,
        )
    };
    let lost = match shown().filter(lost).count() as u64 {
        0 => String::new(),
        lost => format!(", {} lost at the press", count(lost)),
    };
    format!(
        "Sheets {} to {}: {} good, {} mixed, {} spoiled{lost}",
        count(first + 1),
        count(last + 1),
        with(Verdict::Good),
        with(Verdict::Mixed),
        with(Verdict::Spoiled)
    )
}
