//! The dialog, step by step.

use std::cell::Cell;
use std::rc::Rc;

use gloo::timers::future::TimeoutFuture;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use crate::book::{Lot, Refusal};
use crate::desk::bench::Command;
use crate::desk::import::MachineImport;
use crate::desk::{Action, Saved};
use crate::export::Progress;
use crate::people::Duty;
use crate::sheet::LotId;
use crate::ui::kit::{Dialog, FilePick, count};
use crate::ui::{Shop, use_shop};

use super::preview::{preview, recorded};
use super::reading::{Origin, Task};

#[derive(Properties, PartialEq)]
pub struct MachineFileProps {
    /// The lot that the file is about; the one on the bench unless given.
    #[prop_or_default]
    pub lot: Option<LotId>,
    pub onclose: Callback<()>,
}

/// How far the dialog has come.
#[derive(Clone)]
enum Stage {
    Choose {
        problem: Option<String>,
    },
    Reading(Option<Progress>),
    Preview {
        import: Rc<MachineImport>,
        problem: Option<String>,
    },
    /// About to be handed to the store.
    Handing,
    Recording(Rc<MachineImport>),
}

/// Long enough for the page to be drawn once.
const HANDING_MS: u32 = 40;

/// Chooses a machine file, shows what it holds, and records its tags.
#[function_component]
pub fn MachineFile(props: &MachineFileProps) -> Html {
    let shop = use_shop();
    let stage = use_state(|| Stage::Choose { problem: None });
    let stopped = use_mut_ref(|| Rc::new(Cell::new(false)));
    {
        // Closing the dialog gives a reading up.
        let stopped = stopped.clone();
        use_effect_with((), move |()| move || stopped.borrow().set(true));
    }
    let lot = props.lot.or(shop.desk().bench.lot);
    let Some(lot) = lot else {
        return Html::default();
    };
    let read = {
        let (shop, stage, stopped) = (shop.clone(), stage.clone(), stopped.clone());
        Callback::from(move |origin: Origin| {
            let stop = Rc::new(Cell::new(false));
            *stopped.borrow_mut() = Rc::clone(&stop);
            start(&shop, lot, origin, stop, &stage);
        })
    };
    let stop = {
        let (stage, stopped) = (stage.clone(), stopped.clone());
        Callback::from(move |_: MouseEvent| {
            stopped.borrow().set(true);
            stage.set(Stage::Choose { problem: None });
        })
    };
    let again = {
        let stage = stage.clone();
        Callback::from(move |()| stage.set(Stage::Choose { problem: None }))
    };
    let onclose = {
        let (shop, onclose) = (shop.clone(), props.onclose.clone());
        Callback::from(move |()| {
            show_on_bench(&shop, lot);
            onclose.emit(());
        })
    };
    let content = match &*stage {
        Stage::Choose { problem } => choose(&shop, lot, problem.as_deref(), &read),
        Stage::Reading(progress) => reading(*progress, stop),
        Stage::Preview { import, problem } => {
            let (import, problem) = (Rc::clone(import), problem.clone().unwrap_or_default());
            let onrecord = record(&shop, &import, &stage);
            preview(&shop, &import, &problem, &onrecord, &again)
        }
        Stage::Handing => html! { <p role="status">{ "Recording…" }</p> },
        Stage::Recording(import) => recording(&shop, import, &stage, &onclose),
    };
    html! {
        <Dialog title={format!("Machine file for lot {lot}")} class="wide machine" {onclose}>
            { content }
        </Dialog>
    }
}

/// Reads in the background, telling the dialog how far it is.
fn start(
    shop: &Shop,
    lot: LotId,
    origin: Origin,
    stopped: Rc<Cell<bool>>,
    stage: &UseStateHandle<Stage>,
) {
    stage.set(Stage::Reading(None));
    let progress = stage.setter();
    let done = stage.setter();
    let task = Task {
        shop: shop.clone(),
        lot,
        stopped: Rc::clone(&stopped),
        progress: Box::new(move |now| progress.set(Stage::Reading(Some(now)))),
    };
    spawn_local(async move {
        let read = task.run(origin).await;
        if stopped.get() {
            return;
        }
        match read {
            Ok(Some(import)) => done.set(Stage::Preview {
                import: Rc::new(import),
                problem: None,
            }),
            Ok(None) => {}
            Err(why) => done.set(Stage::Choose { problem: Some(why) }),
        }
    });
}

fn choose(shop: &Shop, lot: LotId, problem: Option<&str>, read: &Callback<Origin>) -> Html {
    let desk = shop.desk();
    if !desk.may(Duty::ReadMachineFile) {
        return html! { <p>{ "Reading a machine file is for an inspector or a supervisor." }</p> };
    }
    let state = desk.state();
    let practice = state.opened.as_ref().is_some_and(|opened| opened.practice);
    let invented = practice && state.lot(lot).is_ok_and(can_invent);
    let onfile = read.reform(Origin::File);
    let invent = read.reform(|_: MouseEvent| Origin::Invented);
    html! {
        <>
            <p>{ "One row for each defect that the machine saw, as CSV in UTF-8. The first line names the columns lot, sheet, side, position, class and remark, in any order." }</p>
            <p class="soft">{ "Nothing is recorded before you have seen what the file holds." }</p>
            if let Some(problem) = problem { <p class="summary" role="alert" data-problem="">{ problem }</p> }
            <div class="submit">
                <FilePick id="machine-file" label="Choose the file" accept=".csv" {onfile} />
                if invented { <button type="button" onclick={invent} data-action="invent">{ "Use an invented file" }</button> }
            </div>
        </>
    }
}

/// Invented files tell the story of the 8 by 5 sheet.
fn can_invent(lot: &Lot) -> bool {
    let layout = &lot.product.layout;
    (layout.rows(), layout.columns()) == (8, 5)
}

fn reading(progress: Option<Progress>, stop: Callback<MouseEvent>) -> Html {
    let (done, rows) = progress.map_or((0, 0), |now| (now.done as u64, now.rows as u64));
    html! {
        <>
            <label class="reading" for="machine-progress">{ format!("Reading: {} of {} rows", count(done), count(rows)) }</label>
            <progress id="machine-progress" value={done.to_string()} max={rows.max(1).to_string()} />
            <div class="submit"><button type="button" onclick={stop} data-action="stop-reading">{ "Stop reading" }</button></div>
        </>
    }
}

/// Records every new tag of the file, all or none. The page says so before it is busy with it.
fn record(shop: &Shop, import: &Rc<MachineImport>, stage: &UseStateHandle<Stage>) -> Callback<()> {
    let (shop, import, stage) = (shop.clone(), Rc::clone(import), stage.clone());
    Callback::from(move |()| {
        let (shop, import, stage) = (shop.clone(), Rc::clone(&import), stage.setter());
        stage.set(Stage::Handing);
        spawn_local(async move {
            TimeoutFuture::new(HANDING_MS).await;
            stage.set(match hand_over(&shop, &import) {
                Ok(()) => Stage::Recording(import),
                Err(why) => Stage::Preview {
                    import,
                    problem: Some(why.to_string()),
                },
            });
        });
    })
}

fn hand_over(shop: &Shop, import: &MachineImport) -> Result<(), Refusal> {
    let product = Rc::clone(&shop.state().lot(import.lot)?.product);
    shop.record(import.entries(&product.layout))
}

/// Handed to the store: recorded only when the store has said so.
fn recording(
    shop: &Shop,
    import: &Rc<MachineImport>,
    stage: &UseStateHandle<Stage>,
    onclose: &Callback<()>,
) -> Html {
    let desk = shop.desk();
    match &desk.saved {
        Saved::Saving | Saved::NotYet => html! { <p role="status">{ "Recording…" }</p> },
        Saved::Failed(why) => {
            let (stage, import) = (stage.clone(), Rc::clone(import));
            let back = Callback::from(move |_: MouseEvent| {
                let import = Rc::clone(&import);
                stage.set(Stage::Preview {
                    import,
                    problem: None,
                });
            });
            html! {
                <>
                    <p class="summary" role="alert">{ format!("Not recorded. {why}") }</p>
                    <div class="submit"><button type="button" onclick={back}>{ "Back to the preview" }</button></div>
                </>
            }
        }
        Saved::At(_) => recorded(import, onclose),
    }
}

/// The bench takes up the new tags of the sheet that lies on it, unless that has changes.
fn show_on_bench(shop: &Shop, lot: LotId) {
    let sheet = {
        let desk = shop.desk();
        let untouched = desk.bench.lot == Some(lot) && !desk.bench.draft.changed();
        untouched.then_some(desk.bench.sheet)
    };
    if let Some(sheet) = sheet {
        shop.act(Action::Bench(Command::Turn(sheet)));
    }
}
