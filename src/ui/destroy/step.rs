//! One step on its page: what to do, what to mind, its fields, what is missing, and the way on.

use yew::prelude::*;

use crate::book::Refusal;
use crate::desk::forms::{DestructionDraft, FieldErrors, Step, Typed};
use crate::ui::kit::{ErrorSummary, Field, Form, use_form};
use crate::ui::{Shop, use_shop};

use super::cautions::cautions;
use super::containers::Choose;
use super::count::{Count, Seals};
use super::fields::{End, Residue, Start};
use super::persons::Persons;
use super::session::{change, told, with_draft};
use super::sign::Sign;
use super::weigh::Weigh;

/// The heading of the open step.
pub const HEADING: &str = "step-heading";

#[derive(Properties, PartialEq)]
pub struct StepPageProps {
    pub step: Step,
}

#[function_component]
pub fn StepPage(props: &StepPageProps) -> Html {
    let shop = use_shop();
    let step = props.step;
    let form = use_form(|| starting(&shop));
    let summary = use_form(Typed::default);
    use_kept(&shop, &form);
    let missing = with_draft(&shop, |draft, at| match step {
        Step::Persons => draft.people_right(at).err(),
        Step::Sign => None,
        _ => draft.entry(at).err(),
    });
    let missing = missing.flatten();
    let anew = shop.desk().destruction.anew.is_some();
    // What comes after a step that was recorded anew is recorded anew too.
    let again = {
        let state = shop.state();
        let log = state.session.as_ref();
        let stage = step.stage().filter(|_| step != Step::Sign);
        stage.is_some_and(|stage| log.is_some_and(|log| log.latest(stage).is_some()))
    };
    let go = {
        let (shop, summary) = (shop.clone(), summary.clone());
        Callback::from(move |_: MouseEvent| go_on(&shop, step, &summary))
    };
    let back = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| change(&shop, |draft| draft.at_containers = false))
    };
    let keep = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| {
            change(&shop, |draft| *draft = DestructionDraft::default())
        })
    };
    let saving = shop.desk().is_saving();
    html! {
        <section class="step-page panel" data-step-card={step.number().to_string()} aria-labelledby={HEADING}>
            <h2 id={HEADING} tabindex="-1"><span class="step-number">{ step.number() }</span>{ step.title() }</h2>
            <p class="step-says">{ says(step) }</p>
            { cautions(&shop, step) }
            <ErrorSummary form={summary} />
            <div class="step-body">{ body(step, &form) }</div>
            if again {
                <Field form={form.clone()} name="why-anew" label="Why it is recorded anew" hint="What was recorded before stays in the book" />
            }
            if step != Step::Sign {
                <footer class="step-foot">
                    { foot(missing.as_ref()) }
                    <div class="actions">
                        if step == Step::Containers { <button type="button" onclick={back} data-action="back">{ "Back" }</button> }
                        if anew { <button type="button" onclick={keep} data-action="keep-step">{ "Leave it as it was" }</button> }
                        <button type="button" class="primary" disabled={missing.is_some() || saving} onclick={go} data-action="next-step">
                            { if saving { "Recording…" } else { way_on(step) } }
                        </button>
                    </div>
                </footer>
            }
        </section>
    }
}

/// What was typed before; a fresh session has its number proposed.
fn starting(shop: &Shop) -> Typed {
    let desk = shop.desk();
    let draft = &desk.destruction;
    let begins = draft.step(desk.state()) == Step::Persons;
    match begins && draft.session == Typed::default() {
        true => DestructionDraft::new(desk.state(), &shop.now()).session,
        false => draft.session.clone(),
    }
}

/// Keeps what is typed on the desk, and shows beside each field what is wrong with what is there.
#[hook]
fn use_kept(shop: &Shop, form: &Form) {
    let (kept, shown) = (shop.clone(), form.clone());
    use_effect_with(form.typed().clone(), move |typed| {
        change(&kept, |draft| draft.session = typed.clone());
        let errors = with_draft(&kept, |draft, at| draft.entry(at).err());
        shown.fail(told(errors.flatten(), typed));
    });
}

/// Goes on: what is typed becomes an entry, and the next step opens once the book has it.
fn go_on(shop: &Shop, step: Step, summary: &Form) {
    summary.fail(FieldErrors::default());
    if step == Step::Persons {
        change(shop, |draft| draft.at_containers = true);
        return;
    }
    let entry = with_draft(shop, |draft, at| draft.entry(at));
    let entry = entry.unwrap_or_else(|| Err(FieldErrors::one("", Refusal::NobodySignedIn)));
    let recorded = entry.and_then(|entry| {
        shop.record(vec![entry])
            .map_err(|why| FieldErrors::one("", why))
    });
    if let Err(errors) = recorded {
        summary.fail(errors);
    }
}

fn body(step: Step, form: &Form) -> Html {
    let form = form.clone();
    match step {
        Step::Persons => html! { <Persons {form} /> },
        Step::Containers => html! { <Choose /> },
        Step::Seals => html! { <Seals /> },
        Step::Count => html! { <Count /> },
        Step::Weigh => html! { <Weigh /> },
        Step::Start => html! { <Start {form} /> },
        Step::End => html! { <End {form} /> },
        Step::Residue => html! { <Residue {form} /> },
        Step::Sign => html! { <Sign /> },
    }
}

/// One plain sentence: what to do now.
fn says(step: Step) -> &'static str {
    match step {
        Step::Persons => "Say where you are, who works the machine and who watches.",
        Step::Containers => {
            "Take the containers of this session out of the cage and tick each one."
        }
        Step::Seals => {
            "Read the number on each seal aloud from the container itself, not from a list, and type it."
        }
        Step::Count => {
            "Break each seal, open the container before everybody, and count what is in it."
        }
        Step::Weigh => "Weigh each container full, and again empty.",
        Step::Start => {
            "Name the machine and how it destroys. Then start it and press \"Now\": from this record on, the session can only be completed."
        }
        Step::End => "Watch until nothing whole is left, then stop the machine and press \"Now\".",
        Step::Residue => "Look at what came out of the machine, before anything is carried away.",
        Step::Sign => "Read the statement together. Then each of you signs.",
    }
}

fn way_on(step: Step) -> &'static str {
    match step {
        Step::Persons => "Next: containers",
        Step::Containers => "Begin the session",
        Step::Seals => "Record the seals",
        Step::Count => "Record the count",
        Step::Weigh => "Record the masses",
        Step::Start => "Record the start",
        Step::End => "Record the end",
        Step::Residue | Step::Sign => "Record the residue",
    }
}

fn foot(missing: Option<&FieldErrors>) -> Html {
    let Some(errors) = missing else {
        return html! { <p role="status">{ "Everything this step asks for is here." }</p> };
    };
    html! {
        <div role="status" class="missing">
            <p>{ "Still missing:" }</p>
            <ul>{ for errors.iter().map(|(_, message)| html! { <li>{ message }</li> }) }</ul>
        </div>
    }
}
