//! A session on one page a step: where it stands, what to do now, what is on record.

use yew::prelude::*;

use crate::desk::forms::{DestructionDraft, FieldErrors, Setting, Step, Typed, progress};
use crate::desk::{Action, Desk};
use crate::people::Stamp;
use crate::ui::{Shop, use_shop};

use super::done::on_record;
use super::faults::Faults;
use super::step::{HEADING, StepPage};

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

/// An empty field is missing, not wrong: that stands at the foot of the step.
pub fn told(errors: Option<FieldErrors>, typed: &Typed) -> FieldErrors {
    let errors = errors.unwrap_or_default();
    errors.only(|field| !typed.get(field).is_empty())
}

#[function_component]
pub fn Session() -> Html {
    let shop = use_shop();
    let (step, page, under_way) = {
        let desk = shop.desk();
        let state = desk.state();
        let step = desk.destruction.step(state);
        // Another page also when somebody comes or leaves: its readings are read again.
        let (far, anew) = (progress(state), desk.destruction.anew);
        let page = format!("{}-{far:?}-{anew:?}", step.number());
        (step, page, state.session.is_some())
    };
    use_heading(&page);
    html! {
        <div class="session" data-step={step.number().to_string()}>
            <ol class="session-ribbon" aria-label="Steps of the session">{ for Step::ALL.into_iter().map(|one| tick(one, step)) }</ol>
            <StepPage key={page} {step} />
            if under_way {
                { on_record(&shop) }
                <Faults />
            }
        </div>
    }
}

/// The keyboard goes on to the next step, so that whoever reads by ear is there too.
#[hook]
fn use_heading(page: &str) {
    let seen = use_mut_ref(|| page.to_owned());
    use_effect_with(page.to_owned(), move |page| {
        if *seen.borrow() != *page {
            seen.replace(page.clone());
            focus(HEADING);
        }
    });
}

fn focus(id: &str) {
    let element = gloo::utils::document().get_element_by_id(id);
    let element = element
        .and_then(|element| wasm_bindgen::JsCast::dyn_into::<web_sys::HtmlElement>(element).ok());
    if let Some(element) = element {
        // Focus only moves the reader there; if it fails the step is still on the page.
        element.focus().unwrap_or_default();
    }
}

fn tick(one: Step, open: Step) -> Html {
    let place = match one.cmp(&open) {
        std::cmp::Ordering::Less => "past",
        std::cmp::Ordering::Equal => "now",
        std::cmp::Ordering::Greater => "later",
    };
    html! {
        <li class={place} aria-current={(place == "now").then_some("step")}>
            <span class="step-number">{ one.number() }</span>{ if one == Step::Sign { "Sign" } else { one.title() } }
        </li>
    }
}
