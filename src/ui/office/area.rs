//! A field of several lines.

use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

use crate::ui::kit::Form;

#[derive(Properties, PartialEq)]
pub struct AreaProps {
    pub form: Form,
    /// The field's name in the form; also its element id, so unique on the page.
    pub name: &'static str,
    pub label: AttrValue,
    pub hint: AttrValue,
}

/// Several lines of text.
#[function_component]
pub fn Area(props: &AreaProps) -> Html {
    let (form, name) = (props.form.clone(), props.name);
    let oninput = Callback::from(move |event: InputEvent| {
        let area: HtmlTextAreaElement = event.target_unchecked_into();
        form.set(name, area.value());
    });
    let error = props.form.error(name);
    let note = format!("{name}-note");
    html! {
        <div class={classes!("field", error.is_some().then_some("wrong"))}>
            <label for={name}>{ &props.label }</label>
            <textarea id={name} name={name} class="mono" value={props.form.text(name)} {oninput} rows="3"
                spellcheck="false" autocomplete="off" aria-describedby={note.clone()}
                aria-invalid={error.is_some().then_some("true")} />
            if let Some(error) = error {
                <p id={note} class="error">{ error }</p>
            } else {
                <p id={note} class="hint">{ &props.hint }</p>
            }
        </div>
    }
}
