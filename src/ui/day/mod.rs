//! The Day screen: what one production day adds up to, its closing, and what leaves the machine.
//! Printed as it stands, it is the day record.

mod acts;
mod causes;
mod charts;
mod closing;
mod compared;
mod examined;
mod export;
mod handover;
mod head;
mod hours;
mod lists;
mod maps;
mod part;
mod press;
mod several;
mod slices;
mod summary;
mod workbook;

use std::collections::BTreeSet;
use std::rc::Rc;

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::Hash;
use crate::export::{DayRecord, RecordMaking};
use crate::people::Day;
use crate::ui::kit::Empty;
use crate::ui::{Shop, use_shop};

use slices::{under_way, use_slices};

/// The record as the parts of the screen share it. Two of the same head and day are the same.
#[derive(Clone)]
pub struct Record(Rc<DayRecord>);

impl PartialEq for Record {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

impl std::ops::Deref for Record {
    type Target = DayRecord;

    fn deref(&self) -> &DayRecord {
        &self.0
    }
}

impl Record {
    fn key(&self) -> (Hash, Day) {
        (self.0.head, self.0.day)
    }
}

/// What every part of the screen shows.
#[derive(Properties, PartialEq)]
pub struct RecordProps {
    pub record: Record,
}

#[function_component]
pub fn DayScreen() -> Html {
    let shop = use_shop();
    let today = shop.state().day_of(&shop.now());
    let chosen = use_state(|| None::<Day>);
    let day = chosen.unwrap_or(today);
    let head = shop.desk().book.head();
    let worked = use_slices::<RecordMaking>((head, day));
    if shop.state().opened.is_none() {
        return html! { <Empty text="The book is not open." /> };
    }
    // While the next is worked out, the last one of the same day stays.
    let record = worked.made.filter(|made| made.day == day).map(Record);
    let choose = Callback::from(move |day| chosen.set(Some(day)));
    html! {
        <div class="page day">
            <header class="screen-head">
                <h1>{ format!("Day record {day}") }</h1>
                { lead(record.as_ref(), worked.per_cent) }
                <div class="actions no-print">
                    <DayPick {day} {today} {choose} />
                    if let Some(record) = &record { <export::Exports record={record.clone()} /> }
                </div>
            </header>
            // Another day is drawn anew and not made of the one before: an archived day has fewer
            // parts, and Yew 0.23 loses its place where components stand before parts that go.
            <div class="day-one" key={day.to_string()}>
                if let Some(record) = &record { { beginning(&shop, record) } }
                <div class="day-parts">
                    if let Some(record) = record { { parts(&shop, record) } }
                </div>
            </div>
            <div class="day-parts">
                <several::Several {day} />
            </div>
        </div>
    }
}

/// Whose day it is, or how far it is worked out.
fn lead(record: Option<&Record>, per_cent: Option<usize>) -> Html {
    match (record, per_cent) {
        (_, Some(per_cent)) => under_way("Working out the day", "day", per_cent),
        (None, None) => Html::default(),
        (Some(record), None) => html! {
            <p class="lead">{ format!("Bench {}, {}; the day ends at {:02}:00", record.bench, record.works, record.cut_over_hour) }</p>
        },
    }
}

fn beginning(shop: &Shop, record: &Record) -> Html {
    html! {
        <>
            if record.practice {
                <p class="print-practice print-only">{ "PRACTICE. Everything in this record is invented." }</p>
            }
            <p class="print-only">{ printed(shop, record) }</p>
            { closing::archived(&shop.state(), record.day) }
            <closing::Late record={record.clone()} />
            { compared::remarks(record) }
            { summary::summary(record) }
        </>
    }
}

/// Of the paper: when, by whom, and whether the day may still change.
fn printed(shop: &Shop, record: &Record) -> String {
    let by = shop.desk().signer_name().unwrap_or_default();
    let closed = match &record.closed {
        Some(closed) => format!("closed in entry {}", closed.entry),
        None => "not closed yet: more may be recorded for it".to_owned(),
    };
    format!(
        "Printed {} by {by}. The day is {closed}.",
        shop.now().dated()
    )
}

fn parts(shop: &Shop, record: Record) -> Html {
    // What is worked out from single sheets and sessions would be wrong where they are not here.
    let whole = !shop.state().is_archived(record.day);
    html! {
        <>
            { compared::compared(&record) }
            { causes::causes(&record) }
            if whole {
                <charts::Charts record={record.clone()} />
                <maps::Maps record={record.clone()} />
                { press::findings(&record) }
            }
            { hours::hours(&record) }
            { examined::examined(&record) }
            { acts::day_acts(&record) }
            { acts::carried_in_and_over(&record) }
            <closing::Closing record={record.clone()} />
            <handover::Handover />
            { head::head(&record) }
            { press::series(&record) }
            <lists::BalanceOfLots record={record.clone()} />
            if whole {
                { press::corrections(&record) }
                <lists::Sessions record={record.clone()} />
                <lists::SheetsNotGood {record} />
            }
        </>
    }
}

#[derive(Properties, PartialEq)]
struct DayPickProps {
    day: Day,
    today: Day,
    choose: Callback<Day>,
}

/// Today, then every day of the book, the latest first.
#[function_component]
fn DayPick(props: &DayPickProps) -> Html {
    let shop = use_shop();
    let (choose, today) = (props.choose.clone(), props.today);
    let onchange = Callback::from(move |event: Event| {
        let value = event.target_unchecked_into::<HtmlSelectElement>().value();
        // The values are days of the list below.
        choose.emit(value.parse().unwrap_or(today));
    });
    let (desk, state) = (shop.desk(), shop.state());
    let books = desk.visit.guests.beside(&desk.book);
    let days = books
        .iter()
        .flat_map(|book| book.verifier().state().days.keys());
    let days: BTreeSet<Day> = days.copied().collect();
    let earlier = days.into_iter().rev().filter(|day| *day != today);
    let option = |day: Day| {
        let mut shown = day.to_string();
        if day == today {
            shown += ", today";
        }
        if state.is_archived(day) {
            shown += ", in the archive";
        } else if state.closed_days.contains_key(&day) {
            shown += ", closed";
        }
        html! { <option key={day.to_string()} value={day.to_string()} selected={day == props.day}>{ shown }</option> }
    };
    let options = std::iter::once(today)
        .chain(earlier)
        .map(option)
        .collect::<Html>();
    html! {
        <label class="pick-one">
            <span>{ "Day" }</span>
            <select id="day-pick" data-pick="day" {onchange}>{ options }</select>
        </label>
    }
}
