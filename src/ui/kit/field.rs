//! Fields: one line of text, a choice, a tick. Each has its label, its hint, and its error beside
//! it, tied together for screen readers.

use wasm_bindgen::JsCast;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use super::form::Form;

#[derive(Properties, PartialEq)]
pub struct FieldProps {
    pub form: Form,
    /// The field's name in the form; also its element id, so unique on the page.
    pub name: &'static str,
    pub label: AttrValue,
    /// What may be typed, with an example.
    #[prop_or_default]
    pub hint: AttrValue,
    /// `text`, `datetime-local` and so on.
    #[prop_or(AttrValue::Static("text"))]
    pub kind: AttrValue,
    /// `numeric` or `decimal` brings up figures on touch screens.
    #[prop_or_default]
    pub inputmode: Option<AttrValue>,
    #[prop_or_default]
    pub autofocus: bool,
    /// Serials and codes are set in a monospaced face.
    #[prop_or_default]
    pub mono: bool,
    /// Id of a list of texts to choose from.
    #[prop_or_default]
    pub list: Option<AttrValue>,
}

/// One line of text.
#[function_component]
pub fn Field(props: &FieldProps) -> Html {
    let (form, name) = (props.form.clone(), props.name);
    let oninput = Callback::from(move |event: InputEvent| {
        form.set(
            name,
            event.target_unchecked_into::<HtmlInputElement>().value(),
        );
    });
    let error = props.form.error(name);
    html! {
        <div class={classes!("field", error.is_some().then_some("wrong"))}>
            <label for={name}>{ &props.label }</label>
            <input id={name} name={name} type={&props.kind} value={props.form.text(name)} {oninput}
                class={classes!(props.mono.then_some("mono"))} inputmode={props.inputmode.clone()}
                autofocus={props.autofocus} list={props.list.clone()} autocomplete="off" spellcheck="false"
                aria-invalid={error.is_some().then_some("true")} aria-describedby={described_by(name)} />
            { note(name, &props.hint, error) }
        </div>
    }
}

fn described_by(name: &str) -> String {
    format!("{name}-note")
}

fn note(name: &str, hint: &AttrValue, error: Option<AttrValue>) -> Html {
    match error {
        Some(error) => html! { <p id={described_by(name)} class="error">{ error }</p> },
        None => html! { <p id={described_by(name)} class="hint">{ hint }</p> },
    }
}

/// One of the values that can be picked: value and what is shown.
pub type Choice = (AttrValue, AttrValue);

#[derive(Properties, PartialEq)]
pub struct PickProps {
    pub form: Form,
    pub name: &'static str,
    pub label: AttrValue,
    #[prop_or_default]
    pub hint: AttrValue,
    pub choices: Vec<Choice>,
}

/// One of several values.
#[function_component]
pub fn Pick(props: &PickProps) -> Html {
    let (form, name) = (props.form.clone(), props.name);
    let onchange = Callback::from(move |event: Event| {
        form.set(
            name,
            event.target_unchecked_into::<HtmlSelectElement>().value(),
        );
    });
    let error = props.form.error(name);
    let chosen = props.form.text(name);
    let option = |(value, shown): &Choice| {
        html! { <option key={value.to_string()} value={value.clone()} selected={*value == chosen}>{ shown }</option> }
    };
    html! {
        <div class={classes!("field", error.is_some().then_some("wrong"))}>
            <label for={name}>{ &props.label }</label>
            <select id={name} name={name} {onchange} aria-invalid={error.is_some().then_some("true")}
                aria-describedby={described_by(name)}>
                <option value="" selected={chosen.is_empty()}>{ "Choose…" }</option>
                { for props.choices.iter().map(option) }
            </select>
            { note(name, &props.hint, error) }
        </div>
    }
}

#[derive(Properties, PartialEq)]
pub struct TickProps {
    pub form: Form,
    pub name: &'static str,
    pub label: AttrValue,
}

/// A tick box with its label.
#[function_component]
pub fn Tick(props: &TickProps) -> Html {
    let (form, name) = (props.form.clone(), props.name);
    let onchange = Callback::from(move |event: Event| {
        let input = event
            .target()
            .and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        form.tick(name, input.is_some_and(|input| input.checked()));
    });
    html! {
        <label class="tick" for={name}>
            <input id={name} name={name} type="checkbox" checked={props.form.typed().ticked(name)} {onchange} />
            <span>{ &props.label }</span>
        </label>
    }
}
