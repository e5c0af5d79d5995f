//! The day of several benches in tables, each row with its bench.

use yew::prelude::*;

use crate::book::{BookName, Conflict, LotTogether};
use crate::desk::Action;
use crate::export::{DayRecord, ExaminedRow, Of, SeveralDay};
use crate::sheet::LotId;
use crate::ui::Shop;
use crate::ui::kit::count;

use super::super::part::{Heading, table};
use super::super::summary::{interval, percent};

/// Rows of a list on the page; the saved tables have them all.
const SHOWN: usize = 60;

pub fn tables(shop: &Shop, day: &SeveralDay) -> Html {
    html! {
        <>
            { remarks(&day.remarks) }
            { books(shop, day) }
            { conflicts(&day.conflicts) }
            { products(day) }
            { lots(day) }
            { causes(day) }
            { notes(day) }
            { containers(day) }
            { sessions(day) }
        </>
    }
}

fn remarks(remarks: &[String]) -> Html {
    if remarks.is_empty() {
        return Html::default();
    }
    html! {
        <div class="remarks">
            <strong>{ "To be said of it" }</strong>
            <ul>{ for remarks.iter().map(|remark| html! { <li>{ remark.clone() }</li> }) }</ul>
        </div>
    }
}

/// The books with their figures, all of them together first.
fn books(shop: &Shop, day: &SeveralDay) -> Html {
    let own = BookName::of(&shop.desk().book);
    let row = |(name, record): &(BookName, DayRecord)| {
        let here = own.as_ref() == Some(name);
        let take_out = {
            let name = name.clone();
            shop.on(move |_: MouseEvent| Action::TakeGuestOut(name.clone()))
        };
        let closed = match (&record.closed, record.acts.entries) {
            (Some(closed), _) => format!("closed, entry {}", closed.entry),
            (None, 0) => "nothing recorded".to_owned(),
            (None, _) => "open".to_owned(),
        };
        html! {
            <tr key={name.head.to_string()} data-bench={name.bench.to_string()}>
                <th scope="row"><span class="mono">{ name.bench.to_string() }</span>{ if here { ", here" } else { "" } }</th>
                { figures(record.whole_day()) }
                <td class="num">{ count(name.lines) }</td>
                <td class="mono">{ name.head.short() }</td>
                <td>{ closed }</td>
                <td class="no-print">
                    if !here {
                        <button type="button" class="quiet" onclick={take_out} data-action="take-out" aria-label={format!("Take out the book of bench {}", name.bench)}>{ "Take out" }</button>
                    }
                </td>
            </tr>
        }
    };
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ "By bench" }</caption>
                <thead><tr>
                    <th scope="col">{ "Bench" }</th>
                    <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "Good" }</th>
                    <th scope="col" class="num">{ "Mixed" }</th><th scope="col" class="num">{ "Spoiled" }</th>
                    <th scope="col" class="num">{ "Notes spoiled" }</th><th scope="col" class="num">{ "Spoilage" }</th>
                    <th scope="col" class="num">{ "95 % interval" }</th>
                    <th scope="col" class="num">{ "Entries" }</th><th scope="col">{ "Head" }</th>
                    <th scope="col">{ "Day" }</th><th scope="col" class="no-print"><span class="sr-only">{ "Take out" }</span></th>
                </tr></thead>
                <tbody>
                    <tr class="whole" data-bench="all"><th scope="row">{ "All together" }</th>{ figures(day.whole_day()) }<td colspan="4"></td></tr>
                    { for day.benches.iter().map(row) }
                </tbody>
            </table>
        </div>
    }
}

fn figures(row: &ExaminedRow) -> Html {
    html! {
        <>
            <td class="num" data-figure="sheets">{ count(row.sheets) }</td>
            <td class="num" data-figure="good">{ count(row.good) }</td>
            <td class="num" data-figure="mixed">{ count(row.mixed) }</td>
            <td class="num" data-figure="spoiled">{ count(row.spoiled) }</td>
            <td class="num" data-figure="notes-spoiled">{ count(row.notes_spoiled) }</td>
            <td class="num">{ row.spoilage.map(|rate| percent(rate.ppm)) }</td>
            <td class="num">{ row.spoilage.map(|rate| interval(&rate)) }</td>
        </>
    }
}

/// Every conflict with both its sides, the gravest first.
fn conflicts(conflicts: &[Conflict]) -> Html {
    if conflicts.is_empty() {
        return html! { <p class="hint">{ "The books do not contradict each other." }</p> };
    }
    let row = |(number, conflict): (usize, &Conflict)| {
        let (one, other) = conflict.sides();
        html! {
            <tr data-conflict={number.to_string()}>
                <td class="num">{ number }</td>
                <th scope="row">{ conflict.to_string() }</th>
                <td>{ one }</td>
                <td>{ other }</td>
            </tr>
        }
    };
    let rows = (1..).zip(conflicts).take(SHOWN);
    html! {
        <>
            <div class="table-frame">
                <table class="data conflicts">
                    <caption>{ "Conflicts, for people to settle at the benches: nothing is settled here" }</caption>
                    <thead><tr>
                        <th scope="col" class="num">{ "No." }</th><th scope="col">{ "What contradicts" }</th>
                        <th scope="col">{ "One side" }</th><th scope="col">{ "Other side" }</th>
                    </tr></thead>
                    <tbody>{ for rows.map(row) }</tbody>
                </table>
            </div>
            { more(conflicts.len(), "conflicts") }
        </>
    }
}

fn products(day: &SeveralDay) -> Html {
    let rows = day.together.examined.iter();
    let rows = rows.filter_map(|row| match row.of {
        Of::Product(product) => {
            let figures = [
                row.sheets,
                row.good,
                row.mixed,
                row.spoiled,
                row.notes_spoiled,
            ];
            let name = format!("{product} {}", row.name);
            let figures = figures.map(count).into_iter();
            let rate = row.spoilage.map(|rate| percent(rate.ppm));
            Some(
                std::iter::once(name)
                    .chain(figures)
                    .chain([rate.unwrap_or_default()])
                    .collect(),
            )
        }
        _ => None,
    });
    let headings = [
        ("Product", false),
        ("Sheets", true),
        ("Good", true),
        ("Mixed", true),
        ("Spoiled", true),
        ("Notes spoiled", true),
        ("Spoilage", true),
    ];
    listed("By product", "examined", &headings, rows.collect())
}

fn lots(day: &SeveralDay) -> Html {
    let row = |(lot, sheets): (&LotId, &LotTogether)| {
        let LotTogether {
            sheets: all,
            good,
            mixed,
            spoiled,
            contested,
        } = *sheets;
        let figures = [all, good, mixed, spoiled, contested, sheets.not_examined()];
        let figures = figures.map(|figure| count(u64::from(figure)));
        std::iter::once(lot.to_string()).chain(figures).collect()
    };
    let headings = [
        ("Lot", false),
        ("Sheets", true),
        ("Good", true),
        ("Mixed", true),
        ("Spoiled", true),
        ("Ruled by more than one", true),
        ("Not examined", true),
    ];
    let rows = day.lots.iter().map(row);
    listed(
        "Lots, as the books stand",
        "lots",
        &headings,
        rows.collect(),
    )
}

fn causes(day: &SeveralDay) -> Html {
    let classes = day.together.tags.iter();
    let row = classes.filter_map(|row| {
        Some(vec![
            format!("{} {}", row.class?, row.name),
            row.step.name().to_owned(),
            count(row.tags),
            count(row.sheets),
            percent(row.share_ppm),
            percent(row.cumulative_ppm),
        ])
    });
    let headings = [
        ("Class", false),
        ("Step", false),
        ("Tags", true),
        ("Sheets", true),
        ("Part", true),
        ("Together with those above", true),
    ];
    listed("Causes over all benches", "tags", &headings, row.collect())
}

fn notes(day: &SeveralDay) -> Html {
    let row = |bench: String, acts: &crate::export::Acts| {
        let figures = [
            acts.replacements_drawn,
            acts.replacements_inserted,
            acts.replacements_spoiled,
            acts.replacements_returned,
            acts.containers_sealed,
            acts.sessions,
            acts.sheets_destroyed,
            acts.notes_destroyed,
            acts.corrections + acts.overrulings + acts.custody_corrections,
        ];
        std::iter::once(bench).chain(figures.map(count)).collect()
    };
    let all = row("All together".to_owned(), &day.together.acts);
    let each = day
        .benches
        .iter()
        .map(|(name, record)| row(name.bench.to_string(), &record.acts));
    let headings = [
        ("Bench", false),
        ("Replacements drawn", true),
        ("Inserted", true),
        ("Spoiled", true),
        ("Returned", true),
        ("Containers sealed", true),
        ("Sessions", true),
        ("Sheets destroyed", true),
        ("Notes destroyed", true),
        ("Corrections", true),
    ];
    let rows = std::iter::once(all).chain(each).collect();
    listed("Done on the day", "day", &headings, rows)
}

fn containers(day: &SeveralDay) -> Html {
    let rows = day.benches.iter().flat_map(|(name, record)| {
        record.containers.iter().map(|row| {
            vec![
                row.container.to_string(),
                name.bench.to_string(),
                row.state.to_owned(),
                row.seal.map_or_else(String::new, |seal| seal.to_string()),
                count(row.sheets),
                count(row.notes),
                row.place.clone().unwrap_or_default(),
            ]
        })
    });
    let headings = [
        ("Container", false),
        ("Bench", false),
        ("State", false),
        ("Seal", false),
        ("Sheets", true),
        ("Notes", true),
        ("Place", false),
    ];
    let rows = rows.collect();
    listed(
        "Containers in the cages, and those of the day",
        "containers",
        &headings,
        rows,
    )
}

fn sessions(day: &SeveralDay) -> Html {
    let rows = day.benches.iter().flat_map(|(name, record)| {
        record.sessions.iter().map(|row| {
            let witnesses: Vec<_> = row.witnesses.iter().map(ToString::to_string).collect();
            vec![
                row.session.to_string(),
                name.bench.to_string(),
                format!("{}, {}", row.place, row.method),
                count(row.sheets),
                count(row.notes),
                witnesses.join(", "),
                row.entry.to_string(),
            ]
        })
    });
    let headings = [
        ("Session and certificate", false),
        ("Bench", false),
        ("Where and how", false),
        ("Sheets", true),
        ("Notes", true),
        ("Witnesses", false),
        ("Entry", true),
    ];
    let rows = rows.collect();
    listed("Destructions of the day", "sessions", &headings, rows)
}

/// A titled table of the first rows; nothing when there are none.
fn listed(title: &str, name: &'static str, headings: &[Heading], rows: Vec<Vec<String>>) -> Html {
    if rows.is_empty() {
        return Html::default();
    }
    let all = rows.len();
    html! {
        <>
            <h3>{ title.to_owned() }</h3>
            { table(title, headings, rows.into_iter().take(SHOWN)) }
            { more(all, name) }
        </>
    }
}

fn more(rows: usize, name: &'static str) -> Html {
    match rows.saturating_sub(SHOWN) {
        0 => Html::default(),
        left => html! {
            <p class="hint">{ format!("{} more are in the table \"{name}\" of the saved day.", count(left as u64)) }</p>
        },
    }
}
