//! One step: its number and title, what is in it, what is missing, and the way on.

use yew::prelude::*;

use crate::desk::forms::{FieldErrors, Step};
use crate::ui::kit::count;
use crate::ui::{Shop, use_shop};

use super::session::change;

#[derive(Properties, PartialEq)]
pub struct StepCardProps {
    pub step: Step,
    /// The step that is open.
    pub shown: Step,
    /// What keeps this step from being right.
    pub missing: Option<FieldErrors>,
    /// What was done here, in a few words.
    pub summary: AttrValue,
    pub children: Html,
}

#[function_component]
pub fn StepCard(props: &StepCardProps) -> Html {
    let shop = use_shop();
    let (step, shown) = (props.step, props.shown);
    let place = match step.cmp(&shown) {
        std::cmp::Ordering::Less => "past",
        std::cmp::Ordering::Equal => "now",
        std::cmp::Ordering::Greater => "later",
    };
    let to = |step: Step| {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| change(&shop, |draft| draft.step = step))
    };
    html! {
        <li class={classes!("session-step", place)} aria-current={(place == "now").then_some("step")} data-step-card={step.number().to_string()}>
            <h2><span class="step-number">{ step.number() }</span>{ step.title() }</h2>
            if place == "past" {
                <p class="step-summary">{ &props.summary }</p>
                <button type="button" class="quiet" onclick={to(step)} data-action="change-step">{ "Change" }</button>
            }
            if place == "now" {
                <div class="step-body">{ props.children.clone() }</div>
                if step != Step::Sign {
                    <footer class="step-foot">
                        { missing(props.missing.as_ref()) }
                        <button type="button" class="primary" disabled={props.missing.is_some()} onclick={to(step.next())} data-action="next-step">
                            { format!("Next: {}", step.next().title().to_lowercase()) }
                        </button>
                    </footer>
                }
            }
        </li>
    }
}

fn missing(errors: Option<&FieldErrors>) -> Html {
    let Some(errors) = errors else {
        return html! { <p role="status">{ "This step is complete." }</p> };
    };
    html! {
        <div role="status" class="missing">
            <p>{ "Before the next step:" }</p>
            <ul>{ for errors.iter().map(|(_, message)| html! { <li>{ message }</li> }) }</ul>
        </div>
    }
}

/// What was done at a step that is folded.
pub fn summary(shop: &Shop, step: Step) -> AttrValue {
    let desk = shop.desk();
    let (draft, state) = (&desk.destruction, desk.state());
    let typed = |field| draft.session.get(field);
    let name = |code: &str| {
        code.parse()
            .map_or_else(|_| code.to_owned(), |id| state.name_of(id))
    };
    let names = |ids: &[crate::people::PersonId]| {
        let names: Vec<_> = ids.iter().map(|id| state.name_of(*id)).collect();
        names.join(", ")
    };
    let containers = draft
        .found
        .keys()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(", ");
    let number = count(draft.found.len() as u64);
    let text = match step {
        Step::Persons => format!(
            "{}: operator {}, witnesses {}",
            typed("session"),
            name(typed("operator")),
            names(&draft.witnesses)
        ),
        Step::Containers => containers,
        Step::Count => format!("{number} counted, seals and counts agree"),
        Step::Weigh => format!("{number} weighed"),
        Step::Destroy => format!(
            "{} by {} at {}",
            typed("machine"),
            typed("method"),
            typed("place")
        ),
        Step::Residue if !draft.leaves_particles() => "Inspected".to_owned(),
        Step::Residue => format!(
            "{} particles measured, the largest {} mm²",
            typed("particles-measured"),
            typed("particle")
        ),
        Step::Sign => String::new(),
    };
    text.into()
}
