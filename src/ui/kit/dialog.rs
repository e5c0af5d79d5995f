//! A dialog over the page: takes the keyboard, keeps it, gives it back, closes with Esc.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, SvgElement};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct DialogProps {
    pub title: AttrValue,
    pub onclose: Callback<()>,
    #[prop_or_default]
    pub class: Classes,
    pub children: Html,
}

/// What can take the keyboard inside a dialog.
const REACHABLE: &str =
    "button:not(:disabled), input:not(:disabled), select, textarea, a[href], summary";

/// A modal dialog.
#[function_component]
pub fn Dialog(props: &DialogProps) -> Html {
    let node = use_node_ref();
    let shown = node.clone();
    use_effect_with((), move |()| {
        let before = gloo::utils::document().active_element();
        if let Some(dialog) = shown.cast::<Element>() {
            let first = dialog.query_selector("[autofocus]").ok().flatten();
            focus(&first.unwrap_or(dialog));
        }
        move || {
            if let Some(element) = before {
                focus(&element);
            }
        }
    });
    let (close, dialog) = (props.onclose.clone(), node.clone());
    let onkeydown = Callback::from(move |event: KeyboardEvent| match event.key().as_str() {
        "Escape" => {
            event.stop_propagation();
            close.emit(());
        }
        "Tab" => {
            if let Some(dialog) = dialog.cast::<Element>()
                && wrap_around(&dialog, event.shift_key()).is_some()
            {
                event.prevent_default();
            }
        }
        _ => {}
    });
    let onclick = props.onclose.reform(|_| ());
    html! {
        <div class="veil">
            <div class={classes!("dialog", props.class.clone())} role="dialog" aria-modal="true"
                aria-label={&props.title} tabindex="-1" ref={node} {onkeydown}>
                <div class="dialog-head">
                    <h2>{ &props.title }</h2>
                    <button type="button" class="quiet" {onclick}>{ "Close" }</button>
                </div>
                { props.children.clone() }
            </div>
        </div>
    }
}

/// Gives the keyboard to an element. If the browser refuses, it stays where it was.
fn focus(element: &Element) {
    if let Some(drawn) = element.dyn_ref::<SvgElement>() {
        drawn.focus().unwrap_or_default();
    } else if let Some(element) = element.dyn_ref::<HtmlElement>() {
        element.focus().unwrap_or_default();
    }
}

/// Keeps Tab inside: from the last element to the first, and back. Nothing when it stays inside
/// by itself.
fn wrap_around(dialog: &Element, backwards: bool) -> Option<()> {
    let reachable = dialog.query_selector_all(REACHABLE).ok()?;
    let at = |index: u32| reachable.item(index)?.dyn_into::<Element>().ok();
    let (first, last) = (at(0)?, at(reachable.length().checked_sub(1)?)?);
    let now = gloo::utils::document().active_element()?;
    let (edge, other) = if backwards {
        (&first, &last)
    } else {
        (&last, &first)
    };
    let outside = now == *dialog && backwards;
    (now == *edge || outside).then(|| focus(other))
}
