//! A workbook made in a worker of its own, which runs this very program: the page sends a slice
//! of rows at a time and waits until it is taken in, so that neither holds up the page nor piles
//! up. Stopping it ends the worker, whatever it is doing.

use std::borrow::Cow;
use std::cell::RefCell;
use std::rc::Rc;

use js_sys::Uint8Array;
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, Event, MessageEvent, Worker};

use crate::desk::{HowFar, Making};
use crate::export::{Cover, DayTable, DayTables, Row, XlsxDay, XlsxFailed};

use super::keyring::{as_text, from_text, program_worker};

/// Rows sent at once: a few milliseconds of the page's time.
const SLICE: usize = 1_000;

/// What the worker is asked, in this order.
#[derive(Serialize, Deserialize)]
pub(super) enum WorkbookAsk<'a> {
    Begin(Cow<'a, Cover>),
    /// A table without its rows.
    Table(Cow<'a, DayTable>),
    /// Rows of the table named last.
    Rows(Cow<'a, [Row]>),
    Finish,
}

/// What it answers. The bytes of the workbook come as they are.
#[derive(Serialize, Deserialize)]
enum WorkbookAnswer {
    TakenIn,
    Failed(String),
}

/// The page's side of the work.
struct Job {
    worker: Worker,
    inner: Rc<RefCell<Sending>>,
    // Kept as long as the worker may call them.
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(Event)>,
}

impl Making for Job {}

impl Drop for Job {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
        // Answers under way must not be heard any more.
        self.inner.borrow_mut().stopped = true;
    }
}

/// What is still to be sent.
struct Sending {
    cover: Option<Cover>,
    tables: DayTables,
    /// The table that is being sent, and its rows sent so far; before its header, none.
    table: usize,
    rows: Option<usize>,
    sent: usize,
    finished: bool,
    stopped: bool,
}

/// Nothing to stop.
struct Failed;

impl Making for Failed {}

/// Starts the work.
pub fn make(cover: Cover, tables: DayTables, told: Box<dyn Fn(HowFar)>) -> Box<dyn Making> {
    let told: Rc<dyn Fn(HowFar)> = Rc::from(told);
    match start(cover, tables, Rc::clone(&told)) {
        Ok(job) => Box::new(job),
        Err(why) => {
            told(HowFar::Failed(failed(&why)));
            Box::new(Failed)
        }
    }
}

fn failed(why: &JsValue) -> String {
    format!("The browser could not make the workbook ({why:?}). Save the day as CSV instead.")
}

fn start(cover: Cover, tables: DayTables, told: Rc<dyn Fn(HowFar)>) -> Result<Job, JsValue> {
    let worker = program_worker()?;
    let inner = Rc::new(RefCell::new(Sending {
        cover: Some(cover),
        tables,
        table: 0,
        rows: None,
        sent: 0,
        finished: false,
        stopped: false,
    }));
    let on_message = {
        let (worker, inner, told) = (worker.clone(), Rc::clone(&inner), Rc::clone(&told));
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            // Heard last of all: whoever listens may drop the work, and this closure with it.
            let said = hear(&worker, &inner, &event.data());
            let told = Rc::clone(&told);
            if let Some(said) = said {
                told(said);
            }
        })
    };
    let on_error = Closure::<dyn Fn(Event)>::new(move |_| {
        told(HowFar::Failed(failed(&JsValue::from_str(
            "its worker stopped",
        ))));
    });
    worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
    inner.borrow_mut().send_next(&worker)?;
    Ok(Job {
        worker,
        inner,
        _on_message: on_message,
        _on_error: on_error,
    })
}

fn hear(worker: &Worker, inner: &RefCell<Sending>, data: &JsValue) -> Option<HowFar> {
    let mut sending = inner.borrow_mut();
    if sending.stopped {
        return None;
    }
    if let Some(bytes) = data.dyn_ref::<Uint8Array>() {
        return Some(HowFar::Made(bytes.to_vec()));
    }
    match from_text(data)? {
        WorkbookAnswer::Failed(why) => Some(HowFar::Failed(why)),
        WorkbookAnswer::TakenIn => Some(match sending.send_next(worker) {
            Err(why) => HowFar::Failed(failed(&why)),
            Ok(()) if sending.finished => HowFar::Packing,
            Ok(()) => HowFar::Rows(sending.sent),
        }),
    }
}

impl Sending {
    /// Sends what comes next: the cover, then each table, then its rows slice by slice.
    fn send_next(&mut self, worker: &Worker) -> Result<(), JsValue> {
        if let Some(cover) = self.cover.take() {
            return post(worker, &WorkbookAsk::Begin(Cow::Owned(cover)));
        }
        let Some(table) = self.tables.tables.get(self.table) else {
            self.finished = true;
            return post(worker, &WorkbookAsk::Finish);
        };
        let Some(from) = self.rows else {
            self.rows = Some(0);
            let header = DayTable {
                name: table.name.clone(),
                about: table.about.clone(),
                columns: table.columns.clone(),
                rows: Vec::new(),
            };
            return post(worker, &WorkbookAsk::Table(Cow::Owned(header)));
        };
        let to = (from + SLICE).min(table.rows.len());
        let asked = post(
            worker,
            &WorkbookAsk::Rows(Cow::Borrowed(&table.rows[from..to])),
        );
        self.sent += to - from;
        self.rows = Some(to);
        if to == table.rows.len() {
            (self.table, self.rows) = (self.table + 1, None);
        }
        asked
    }
}

fn post(worker: &Worker, ask: &WorkbookAsk<'_>) -> Result<(), JsValue> {
    worker.post_message(&as_text(ask)?)
}

thread_local! {
    /// The workbook in the making, in the worker.
    static DAY: RefCell<Option<XlsxDay>> = const { RefCell::new(None) };
}

/// In the worker: does what is asked and answers.
pub(super) fn serve(scope: &DedicatedWorkerGlobalScope, ask: WorkbookAsk<'_>) {
    let answer = match work(ask) {
        Ok(Some(bytes)) => Ok(Uint8Array::from(bytes.as_slice()).into()),
        Ok(None) => as_text(&WorkbookAnswer::TakenIn),
        Err(why) => as_text(&WorkbookAnswer::Failed(why.to_string())),
    };
    if let Ok(answer) = answer {
        // A page that is gone waits for nothing.
        scope.post_message(&answer).unwrap_or_default();
    }
}

fn work(ask: WorkbookAsk<'_>) -> Result<Option<Vec<u8>>, XlsxFailed> {
    DAY.with_borrow_mut(|day| {
        match (ask, day.as_mut()) {
            (WorkbookAsk::Begin(cover), _) => *day = Some(XlsxDay::new(cover.into_owned())?),
            (WorkbookAsk::Table(table), Some(day)) => day.begin(&table)?,
            (WorkbookAsk::Rows(rows), Some(day)) => day.push(&rows)?,
            (WorkbookAsk::Finish, Some(_)) => {
                return day.take().map(XlsxDay::finish).transpose();
            }
            // The page begins before anything else.
            (_, None) => {}
        }
        Ok(None)
    })
}
