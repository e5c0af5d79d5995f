//! Several benches together: books of others brought in beside the own one, their day in one, and
//! where they contradict each other.

mod reading;
mod tables;

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use web_sys::File;
use yew::prelude::*;

use crate::book::{BookName, Copied};
use crate::desk::{Action, BroughtIn, Download};
use crate::export::{SeveralDay, SeveralMaking, several_stem, several_zip};
use crate::people::Day;
use crate::ui::kit::{Panel, count, pick_files};
use crate::ui::{Shop, use_shop};

use super::export::copy;
use super::slices::{under_way, use_slices};
use reading::{HowFar, Task};

#[derive(Properties, PartialEq)]
pub struct SeveralProps {
    pub day: Day,
}

/// Set to give the reading up.
type Stop = Rc<RefCell<Rc<Cell<bool>>>>;

/// The part of the day that other benches' books are brought to.
#[function_component]
pub fn Several(props: &SeveralProps) -> Html {
    let shop = use_shop();
    let reading = use_state(|| None::<HowFar>);
    let stop: Stop = use_mut_ref(Rc::default);
    let leaving = Rc::clone(&stop);
    use_effect_with((), move |()| move || leaving.borrow().set(true));
    let onfiles = {
        let (shop, reading, stop) = (shop.clone(), reading.clone(), Rc::clone(&stop));
        move |files: Vec<File>| {
            let stopped = Rc::new(Cell::new(false));
            stop.replace(Rc::clone(&stopped));
            let told = reading.clone();
            let task = Task {
                shop: shop.clone(),
                stopped,
                told: Box::new(move |far| told.set(far)),
            };
            wasm_bindgen_futures::spawn_local(async move { task.run(files).await });
        }
    };
    let onstop = Callback::from(move |_: MouseEvent| stop.borrow().set(true));
    // The day is worked out once all files are read, not after each.
    let names: Vec<BookName> = match *reading {
        Some(_) => Vec::new(),
        None => shop.desk().visit.guests.names().cloned().collect(),
    };
    let head = shop.desk().book.head();
    let worked = use_slices::<SeveralMaking>((names, head, props.day));
    let day = worked.made.filter(|made| made.day == props.day);
    let title = day
        .as_ref()
        .map_or_else(|| "Several benches".to_owned(), |day| headline(day));
    html! {
        <Panel {title} class={classes!("wide", "several", "no-print")} lead="Books that other benches have saved, laid beside the book here to see the day as one. Every line of them is checked first. They are only read: nothing of them goes into the book here, and they are forgotten when this page is closed or reloaded.">
            <div class="several-tools no-print">
                if let Some(far) = &*reading {
                    { progress(far, onstop) }
                } else {
                    { pick_files("bring-guests", "Bring in books", ".jsonl", onfiles) }
                    if let Some(per_cent) = worked.per_cent {
                        { under_way("Working out the day of all benches", "several", per_cent) }
                    } else if let Some(day) = &day {
                        { save_button(&shop, day) }
                    }
                }
            </div>
            { files(&shop.desk().visit.files) }
            if let Some(day) = &day { { tables::tables(&shop, day) } }
        </Panel>
    }
}

fn headline(day: &SeveralDay) -> String {
    let whole = day.whole_day();
    let benches = format!("{} books together", day.benches.len());
    let rate = whole.spoilage.map_or_else(
        || "no sheet examined".to_owned(),
        |rate| {
            let spoilage = super::summary::percent(rate.ppm);
            format!(
                "{} sheets examined, spoilage {spoilage}",
                count(whole.sheets)
            )
        },
    );
    match day.conflicts.len() {
        0 => format!("{benches}: {rate}"),
        1 => format!("{benches}: {rate}, 1 conflict"),
        more => format!("{benches}: {rate}, {} conflicts", count(more as u64)),
    }
}

fn progress(far: &HowFar, onstop: Callback<MouseEvent>) -> Html {
    let (of, at) = (far.files, far.at);
    html! {
        <div class="making" role="status" data-making="guests">
            <progress max="100" value={far.per_cent.to_string()} />
            <span>{ format!("{} ({at} of {of}): {} lines hold", far.file, count(far.lines)) }</span>
            <button type="button" class="quiet" onclick={onstop} data-action="stop-guests">{ "Stop" }</button>
        </div>
    }
}

/// What became of each file; those that do not count are said loudest.
fn files(files: &[BroughtIn]) -> Html {
    let failed = files
        .iter()
        .filter_map(|one| Some((&one.file, one.outcome.as_ref().err()?)));
    let failed: Vec<Html> = failed
        .map(|(file, why)| html! { <li><strong>{ file }</strong>{ " " }{ why }</li> })
        .collect();
    if failed.is_empty() {
        return Html::default();
    }
    html! {
        <div class="not-brought no-print" role="alert" data-not-brought={failed.len().to_string()}>
            <h3>{ "Not brought in" }</h3>
            <ul>{ failed }</ul>
        </div>
    }
}

/// The file carries the head of the book here too, so it counts as a copy that has left.
fn save_button(shop: &Shop, day: &Rc<SeveralDay>) -> Html {
    let (shop, day) = (shop.clone(), Rc::clone(day));
    let onclick = Callback::from(move |_: MouseEvent| match several_zip(&day) {
        Ok(bytes) => {
            let file = Download {
                name: format!("{}.zip", several_stem(day.day)),
                mime: "application/zip",
                bytes,
            };
            let head = shop.desk().book.head();
            copy(&shop, file, Copied::DayRecord, head);
        }
        Err(why) => shop.act(Action::Problem(why.to_string())),
    });
    html! {
        <button type="button" {onclick} data-action="save-several" title="A ZIP of CSV tables and JSON with the head of every book">{ "Save the day of all benches" }</button>
    }
}
