//! What is on record of the session that is under way, and what was left out of it.

use yew::prelude::*;

use crate::book::State;
use crate::custody::{Counting, Done, SessionLog, Stage, StepDone, TeamPart};
use crate::desk::forms::Step;
use crate::ui::Shop;
use crate::ui::kit::count;

use super::session::change;

pub fn on_record(shop: &Shop) -> Html {
    let state = shop.state();
    let Some(log) = &state.session else {
        return Html::default();
    };
    let row = |step: &StepDone| row(shop, &state, log, step);
    html! {
        <section class="panel on-record" aria-labelledby="on-record">
            <h2 id="on-record">{ "On record: session " }<span class="mono">{ log.session.to_string() }</span></h2>
            <p>{ began(&state, log) }</p>
            <p data-team="">{ team(&state, log) }</p>
            { left_out(log) }
            <ol class="recorded-steps">{ for log.steps.iter().map(row) }</ol>
        </section>
    }
}

fn began(state: &State, log: &SessionLog) -> String {
    let named: Vec<String> = log
        .declared
        .iter()
        .map(|one| one.container.to_string())
        .collect();
    format!(
        "Begun {} by {} at {}, entry {}. Containers: {}.",
        log.at.dated(),
        state.name_of(log.by),
        log.place,
        count(log.seq),
        named.join(", ")
    )
}

/// Who is here, and who was.
pub fn team(state: &State, log: &SessionLog) -> String {
    let names = |part| {
        let names: Vec<String> = log.here(part).map(|id| state.name_of(id)).collect();
        match names.is_empty() {
            true => "nobody".to_owned(),
            false => names.join(", "),
        }
    };
    let moved = log.team.iter().filter(|member| {
        member.presence.came_before.is_some() || member.presence.left_before.is_some()
    });
    let moved: Vec<String> = moved
        .map(|member| {
            let why = member.reason.as_ref();
            let why = why.map_or_else(String::new, |why| format!(" ({why})"));
            format!(
                "{} {}{why}",
                state.name_of(member.presence.person),
                member.presence
            )
        })
        .collect();
    let locked = log.failed_keys.iter().map(|(person, at)| {
        format!(
            "{} gave a wrong passphrase three times at {}",
            state.name_of(*person),
            at.clock()
        )
    });
    let mut text = format!(
        "Operator: {}. Witnesses: {}.",
        names(TeamPart::Operator),
        names(TeamPart::Witness)
    );
    for one in moved.into_iter().chain(locked) {
        text.push_str(&format!(" {one}."));
    }
    text
}

/// Containers that differ.
pub fn left_out(log: &SessionLog) -> Html {
    let out = log.left_out();
    if out.is_empty() {
        return Html::default();
    }
    html! {
        <ul class="left-out">{ for out.iter().map(|one| html! {
            <li data-left-out={one.container.to_string()}>{ format!("Container {} is left out: {}. It is held until the difference is explained.", one.container, one.why.says()) }</li>
        }) }</ul>
    }
}

fn row(shop: &Shop, state: &State, log: &SessionLog, step: &StepDone) -> Html {
    let stage = step.done.stage();
    let stands = log.latest(stage).is_some_and(|last| last.seq == step.seq);
    let open = stage >= Stage::Start || !log.is_past_return();
    let anew = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| {
            let mut draft = shop.desk().destruction.clone();
            draft.open_anew(Some(stage), &shop.state());
            change(&shop, |kept| *kept = draft);
        })
    };
    let by = format!(
        "{}, {}, entry {}",
        state.name_of(step.by),
        step.at.clock(),
        count(step.seq)
    );
    let why = step
        .reason
        .as_ref()
        .map(|why| format!(" Recorded anew: {why}."));
    html! {
        <li key={step.seq} class={classes!((!stands).then_some("replaced"))} data-recorded-step={Step::of(stage).number().to_string()}>
            <div>
                <b>{ Step::of(stage).title() }</b>
                if !stands { { " (replaced)" } }
                <p>{ said(&step.done) }{ why }</p>
                <p class="hint">{ by }</p>
            </div>
            if stands && open { <button type="button" class="quiet" onclick={anew} data-action="record-anew">{ "Record anew" }<span class="sr-only">{ format!(": {}", Step::of(stage).title()) }</span></button> }
        </li>
    }
}

/// What a step says, in a few words.
fn said(done: &Done) -> String {
    let listed = |parts: Vec<String>| parts.join("; ");
    match done {
        Done::Seals(list) => listed(
            list.iter()
                .map(|one| match one.seal {
                    Some(seal) => format!("{} {seal}", one.container),
                    None => format!("{} not there", one.container),
                })
                .collect(),
        ),
        Done::Count(list) => listed(
            list.iter()
                .map(|one| match &one.counted {
                    Counting::All { sheets, notes } => {
                        let pieces =
                            crate::export::sheets_and_notes((*sheets).into(), (*notes).into());
                        format!("{} {pieces}", one.container)
                    }
                    Counting::Sample { pieces, absent } => format!(
                        "{} {} of {pieces} drawn pieces found",
                        one.container,
                        *pieces as usize - absent.len()
                    ),
                })
                .collect(),
        ),
        Done::Weigh(list) => listed(
            list.iter()
                .map(|one| format!("{} gross {}, tare {}", one.container, one.gross, one.tare))
                .collect(),
        ),
        Done::Start(run) => {
            let class = run
                .particle_class
                .map(|class| format!(", {}", class.name()));
            format!(
                "{} by {}{}, from {}",
                run.machine,
                run.method.name(),
                class.unwrap_or_default(),
                run.started.clock()
            )
        }
        Done::End(end) => format!("until {}", end.ended.clock()),
        Done::Residue(residue) => {
            let remarks = match residue.remarks.is_empty() {
                true => String::new(),
                false => format!("; {}", residue.remarks),
            };
            match (residue.sample, residue.largest_particle_mm2) {
                (Some(sample), Some(mm2)) => format!(
                    "{} particles measured, {} above the class' area, the largest {mm2} mm²{remarks}",
                    sample.measured, sample.above
                ),
                (_, Some(mm2)) => format!("largest particle {mm2} mm²{remarks}"),
                (_, None) => format!("inspected{remarks}"),
            }
        }
    }
}
