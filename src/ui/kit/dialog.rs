//! A dialog over the page: takes the keyboard, gives it back, closes with Esc.

use web_sys::HtmlElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct DialogProps {
    pub title: AttrValue,
    pub onclose: Callback<()>,
    #[prop_or_default]
    pub class: Classes,
    pub children: Html,
}

/// A modal dialog.
#[function_component]
pub fn Dialog(props: &DialogProps) -> Html {
    let node = use_node_ref();
    let shown = node.clone();
    use_effect_with((), move |()| {
        let before = gloo::utils::document().active_element();
        if let Some(element) = shown.cast::<HtmlElement>() {
            // The keyboard only moves; a failure leaves it where it was.
            element.focus().unwrap_or_default();
        }
        move || {
            if let Some(element) = before
                .and_then(|element| wasm_bindgen::JsCast::dyn_into::<HtmlElement>(element).ok())
            {
                element.focus().unwrap_or_default();
            }
        }
    });
    let close = props.onclose.clone();
    let onkeydown = Callback::from(move |event: KeyboardEvent| {
        if event.key() == "Escape" {
            event.stop_propagation();
            close.emit(());
        }
    });
    let onclick = props.onclose.reform(|_| ());
    html! {
        <div class="veil">
            <div class={classes!("dialog", props.class.clone())} role="dialog" aria-modal="true"
                aria-label={&props.title} tabindex="-1" ref={node} {onkeydown}>
                <header>
                    <h2>{ &props.title }</h2>
                    <button type="button" class="quiet" {onclick}>{ "Close" }</button>
                </header>
                { props.children.clone() }
            </div>
        </div>
    }
}
