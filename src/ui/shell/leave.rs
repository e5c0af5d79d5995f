//! Leaving the practice space, asked once: its book is thrown away.

use yew::prelude::*;

use crate::desk::Action;
use crate::ui::kit::Dialog;
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct LeaveProps {
    pub onclose: Callback<()>,
}

#[function_component]
pub fn Leave(props: &LeaveProps) -> Html {
    let shop = use_shop();
    let leave = {
        let onclose = props.onclose.clone();
        Callback::from(move |_: MouseEvent| {
            onclose.emit(());
            shop.act(Action::LeavePractice);
        })
    };
    html! {
        <Dialog title="Leave the practice space?" onclose={props.onclose.clone()}>
            <p>{ "The practice book is thrown away with everything in it. A real book on this machine is not touched." }</p>
            <button type="button" class="danger" onclick={leave} data-action="confirm">{ "Throw the practice book away" }</button>
        </Dialog>
    }
}
