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
mod summary;
mod workbook;

use std::collections::BTreeSet;
use std::rc::Rc;

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::Hash;
use crate::export::{DayRecord, day_record};
use crate::people::Day;
use crate::ui::kit::Empty;
use crate::ui::use_shop;

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
    let record = {
        let shop = shop.clone();
        use_memo((head, day), move |(_, day)| {
            day_record(&shop.desk().book, *day).map(Rc::new)
        })
    };
    let Some(record) = (*record).clone().map(Record) else {
        return html! { <Empty text="The book is not open." /> };
    };
    let choose = Callback::from(move |day| chosen.set(Some(day)));
    // What is worked out from single sheets and sessions would be wrong where they are not here.
    let whole = !shop.state().is_archived(day);
    html! {
        <div class="page day">
            <header class="screen-head">
                <h1>{ format!("Day record {day}") }</h1>
                <p class="lead">{ format!("Bench {}, {}; the day ends at {:02}:00", record.bench, record.works, record.cut_over_hour) }</p>
                <div class="actions no-print">
                    <DayPick {day} {today} {choose} />
                    <export::Exports record={record.clone()} />
                </div>
            </header>
            if record.practice {
                <p class="print-practice print-only">{ "PRACTICE. Everything in this record is invented." }</p>
            }
            { closing::archived(&shop.state(), day) }
            <closing::Late record={record.clone()} />
            { compared::remarks(&record) }
            { summary::summary(&record) }
            <div class="day-parts">
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
                    <lists::SheetsNotGood record={record} />
                }
                <several::Several {day} />
            </div>
        </div>
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
