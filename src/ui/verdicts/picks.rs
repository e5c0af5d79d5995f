//! The pick list on the screen: bundle by bundle, what to pull and what to insert.

use yew::prelude::*;

use crate::book::{Entry, Fate, State};
use crate::desk::Action;
use crate::desk::forms::{
    FieldErrors, Typed, inserted_entries, replacement_returned, replacement_spoiled,
};
use crate::export::{PickLine, fate_name, pick_list};
use crate::people::Duty;
use crate::sheet::{BundleNo, LotId};
use crate::ui::kit::{Confirm, Empty, ErrorSummary, Field, Panel, count, use_form};
use crate::ui::{Shop, use_shop};

use super::paper::PickPaper;
use super::screen::OfLot;

/// Bundles shown at first, and more each time.
const WINDOW: usize = 60;

#[function_component]
pub fn Picks(props: &OfLot) -> Html {
    let shop = use_shop();
    let shown = use_state(|| WINDOW);
    let asking = use_state(|| false);
    let ask = |now: bool| {
        let asking = asking.clone();
        Callback::from(move |()| asking.set(now))
    };
    let lines = pick_list(&shop.state(), props.lot);
    if lines.is_empty() {
        return html! {
            <Panel title="Pick list"><Empty text="Nothing was drawn for this lot yet." /></Panel>
        };
    }
    let on_hand = lines
        .iter()
        .filter(|line| line.fate == Fate::OnHand)
        .count();
    let bundles: Vec<&[PickLine]> = lines.chunk_by(|a, b| a.bundle == b.bundle).collect();
    let rest = bundles.len().saturating_sub(*shown);
    let more = {
        let shown = shown.clone();
        Callback::from(move |_: MouseEvent| shown.set(*shown + WINDOW))
    };
    let may = shop.desk().may(Duty::DrawReplacements);
    let lead = format!(
        "{} notes in {} bundles, {} still to insert.",
        count(lines.len() as u64),
        count(bundles.len() as u64),
        count(on_hand as u64)
    );
    let label = format!("Mark all {} as inserted", count(on_hand as u64));
    let onconfirm = {
        let (shop, lot, done) = (shop.clone(), props.lot, ask(false));
        Callback::from(move |()| {
            done.emit(());
            mark_now(&shop, lot, |_| true);
        })
    };
    let row = |bundle: &&[PickLine]| rows(&shop, props.lot, bundle, may);
    html! {
        <Panel title="Pick list" {lead} class="picks">
            <div class="actions">
                <PickPaper lot={props.lot} />
                if on_hand > 0 {
                    <button type="button" disabled={!may} onclick={ask(true).reform(|_: MouseEvent| ())} data-action="inserted-all">{ &label }</button>
                }
            </div>
            if *asking && on_hand > 0 {
                <Confirm action={label} {onconfirm} oncancel={ask(false)}
                    text="The book then says that every one of these notes lies in its bundle. That cannot be taken back." />
            }
            if !may { <p>{ "Reporting notes inserted, spoiled or returned is for a supervisor." }</p> }
            <div class="table-frame">
                <table class="data pick-table">
                    <caption class="sr-only">{ "Notes to pull and to insert, by stack, position and depth from the top" }</caption>
                    <thead><tr>
                        <th scope="col" class="num">{ "Depth from the top" }</th>
                        <th scope="col">{ "Pull" }</th>
                        <th scope="col">{ "Insert" }</th>
                        <th scope="col">{ "Status" }</th>
                        <th scope="col"><span class="sr-only">{ "Report" }</span></th>
                    </tr></thead>
                    { for bundles.iter().take(*shown).map(row) }
                </table>
            </div>
            if rest > 0 {
                <p><button type="button" onclick={more}>{ format!("Show more ({} bundles left)", count(rest as u64)) }</button></p>
            }
            if may { <ReportForm report={SPOILED} /><ReportForm report={RETURNED} /> }
        </Panel>
    }
}

/// Marks the lines that a choice takes as inserted; refusals are shown as a message.
fn mark(
    shop: &Shop,
    lot: LotId,
    chosen: impl Fn(&PickLine) -> bool + 'static,
) -> Callback<MouseEvent> {
    let shop = shop.clone();
    Callback::from(move |_: MouseEvent| mark_now(&shop, lot, &chosen))
}

fn mark_now(shop: &Shop, lot: LotId, chosen: impl Fn(&PickLine) -> bool) {
    let mut lines = pick_list(&shop.state(), lot);
    lines.retain(chosen);
    shop.act(Action::Record(inserted_entries(&lines)));
}

fn rows(shop: &Shop, lot: LotId, bundle: &[PickLine], may: bool) -> Html {
    let Some(first) = bundle.first() else {
        return Html::default();
    };
    let number: BundleNo = first.bundle;
    let open = bundle
        .iter()
        .filter(|line| line.fate == Fate::OnHand)
        .count();
    let whole = mark(shop, lot, move |line| line.bundle == number);
    html! {
        <tbody key={number.number()} data-bundle={number.to_string()}>
            <tr class="bundle-row">
                <th scope="rowgroup" colspan="4">{ place(first) }</th>
                <td>if may && open > 0 {
                    <button type="button" onclick={whole} data-action="inserted-bundle">{ "Bundle inserted" }</button>
                }</td>
            </tr>
            { for bundle.iter().map(|line| note_row(shop, lot, line, may)) }
        </tbody>
    }
}

/// "Stack 2 · position A2 · bundle 6 · box 1".
pub fn place(line: &PickLine) -> String {
    format!(
        "Stack {} · position {} · bundle {} · box {}",
        line.stack, line.position, line.bundle, line.box_no
    )
}

/// "137 (37 in the bundle)", or "37" where the bundle is the whole height of the stack.
pub fn depth(line: &PickLine) -> String {
    match line.depth == line.in_bundle {
        true => line.depth.to_string(),
        false => format!("{} ({} in the bundle)", line.depth, line.in_bundle),
    }
}

fn note_row(shop: &Shop, lot: LotId, line: &PickLine, may: bool) -> Html {
    let insert = line.insert;
    let on_hand = line.fate == Fate::OnHand;
    let one = mark(shop, lot, move |line| line.insert == insert);
    html! {
        <tr key={insert.to_string()} data-row={insert.to_string()}>
            <td class="num">{ depth(line) }</td>
            <td class="mono">{ &line.pull_shown }if line.left_with_sheet { <span class="gone">{ "left with its sheet" }</span> }</td>
            <td class="mono">{ &line.insert_shown }</td>
            <td><span class={classes!("mark", fate_class(line.fate))}>{ fate_name(line.fate) }</span></td>
            <td>if may && on_hand {
                <button type="button" class="quiet" onclick={one} data-action="inserted">{ "Inserted" }</button>
            }</td>
        </tr>
    }
}

fn fate_class(fate: Fate) -> &'static str {
    match fate {
        Fate::OnHand => "open",
        Fate::Inserted => "good",
        Fate::Spoiled => "spoiled",
        Fate::Returned => "sealed",
    }
}

/// What is reported of a replacement note that is not inserted.
#[derive(Clone, Copy)]
struct Report {
    read: fn(&Typed, &State) -> Result<Entry, FieldErrors>,
    title: &'static str,
    serial: &'static str,
    serial_hint: &'static str,
    reason: &'static str,
    reason_hint: &'static str,
    button: &'static str,
    action: &'static str,
}

/// Functions cannot be compared; the action names the report.
impl PartialEq for Report {
    fn eq(&self, other: &Self) -> bool {
        self.action == other.action
    }
}

/// It becomes a spoil, and its place needs another.
const SPOILED: Report = Report {
    read: replacement_spoiled,
    title: "Replacement spoiled",
    serial: "spoiled-serial",
    serial_hint: "As printed; it becomes a spoil",
    reason: "spoiled-reason",
    reason_hint: "Such as torn on insertion",
    button: "Record it as spoiled",
    action: "replacement-spoiled",
};

/// It was not used and is given back, and its place needs another.
const RETURNED: Report = Report {
    read: replacement_returned,
    title: "Replacement returned unused",
    serial: "returned-serial",
    serial_hint: "As printed; it is never drawn again",
    reason: "returned-reason",
    reason_hint: "Such as its sheet was ruled amiss",
    button: "Record it as returned",
    action: "replacement-returned",
};

#[derive(Properties, PartialEq)]
struct ReportProps {
    report: Report,
}

/// One note by its serial, and why.
#[function_component]
fn ReportForm(props: &ReportProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let report = props.report;
    let onsubmit = {
        let form = form.clone();
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let entry = (report.read)(form.typed(), &shop.state());
            let result = entry.and_then(|entry| {
                shop.record(vec![entry])
                    .map_err(|why| FieldErrors::one("", why))
            });
            match result {
                Ok(()) => form.reset(Typed::default()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    html! {
        <form class="spoiled-form" {onsubmit} novalidate=true>
            <h3>{ report.title }</h3>
            <ErrorSummary form={form.clone()} />
            <div class="fields">
                <Field form={form.clone()} name={report.serial} label="Serial of the replacement note" hint={report.serial_hint} mono=true />
                <Field form={form.clone()} name={report.reason} label="Reason" hint={report.reason_hint} />
            </div>
            <button type="submit" data-action={report.action}>{ report.button }</button>
        </form>
    }
}
