//! Asks once before something is recorded that cannot be taken back.

use yew::prelude::*;

use super::Dialog;

#[derive(Properties, PartialEq)]
pub struct ConfirmProps {
    /// What follows from it.
    pub text: AttrValue,
    /// What is about to be done, as the first button says it.
    pub action: AttrValue,
    pub onconfirm: Callback<()>,
    pub oncancel: Callback<()>,
}

/// A dialog that names the consequence.
#[function_component]
pub fn Confirm(props: &ConfirmProps) -> Html {
    let confirm = props.onconfirm.reform(|_: MouseEvent| ());
    let cancel = props.oncancel.reform(|_: MouseEvent| ());
    html! {
        <Dialog title={format!("{}?", props.action)} onclose={props.oncancel.clone()}>
            <p>{ &props.text }</p>
            <div class="submit">
                <button type="button" class="primary" onclick={confirm} data-action="confirm">{ &props.action }</button>
                <button type="button" onclick={cancel}>{ "Cancel" }</button>
            </div>
        </Dialog>
    }
}
