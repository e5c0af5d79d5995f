//! The day as a workbook: made away from the page, with how far it is and a way to stop it.

use std::cell::RefCell;
use std::rc::Rc;

use yew::prelude::*;

use crate::book::Copied;
use crate::desk::{Action, Download, HowFar, Making};
use crate::export::{Cover, DayTables, stem};
use crate::ui::kit::count;
use crate::ui::{Shop, use_shop};

use super::export::copy;
use super::{Record, RecordProps};

/// How far the workbook is.
#[derive(Clone, Copy, PartialEq)]
enum Stand {
    Rows { done: usize, of: usize },
    Packing,
}

/// The work under way; dropping it stops it.
type Work = Rc<RefCell<Option<Box<dyn Making>>>>;

#[function_component]
pub fn SaveWorkbook(props: &RecordProps) -> Html {
    let shop = use_shop();
    let stand = use_state(|| None::<Stand>);
    let work: Work = use_mut_ref(|| None);
    let start = {
        let (shop, record, stand, work) = (
            shop.clone(),
            props.record.clone(),
            stand.clone(),
            work.clone(),
        );
        Callback::from(move |_: MouseEvent| begin(&shop, &record, &stand, &work))
    };
    let stop = {
        let (stand, work) = (stand.clone(), work.clone());
        Callback::from(move |_: MouseEvent| {
            work.replace(None);
            stand.set(None);
        })
    };
    let said = match *stand {
        None => {
            return html! {
                <button type="button" onclick={start} data-action="save-xlsx" title="One workbook with the same tables">{ "Save the day as XLSX" }</button>
            };
        }
        Some(Stand::Rows { done, of }) => {
            format!("{} of {} rows", count(done as u64), count(of as u64))
        }
        Some(Stand::Packing) => "packing the file".to_owned(),
    };
    html! {
        <span class="making" role="status" data-making="xlsx">
            <span>{ format!("Workbook: {said}") }</span>
            <button type="button" class="quiet" onclick={stop} data-action="stop-xlsx">{ "Stop" }</button>
        </span>
    }
}

fn begin(shop: &Shop, record: &Record, stand: &UseStateHandle<Option<Stand>>, work: &Work) {
    let set = DayTables::of(record);
    let of = set.rows();
    stand.set(Some(Stand::Rows { done: 0, of }));
    let told = {
        let (shop, record, stand) = (shop.clone(), record.clone(), stand.clone());
        let work = Rc::downgrade(work);
        move |told: HowFar| {
            let ended = match told {
                HowFar::Rows(done) => return stand.set(Some(Stand::Rows { done, of })),
                HowFar::Packing => return stand.set(Some(Stand::Packing)),
                HowFar::Made(bytes) => Ok(bytes),
                HowFar::Failed(why) => Err(why),
            };
            stand.set(None);
            if let Some(work) = work.upgrade() {
                work.replace(None);
            }
            match ended {
                Ok(bytes) => copy(
                    &shop,
                    workbook(&record, bytes),
                    Copied::DayRecord,
                    record.head,
                ),
                Err(why) => shop.act(Action::Problem(why)),
            }
        }
    };
    let making = shop.make_workbook(Cover::of(record, &set), set, Box::new(told));
    work.replace(Some(making));
}

fn workbook(record: &Record, bytes: Vec<u8>) -> Download {
    Download {
        name: format!("{}_day.xlsx", stem(&record.bench, record.day)),
        mime: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        bytes,
    }
}
