//! The sheets that are not good, with the way back to the Bench.

use std::collections::BTreeMap;

use yew::prelude::*;

use crate::book::{Exam, Lot, State};
use crate::desk::bench::Command;
use crate::desk::{Action, Screen};
use crate::inspect::{ClassCode, Source, Verdict};
use crate::people::Duty;
use crate::sheet::SheetNo;
use crate::ui::kit::{Empty, count};
use crate::ui::{Shop, use_shop};

use super::filter::{Filter, classes_of, filters, reasons_of};
use super::overrule::Overrule;
use super::screen::OfLot;

/// Rows shown at first, and more each time.
const WINDOW: usize = 200;
/// Position names written out before the rest is counted.
const NAMED: usize = 8;

#[function_component]
pub fn Sheets(props: &OfLot) -> Html {
    let shop = use_shop();
    let filter = use_state(Filter::default);
    let shown = use_state(|| WINDOW);
    let overruling = use_state(|| None::<SheetNo>);
    let state = shop.state();
    let Some(lot) = state.lots.get(&props.lot) else {
        return Html::default();
    };
    let rows: Vec<(SheetNo, &Exam)> = lot.listed().filter(|(_, exam)| filter.lets(exam)).collect();
    let onfilter = {
        let (filter, shown) = (filter.clone(), shown.clone());
        Callback::from(move |chosen| {
            filter.set(chosen);
            shown.set(WINDOW);
        })
    };
    let more = {
        let shown = shown.clone();
        Callback::from(move |_: MouseEvent| shown.set(*shown + WINDOW))
    };
    let may = shop.desk().may(Duty::Overrule);
    let rest = rows.len().saturating_sub(*shown);
    html! {
        <>
            if !may { <p class="hint">{ "Overruling a verdict is for a supervisor." }</p> }
            { filters(*filter, &classes_of(lot), &reasons_of(lot), &onfilter) }
            if rows.is_empty() {
                <Empty text="No sheet of this lot is mixed, spoiled or overruled by this choice." />
            } else {
                <div class="table-frame">
                    <table class="data" data-rows={rows.len().to_string()}>
                        <caption>{ format!("{} sheets", count(rows.len() as u64)) }</caption>
                        <thead><tr>
                            <th scope="col" class="num">{ "Sheet" }</th>
                            <th scope="col">{ "Verdict" }</th>
                            <th scope="col">{ "Reason" }</th>
                            <th scope="col">{ "Defective" }</th>
                            if lot.is_numbered() { <th scope="col">{ "Serials" }</th> }
                            <th scope="col">{ "Tags" }</th>
                            <th scope="col">{ "Examined by" }</th>
                            <th scope="col" class="pinned"><span class="sr-only">{ "Show or overrule" }</span></th>
                        </tr></thead>
                        <tbody>{ for rows.iter().take(*shown).map(|(sheet, exam)| row(&shop, &state, lot, *sheet, exam, &overruling)) }</tbody>
                    </table>
                </div>
                if rest > 0 {
                    <p><button type="button" onclick={more}>{ format!("Show more ({} left)", count(rest as u64)) }</button></p>
                }
            }
        </>
    }
}

fn row(
    shop: &Shop,
    state: &State,
    lot: &Lot,
    sheet: SheetNo,
    exam: &Exam,
    overruling: &UseStateHandle<Option<SheetNo>>,
) -> Html {
    let ruling = &exam.ruling;
    let id = lot.id;
    let show = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| show_on_bench(&shop, id, sheet))
    };
    let open = **overruling == Some(sheet);
    let set = |now: Option<SheetNo>| {
        let overruling = overruling.clone();
        Callback::from(move |()| overruling.set(now))
    };
    let toggle = set((!open).then_some(sheet)).reform(|_: MouseEvent| ());
    let may = lot.closed.is_none() && shop.desk().may(Duty::Overrule);
    html! {
        <>
            <tr key={sheet.number()} data-row={sheet.to_string()}>
                <th scope="row" class="num">{ count(sheet.number()) }</th>
                <td><span class={classes!("mark", ruling.verdict.name())}>{ ruling.verdict.name() }</span></td>
                <td class="reason">{ ruling.reason.to_string() }</td>
                <td class="mono">{ defective(lot, exam) }</td>
                if lot.is_numbered() { { serials(lot, sheet, exam) } }
                <td class="mono tagged">{ tags(exam) }</td>
                <td class="examiner">{ state.name_of(exam.by) }
                    <span class="word">{ entries(exam) }</span>
                    if let Some(word) = exam.machine_word() { <span class="word">{ word }</span> }
                </td>
                <td class="pinned"><div class="row-actions">
                    <button type="button" onclick={show} title="Show it on the Bench" data-action="show">{ "Show" }</button>
                    if may {
                        <button type="button" onclick={toggle} aria-expanded={open.to_string()} data-action="overrule">{ "Overrule" }</button>
                    }
                </div></td>
            </tr>
            if open && may {
                <tr key={format!("{sheet} overrule")} class="under"><td colspan={if lot.is_numbered() { "8" } else { "7" }}><h2>{ format!("Overrule the verdict on sheet {}", count(sheet.number())) }</h2><Overrule lot={id} {sheet} done={set(None)} /></td></tr>
            }
        </>
    }
}

/// "entry 24", "entry 28, corrects 27", or "entry 24, overruled in 30".
fn entries(exam: &Exam) -> String {
    let mut examined = format!("entry {}", count(exam.examined_in()));
    if let Some((corrected, _)) = &exam.corrects {
        examined += &format!(", corrects {}", count(*corrected));
    }
    match exam.overruled {
        None => examined,
        Some(_) => format!("{examined}, overruled in {}", count(exam.seq)),
    }
}

/// The serials of its lost notes, the first written out; or why the sheet has none.
fn serials(lot: &Lot, sheet: SheetNo, exam: &Exam) -> Html {
    if let Some(gone) = lot.gone(sheet) {
        return html! { <td class="soft">{ gone.to_string() }</td> };
    }
    let lost = lot.lost(&exam.ruling);
    let first = lost
        .first()
        .and_then(|first| lot.serial_shown(sheet, *first));
    let more = match lost.len() {
        0 | 1 => String::new(),
        length => format!(" +{}", length - 1),
    };
    html! { <td class="mono serials">{ first.unwrap_or_default() }{ more }</td> }
}

fn show_on_bench(shop: &Shop, lot: crate::sheet::LotId, sheet: SheetNo) {
    if shop.desk().bench.lot != Some(lot) {
        shop.act(Action::ChooseLot(lot));
    }
    shop.act(Action::Bench(Command::Turn(sheet)));
    shop.go(Screen::Bench);
}

/// "A1, A2, B1 and 3 more"; on a spoiled sheet all go.
fn defective(lot: &Lot, exam: &Exam) -> String {
    let layout = &lot.product.layout;
    let names: Vec<&str> = exam
        .ruling
        .defective
        .iter(layout)
        .map(|position| layout.name(position))
        .collect();
    let named = names
        .iter()
        .take(NAMED)
        .copied()
        .collect::<Vec<_>>()
        .join(" ");
    match (names.len(), exam.ruling.verdict) {
        (0, Verdict::Spoiled) => "all".to_owned(),
        (length, _) if length > NAMED => format!("{named} +{}", length - NAMED),
        _ => named,
    }
}

/// "OM, IW ×5, PT by machine".
fn tags(exam: &Exam) -> String {
    let mut counts: BTreeMap<(ClassCode, Source), usize> = BTreeMap::new();
    for tag in &exam.tags {
        *counts.entry((tag.class, tag.source)).or_default() += 1;
    }
    let one = |((class, source), count): ((ClassCode, Source), usize)| {
        let times = if count == 1 {
            String::new()
        } else {
            format!(" ×{count}")
        };
        let machine = if source == Source::Machine {
            " by machine"
        } else {
            ""
        };
        format!("{class}{times}{machine}")
    };
    counts.into_iter().map(one).collect::<Vec<_>>().join(", ")
}
