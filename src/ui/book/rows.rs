//! The list of lines. Only those in sight, and some around them, are on the page.

use web_sys::Element;
use yew::prelude::*;

use crate::book::Book;
use crate::desk::log::{LogRow, LogSearch, log_row};
use crate::ui::kit::count;
use crate::ui::use_shop;

use super::log::Shared;

/// Height of a row in pixels, as styles/book.css has it, and of the row of titles.
const ROW: i32 = 44;
const TITLES: i32 = 36;
/// Rows on the page, and how many of them above the first in sight.
const DRAWN: u64 = 44;
const ABOVE: u64 = 8;

#[derive(Properties, PartialEq)]
pub struct RowsProps {
    pub search: Shared,
    pub onopen: Callback<u64>,
}

#[function_component]
pub fn Rows(props: &RowsProps) -> Html {
    let shop = use_shop();
    let (node, top, active) = (use_node_ref(), use_state(|| 0_i32), use_state(|| 0_u64));
    let search = &*props.search.0;
    let onscroll = {
        let (node, top) = (node.clone(), top.clone());
        Callback::from(move |_: Event| {
            top.set(node.cast::<Element>().map_or(0, |list| list.scroll_top()));
        })
    };
    let onkeydown = {
        let (node, active) = (node.clone(), active.clone());
        let (search, onopen) = (props.search.clone(), props.onopen.clone());
        Callback::from(move |event: KeyboardEvent| {
            let Some(list) = node.cast::<Element>() else {
                return;
            };
            let page = ((list.client_height() - TITLES) / ROW).max(1) as u64;
            if event.key() == "Enter" {
                search
                    .0
                    .seq(*active)
                    .into_iter()
                    .for_each(|seq| onopen.emit(seq));
            } else if let Some(there) = after(&event.key(), *active, page, search.0.len()) {
                event.prevent_default();
                active.set(there);
                bring_into_sight(&list, there);
            }
        })
    };
    let last = search.len().saturating_sub(1);
    let first = ((*top / ROW).max(0) as u64).saturating_sub(ABOVE).min(last);
    let end = (first + DRAWN).min(search.len());
    let chosen = (*active).min(last);
    let in_sight = (first..end).contains(&chosen);
    let named = in_sight.then(|| search.seq(chosen)).flatten().map(row_id);
    html! {
        <div class="log-grid" role="grid" tabindex="0" ref={node} {onscroll} {onkeydown} aria-label="Entries of the book, the last first"
            aria-rowcount={(search.len() + 1).to_string()} aria-activedescendant={named} data-log="">
            { titles() }
            { space(first) }
            { for (first..end).map(|place| row(&shop.desk().book, search, place, place == chosen, &active, &props.onopen)) }
            { space(search.len() - end) }
        </div>
    }
}

fn row_id(seq: u64) -> String {
    format!("line-{seq}")
}

/// Where a key leads in a list.
fn after(key: &str, here: u64, page: u64, length: u64) -> Option<u64> {
    let last = length.checked_sub(1)?;
    let there = match key {
        "ArrowDown" => here + 1,
        "ArrowUp" => here.saturating_sub(1),
        "PageDown" => here + page,
        "PageUp" => here.saturating_sub(page),
        "Home" => 0,
        "End" => last,
        _ => return None,
    };
    Some(there.min(last))
}

/// Scrolls no further than it must. Rows stand below the titles, which stay at the top.
fn bring_into_sight(list: &Element, place: u64) {
    let row = i32::try_from(place).unwrap_or(i32::MAX / ROW - 1) * ROW;
    let room = list.client_height() - TITLES;
    if row < list.scroll_top() {
        list.set_scroll_top(row);
    } else if row + ROW > list.scroll_top() + room {
        list.set_scroll_top(row + ROW - room);
    }
}

fn titles() -> Html {
    let title = |name: &'static str| html! { <span role="columnheader">{ name }</span> };
    html! {
        <div role="row" aria-rowindex="1" class="log-row titles">
            { for ["Entry", "When", "Who", "Kind", "What it says"].map(title) }
        </div>
    }
}

/// Room for rows that are not drawn. An attribute, since the page's policy forbids styles.
fn space(rows: u64) -> Html {
    let height = rows * ROW as u64;
    html! { <svg class="log-space" aria-hidden="true" width="1" height={height.to_string()} /> }
}

fn row(
    book: &Book,
    search: &LogSearch,
    place: u64,
    chosen: bool,
    active: &UseStateHandle<u64>,
    onopen: &Callback<u64>,
) -> Html {
    let Some(row) = search.seq(place).and_then(|seq| log_row(book, seq)) else {
        return Html::default();
    };
    let LogRow {
        seq,
        at,
        name,
        kind,
        says,
        corrected,
    } = row;
    let (active, onopen) = (active.clone(), onopen.clone());
    let onclick = Callback::from(move |_: MouseEvent| {
        active.set(place);
        onopen.emit(seq);
    });
    html! {
        <div key={seq} role="row" id={row_id(seq)} class={classes!("log-row", chosen.then_some("chosen"))} {onclick}
            aria-rowindex={(place + 2).to_string()} aria-selected={chosen.to_string()} data-line={seq.to_string()}>
            <span role="gridcell" class="num">{ count(seq) }</span>
            <span role="gridcell">{ at.dated() }</span>
            <span role="gridcell">{ name }</span>
            <span role="gridcell">{ kind }</span>
            <span role="gridcell" class="says" title={says.clone()}>
                if let Some(corrected) = corrected { <b>{ corrected }</b>{ " · " } }
                { says }
            </span>
        </div>
    }
}
