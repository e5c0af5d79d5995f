//! Lists of the day: destructions, the balance of every lot, the sheets that are not good.

use std::cmp::Reverse;

use yew::prelude::*;

use crate::export::{BalanceRow, SessionRow, SheetRow};
use crate::ui::balance::signed;
use crate::ui::kit::{Panel, count, number_of};
use crate::ui::use_shop;

use super::RecordProps;

/// Rows of a list shown before someone asks for more.
const PAGE: usize = 40;

#[function_component]
pub fn Sessions(props: &RecordProps) -> Html {
    if props.record.sessions.is_empty() {
        return Html::default();
    }
    let row = |row: &SessionRow| {
        let witnesses: Vec<_> = row.witnesses.iter().map(ToString::to_string).collect();
        html! {
            <tr key={row.session.to_string()} data-row={row.session.to_string()}>
                <th scope="row" class="mono">{ row.session.to_string() }</th>
                <td>{ format!("{}, {}", row.place, row.method) }</td>
                <td class="num">{ count(row.sheets) }</td>
                <td class="num">{ count(row.notes) }</td>
                <td>{ witnesses.join(", ") }</td>
                <td>{ format!("{} to {}", row.started.clock(), row.ended.clock()) }</td>
                <td class="num">{ row.entry.to_string() }</td>
            </tr>
        }
    };
    html! {
        <Panel title="Destructions" class={classes!("wide")}>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Destructions recorded on the day" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Session" }</th><th scope="col">{ "Where and how" }</th>
                        <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "Notes" }</th>
                        <th scope="col">{ "Witnesses" }</th><th scope="col">{ "Time" }</th>
                        <th scope="col" class="num">{ "Entry" }</th>
                    </tr></thead>
                    <tbody>{ for props.record.sessions.iter().map(row) }</tbody>
                </table>
            </div>
        </Panel>
    }
}

/// One line for each account: of the whole book, then of each lot, the lot opened last first.
#[function_component]
pub fn BalanceOfLots(props: &RecordProps) -> Html {
    let shop = use_shop();
    let shown = use_state(|| PAGE);
    // Rows come account by account: owed, found, …, difference.
    let accounts = props
        .record
        .balance
        .chunk_by(|this, next| this.side == "owed" || next.side != "owed");
    let mut accounts: Vec<&[BalanceRow]> = accounts.collect();
    let state = shop.state();
    let opened = |row: &BalanceRow| state.opened_in(row.lot?);
    accounts.sort_by_key(|rows| {
        let seq = rows.first().and_then(opened);
        seq.map_or((0, Reverse(0)), |seq| (1, Reverse(seq)))
    });
    let more = accounts.len().saturating_sub(*shown);
    let onclick = {
        let shown = shown.clone();
        Callback::from(move |_: MouseEvent| shown.set(*shown + 200))
    };
    html! {
        <Panel title="Balance" lead="As the book stands. The difference is what is found less what is owed." class={classes!("wide")}>
            <table class="data">
                <caption class="sr-only">{ "Balance of the whole book and of every lot" }</caption>
                <thead><tr>
                    <th scope="col">{ "Lot" }</th><th scope="col">{ "Account" }</th>
                    <th scope="col" class="num">{ "Owed" }</th><th scope="col" class="num">{ "Found" }</th>
                    <th scope="col" class="num">{ "Difference" }</th>
                </tr></thead>
                <tbody>{ for accounts.iter().take(*shown).filter_map(|rows| account_row(rows)) }</tbody>
            </table>
            if more > 0 {
                <button type="button" class="no-print" {onclick}>{ format!("Show more ({} left)", count(more as u64)) }</button>
                <p class="print-only">{ format!("{} more accounts are in the table \"balance\" of the day.", count(more as u64)) }</p>
            }
        </Panel>
    }
}

fn account_row(rows: &[BalanceRow]) -> Option<Html> {
    let first = rows.first()?;
    let difference = sum(rows, "difference");
    let lot = first
        .lot
        .map_or_else(|| "Whole book".to_owned(), |lot| lot.to_string());
    Some(html! {
        <tr key={format!("{lot} {}", first.identity)} class={classes!((difference != 0).then_some("off"))}>
            <th scope="row" class="mono">{ lot }</th>
            <td>{ first.identity }</td>
            <td class="num">{ count(first.count as u64) }</td>
            <td class="num">{ count(sum(rows, "found") as u64) }</td>
            <td class="num">{ signed(difference.into()) }</td>
        </tr>
    })
}

fn sum(rows: &[BalanceRow], side: &str) -> i64 {
    let of_side = rows.iter().filter(|row| row.side == side);
    of_side.map(|row| row.count).sum()
}

#[function_component]
pub fn SheetsNotGood(props: &RecordProps) -> Html {
    let shown = use_state(|| PAGE);
    let sheets = &props.record.sheets;
    if sheets.is_empty() {
        return Html::default();
    }
    let row = |row: &SheetRow| {
        html! {
            <tr key={format!("{} {}", row.lot, row.sheet)}>
                <td class="mono">{ row.lot.to_string() }</td>
                <th scope="row" class="num">{ row.sheet.to_string() }</th>
                <td><span class={classes!("mark", row.verdict)}>{ row.verdict }</span></td>
                <td>{ &row.reason }</td>
                <td class="mono">{ row.defective.join(" ") }</td>
                <td class="mono">{ row.inspector.to_string() }</td>
                <td>{ row.at.clock() }</td>
            </tr>
        }
    };
    let onclick = {
        let shown = shown.clone();
        Callback::from(move |_: MouseEvent| shown.set(*shown + 200))
    };
    html! {
        <>
        <p class="print-only wide">{ format!("{} are not good or were overruled: each is named in the table \"sheets\" of the day's files.", number_of(sheets.len() as u64, "sheet", "sheets")) }</p>
        <Panel title={format!("{} sheets not good or overruled", count(sheets.len() as u64))} class={classes!("wide", "no-print")}>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Sheets examined on the day that are mixed, spoiled or overruled" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Lot" }</th><th scope="col" class="num">{ "Sheet" }</th>
                        <th scope="col">{ "Verdict" }</th><th scope="col">{ "Reason" }</th>
                        <th scope="col">{ "Defective" }</th><th scope="col">{ "By" }</th><th scope="col">{ "At" }</th>
                    </tr></thead>
                    <tbody>{ for sheets.iter().take(*shown).map(row) }</tbody>
                </table>
            </div>
            if sheets.len() > *shown {
                <button type="button" {onclick} data-action="more-sheets">{ format!("Show more ({} left)", count((sheets.len() - *shown) as u64)) }</button>
            }
        </Panel>
        </>
    }
}
