//! One deed with a container or with spoils that are gone: its form, recorded at once or laid out
//! for the second person to sign.

use yew::prelude::*;

use crate::book::{Entry, Line, Refusal, State, cosigners};
use crate::custody::ContainerId;
use crate::desk::forms::{
    FieldErrors, MEND_MASSES, SEAL_MASSES, Typed, container_held, container_moved,
    container_recounted, container_resealed, container_retired, filling_corrected, seal_checked,
    sealing_corrected, sealing_typed, spoils_found, spoils_lost,
};
use crate::desk::{Action, Burst};
use crate::people::PersonId;
use crate::ui::destroy::only_scale;
use crate::ui::kit::{ErrorSummary, use_form};
use crate::ui::use_shop;

use super::deed_fields::{fields, typed_piece};
use super::screen::Work;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    Move,
    Check,
    Hold,
    Recount,
    Reseal,
    TakeOut,
    Correct,
    Retire,
    Lose,
    Find,
}

impl Deed {
    pub fn name(self) -> &'static str {
        match self {
            Deed::Move => "Move",
            Deed::Check => "Look at the seal",
            Deed::Hold => "Hold",
            Deed::Recount => "Count again",
            Deed::Reseal => "Seal anew",
            Deed::TakeOut => "Take pieces out",
            Deed::Correct => "Correct the sealing",
            Deed::Retire => "Retire",
            Deed::Lose => "Declare lost",
            Deed::Find => "Found again",
        }
    }
}

#[derive(Properties, PartialEq)]
pub struct DeedProps {
    pub deed: Deed,
    /// None for spoils that are in no container.
    pub container: Option<ContainerId>,
    pub onwork: Callback<Work>,
}

#[function_component]
pub fn DeedForm(props: &DeedProps) -> Html {
    let shop = use_shop();
    let (deed, container) = (props.deed, props.container);
    let form = use_form(|| start(deed, container, &shop.state()));
    let burst = use_mut_ref(Burst::default);
    let laid_out = use_mut_ref(|| None::<Entry>);
    let done = {
        let onwork = props.onwork.clone();
        Callback::from(move |()| onwork.emit(container.map_or(Work::Open, Work::Look)))
    };
    let onsubmit = {
        let (shop, form, done, laid_out) =
            (shop.clone(), form.clone(), done.clone(), laid_out.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let first = shop.desk().signed_in;
            let first = first.ok_or_else(|| FieldErrors::one("", Refusal::NobodySignedIn));
            let entries =
                first.and_then(|first| read(deed, container, form.typed(), &shop.state(), first));
            let refused = |why| FieldErrors::one("", why);
            let result = entries.and_then(|mut entries| match entries.pop() {
                Some(one) if !cosigners(&one).is_empty() => {
                    *laid_out.borrow_mut() = Some(one.clone());
                    let signing = Action::BeginSigning(Box::new(one));
                    shop.try_act(signing).map(|()| false).map_err(refused)
                }
                last => {
                    entries.extend(last);
                    shop.record(entries).map(|()| true).map_err(refused)
                }
            });
            match result {
                Ok(true) => done.emit(()),
                Ok(false) => form.fail(FieldErrors::default()),
                Err(errors) => form.fail(errors),
            }
        })
    };
    {
        // What is typed stays until everybody has signed and it is in the book.
        let (shop, laid_out) = (shop.clone(), laid_out.clone());
        let lines = shop.desk().book.len();
        use_effect_with(lines, move |_| {
            let last = shop.desk().book.texts().last().cloned();
            let last = last.and_then(|text| Line::read(&text).ok());
            let recorded = last.is_some_and(|line| Some(line.entry) == *laid_out.borrow());
            if recorded {
                laid_out.borrow_mut().take();
                done.emit(());
            }
        });
    }
    let back = container.map(|id| props.onwork.reform(move |_: MouseEvent| Work::Look(id)));
    html! {
        <form {onsubmit} novalidate=true data-deed-form={deed.name()}>
            <h3>{ deed.name() }if let Some(id) = container { { ": container " }<span class="mono">{ id.to_string() }</span> }</h3>
            <ErrorSummary form={form.clone()} />
            { fields(deed, container, &form, &burst, &shop) }
            <div class="submit">
                <button type="submit" class="primary" data-action="do-deed">{ button(deed) }</button>
                if let Some(onclick) = back { <button type="button" {onclick}>{ "Back" }</button> }
            </div>
        </form>
    }
}

fn button(deed: Deed) -> &'static str {
    match deed {
        Deed::Recount => "Sign what was found",
        Deed::Reseal => "Seal and sign",
        Deed::Correct => "Correct and sign",
        Deed::Lose => "Declare lost and sign",
        _ => "Record it",
    }
}

/// What the form starts with.
fn start(deed: Deed, container: Option<ContainerId>, state: &State) -> Typed {
    let known = container.and_then(|id| state.cage.containers.get(&id));
    // Of a weighing that is still to come, filled in where the works has just one.
    let scale = only_scale(state).unwrap_or_default();
    match deed {
        Deed::Correct => {
            let sealing = known.and_then(|known| known.sealing());
            let mut typed = sealing.map(sealing_typed).unwrap_or_default();
            if sealing.is_some_and(|sealing| sealing.gross.is_none()) {
                typed.set(MEND_MASSES.scale, scale);
            }
            typed
        }
        Deed::Reseal => Typed::with([(SEAL_MASSES.scale, &scale)]),
        Deed::Recount => Typed::with([("recount-how", "all")]),
        Deed::Lose => {
            let missing = state.cage.missing().map(|(item, _)| typed_piece(item));
            let missing: Vec<String> = missing.collect();
            Typed::with([("lost-list", &missing.join("\n"))])
        }
        _ => Typed::default(),
    }
}

fn read(
    deed: Deed,
    container: Option<ContainerId>,
    typed: &Typed,
    state: &State,
    first: PersonId,
) -> Result<Vec<Entry>, FieldErrors> {
    let one = match (deed, container) {
        (Deed::Lose, _) => spoils_lost(typed, state, first),
        (Deed::Find, _) => spoils_found(typed, state),
        (_, None) => Err(FieldErrors::one("", "Choose a container.")),
        (Deed::TakeOut, Some(id)) => return filling_corrected(typed, state, id),
        (Deed::Move, Some(id)) => container_moved(typed, state, id),
        (Deed::Check, Some(id)) => seal_checked(typed, id, state),
        (Deed::Hold, Some(id)) => container_held(typed, id),
        (Deed::Recount, Some(id)) => container_recounted(typed, state, id, first),
        (Deed::Reseal, Some(id)) => container_resealed(typed, state, id, first),
        (Deed::Correct, Some(id)) => sealing_corrected(typed, state, id, first),
        (Deed::Retire, Some(id)) => container_retired(typed, id),
    };
    one.map(|entry| vec![entry])
}
