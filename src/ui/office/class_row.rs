//! One class of the catalogue: as a row, and as the form in its place.

use yew::prelude::*;

use crate::desk::forms::classes::{SCOPES, class, class_start, class_typed};
use crate::inspect::{Class, Scope, Severity, Step};
use crate::ui::kit::{ErrorSummary, use_form};

use super::classes::{Draft, Editing};
use super::input::{Inputs, choices};

/// A class to read, with what can be done to it.
pub fn class_row(class: &Class, draft: &Draft) -> Html {
    let code = class.code;
    let edit = {
        let editing = draft.editing.clone();
        Callback::from(move |_: MouseEvent| editing.set(Editing::Class(code)))
    };
    let remove = {
        let draft = draft.clone();
        Callback::from(move |_: MouseEvent| draft.remove(code))
    };
    let of = match class.scope {
        Scope::Note => "note",
        Scope::Sheet => "whole sheet",
    };
    html! {
        <tr key={code.to_string()} data-row={code.to_string()}>
            <th scope="row" class="mono">{ code.to_string() }</th>
            <td>{ &class.name }</td><td>{ of }</td><td>{ class.severity.name() }</td>
            <td>{ &class.looks }</td><td>{ &class.cause }</td>
            <td class="row-actions">
                if draft.may {
                    <button type="button" onclick={edit} aria-label={format!("Change {code}")} data-action="edit-class">{ "Change" }</button>
                    <button type="button" class="quiet" onclick={remove} aria-label={format!("Remove {code}")} data-action="remove-class">{ "Remove" }</button>
                }
            </td>
        </tr>
    }
}

#[derive(Properties, PartialEq)]
pub struct ClassFormProps {
    /// The class to change; none for a new one.
    pub class: Option<Class>,
    pub step: Step,
    pub others: Vec<Class>,
    pub onkeep: Callback<Class>,
    pub oncancel: Callback<()>,
}

#[function_component]
pub fn ClassForm(props: &ClassFormProps) -> Html {
    let form = use_form(|| match &props.class {
        Some(class) => class_typed(class),
        None => class_start(props.step),
    });
    let onsubmit = {
        let (form, others, onkeep) = (form.clone(), props.others.clone(), props.onkeep.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match class(form.typed(), &others) {
                Ok(class) => onkeep.emit(class),
                Err(errors) => form.fail(errors),
            }
        })
    };
    let cancel = props.oncancel.reform(|_: MouseEvent| ());
    let inputs = Inputs::of(&form);
    let steps = Step::ALL.map(|step| (step.slug(), step.name()));
    let severities = Severity::ALL.map(|severity| (severity.name(), severity.name()));
    html! {
        <form class="class-form" {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <div class="fields">
                { inputs.code("class-code", "Code", "Two letters, its own") }
                { inputs.text("class-name", "Name", "One to three words, up to 40 characters") }
                { inputs.pick("class-step", "Step", "Where it arises", choices(&steps)) }
                { inputs.pick("class-scope", "Of", "What it spoils", choices(&SCOPES)) }
                { inputs.pick("class-severity", "Severity", "Rules may differ", choices(&severities)) }
            </div>
            <div class="fields wide">
                { inputs.text("class-looks", "Looks like", "Up to 200 characters") }
                { inputs.text("class-cause", "Usual cause", "Up to 200 characters") }
            </div>
            <div class="submit">
                <button type="submit" data-action="keep-class">{ "Keep" }</button>
                <button type="button" class="quiet" onclick={cancel}>{ "Cancel" }</button>
                <p class="hint">{ "Kept here until you record the catalogue." }</p>
            </div>
        </form>
    }
}
