//! A field of several lines.

use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

use crate::ui::kit::Form;

#[derive(Properties, PartialEq)]
pub struct LinesProps {
    pub form: Form,
    pub name: &'static str,
    pub label: AttrValue,
    pub hint: AttrValue,
}

/// Lines of serials and sheet numbers.
#[function_component]
pub fn Lines(props: &LinesProps) -> Html {
    let (form, name) = (props.form.clone(), props.name);
    let error = props.form.error(name);
    let oninput = Callback::from(move |event: InputEvent| {
        let area: HtmlTextAreaElement = event.target_unchecked_into();
        form.set(name, area.value());
    });
    let about = format!("{name}-note");
    html! {
        <div class={classes!("field", error.is_some().then_some("wrong"))}>
            <label for={name}>{ &props.label }</label>
            <textarea id={name} {name} class="mono" rows="8" value={props.form.text(name)} {oninput}
                autocomplete="off" spellcheck="false" aria-invalid={error.is_some().then_some("true")}
                aria-describedby={about.clone()} />
            if let Some(error) = error { <p id={about} class="error">{ error }</p> } else { <p id={about} class="hint">{ &props.hint }</p> }
        </div>
    }
}
