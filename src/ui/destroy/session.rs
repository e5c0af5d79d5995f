//! The steps of a new session, one below the other. One is open; those before it are folded and
//! can be opened again; those after it wait.

use yew::prelude::*;

use crate::desk::forms::{DestructionDraft, FieldErrors, Setting, Step, Typed};
use crate::desk::{Action, Desk};
use crate::people::Stamp;
use crate::ui::kit::{Form, use_form};
use crate::ui::{Shop, use_shop};

use super::containers::Choose;
use super::count::Count;
use super::fields::{Deed, Residue};
use super::persons::Persons;
use super::sign::Sign;
use super::step::{StepCard, summary};
use super::weigh::Weigh;

/// Reads the draft against the book as it stands.
pub fn with_draft<T>(
    shop: &Shop,
    read: impl FnOnce(&DestructionDraft, &Setting) -> T,
) -> Option<T> {
    let now = shop.now();
    let desk = shop.desk();
    Some(read(&desk.destruction, &setting(&desk, &now)?))
}

fn setting<'a>(desk: &'a Desk, now: &'a Stamp) -> Option<Setting<'a>> {
    Some(Setting {
        state: desk.state(),
        lead: desk.signed_in?,
        now,
    })
}

/// Changes the draft and keeps it on the desk.
pub fn change(shop: &Shop, change: impl FnOnce(&mut DestructionDraft)) {
    let mut draft = shop.desk().destruction.clone();
    change(&mut draft);
    shop.act(Action::TypeDestruction(Box::new(draft)));
}

#[function_component]
pub fn Session() -> Html {
    let shop = use_shop();
    let form = use_form(|| starting(&shop));
    use_kept(&shop, &form);
    let Some((shown, error)) = with_draft(&shop, |draft, at| {
        let shown = draft.shown(at);
        (shown, draft.check(shown, at).err())
    }) else {
        return Html::default();
    };
    let card = |step: Step| {
        let missing = if step == shown { error.clone() } else { None };
        html! {
            <StepCard key={step.number()} {step} {shown} {missing} summary={summary(&shop, step)}>
                if step == shown { { body(step, &form) } }
            </StepCard>
        }
    };
    html! { <ol class="session" data-step={shown.number().to_string()}>{ for Step::ALL.into_iter().map(card) }</ol> }
}

/// What was typed before, or a fresh session with its number proposed.
fn starting(shop: &Shop) -> Typed {
    let desk = shop.desk();
    if desk.destruction.session == Typed::default() {
        DestructionDraft::new(desk.state(), &shop.now()).session
    } else {
        desk.destruction.session.clone()
    }
}

/// Keeps what is typed on the desk, and shows beside each field what is wrong with what is there.
#[hook]
fn use_kept(shop: &Shop, form: &Form) {
    let (kept, shown) = (shop.clone(), form.clone());
    use_effect_with(form.typed().clone(), move |typed| {
        change(&kept, |draft| draft.session = typed.clone());
        let errors = with_draft(&kept, |draft, at| draft.check(draft.shown(at), at));
        shown.fail(told(errors.and_then(Result::err), typed));
    });
}

/// An empty field is missing, not wrong: that stands at the foot of the step.
pub fn told(errors: Option<FieldErrors>, typed: &Typed) -> FieldErrors {
    let errors = errors.unwrap_or_default();
    errors.only(|field| !typed.get(field).is_empty())
}

fn body(step: Step, form: &Form) -> Html {
    let form = form.clone();
    match step {
        Step::Persons => html! { <Persons {form} /> },
        Step::Containers => html! { <Choose /> },
        Step::Count => html! { <Count /> },
        Step::Weigh => html! { <Weigh /> },
        Step::Destroy => html! { <Deed {form} /> },
        Step::Residue => html! { <Residue {form} /> },
        Step::Sign => html! { <Sign /> },
    }
}
