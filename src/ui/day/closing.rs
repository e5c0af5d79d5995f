//! Closing the day, and what came after it.

use yew::prelude::*;

use crate::book::State;
use crate::desk::forms::{FieldErrors, SEEN, Typed, close_day};
use crate::people::{Day, Duty};
use crate::ui::kit::{Confirm, ErrorSummary, Panel, Tick, count, number_of, use_form};
use crate::ui::{Shop, use_shop};

use super::RecordProps;
use super::acts::carried_lines;

/// Said of a day whose lists are in the archive.
pub fn archived(state: &State, day: Day) -> Html {
    if !state.is_archived(day) {
        return Html::default();
    }
    let entries = state.archive.entries();
    html! {
        <p class="caution" role="status" data-archived="">{ format!("This day is in the archive ({entries}). Its totals are kept here to compare with; its lists, and the record to hand over, are in the archive.") }</p>
    }
}

/// Said loudly when entries came after the day was closed.
#[function_component]
pub fn Late(props: &RecordProps) -> Html {
    match &props.record.closed {
        Some(closed) if closed.late_entries > 0 => html! {
            <p class="late" role="alert" data-late={closed.late_entries.to_string()}>
                <strong>{ format!("{} after closing. ", number_of(closed.late_entries, "entry", "entries")) }</strong>
                { format!("This day was closed in entry {}. Its figures include what was recorded for it since, so a record handed over before no longer agrees with the book.", closed.entry) }
            </p>
        },
        _ => Html::default(),
    }
}

#[function_component]
pub fn Closing(props: &RecordProps) -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let record = props.record.clone();
    if let Some(closed) = &record.closed {
        let by = shop.state().name_of(closed.by);
        return html! {
            <Panel title="Closed" class={classes!("closing")}>
                <p data-day-closed={closed.entry.to_string()}>{ format!("Closed by {by} on {}, entry {}.", closed.at.dated(), closed.entry) }</p>
            </Panel>
        };
    }
    let may = shop.desk().may(Duty::Close);
    let asking = use_state(|| false);
    let ask = |now: bool| {
        let asking = asking.clone();
        Callback::from(move |()| asking.set(now))
    };
    let onsubmit = {
        let (form, record, asked) = (form.clone(), record.clone(), ask(true));
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match close_day(form.typed(), record.day, &record.carried) {
                Ok(_) => asked.emit(()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let onconfirm = {
        let (shop, form, record, done) = (shop.clone(), form.clone(), record.clone(), ask(false));
        Callback::from(move |()| {
            done.emit(());
            let entry = close_day(form.typed(), record.day, &record.carried);
            let recorded = entry.and_then(|entry| {
                shop.record(vec![entry])
                    .map_err(|why| FieldErrors::one("", why))
            });
            match recorded {
                Ok(()) => form.reset(Typed::default()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let open = carried_lines(&record.carried)
        .into_iter()
        .filter(|(_, number)| *number > 0);
    let open: Vec<String> = open
        .map(|(what, number)| format!("{what}: {}", count(number)))
        .collect();
    html! {
        <Panel title="Close the day" class={classes!("closing", "no-print")}
            lead="A closed day is finished. Anything recorded for it later is counted and shown.">
            if !may { <p class="hint">{ "Closing a day is for a supervisor." }</p> }
            <form {onsubmit} novalidate=true>
                <ErrorSummary form={form.clone()} />
                if !open.is_empty() {
                    <ul class="obstacles">{ for open.iter().map(|line| html! { <li>{ line }</li> }) }</ul>
                    <Tick form={form.clone()} name={SEEN} label="I have seen what is carried over" />
                    if let Some(error) = form.error(SEEN) { <p class="error">{ error }</p> }
                }
                <button type="submit" class="primary" data-action="close-day" disabled={!may || record.acts.entries == 0}>
                    { format!("Close day {}", record.day) }
                </button>
            </form>
            if *asking {
                <Confirm action={format!("Close day {}", record.day)} {onconfirm} oncancel={ask(false)}
                    text={consequence(&shop, record.day)} />
            }
        </Panel>
    }
}

/// What follows; said plainly when the day is still running.
fn consequence(shop: &Shop, day: Day) -> String {
    let state = shop.state();
    let (now, until) = (shop.now(), state.rules.cut_over_hour);
    let running = match state.day_of(&now) == day {
        true => {
            format!("The day is still running: what is recorded until {until:02}:00 counts to it. ")
        }
        false => String::new(),
    };
    format!(
        "{running}A day is closed once, and whatever is recorded for it afterwards is shown as late."
    )
}
