//! Leaving the practice space, asked once: its book is thrown away.

use yew::prelude::*;

use crate::desk::Action;
use crate::ui::Shop;
use crate::ui::kit::Dialog;

pub fn leave(shop: &Shop, onclose: &Callback<()>) -> Html {
    let leave = {
        let (shop, onclose) = (shop.clone(), onclose.clone());
        Callback::from(move |_: MouseEvent| {
            onclose.emit(());
            shop.act(Action::LeavePractice);
        })
    };
    html! {
        <Dialog title="Leave the practice space?" onclose={onclose.clone()}>
            <p>{ "The practice book is thrown away with everything in it. A real book on this machine is not touched." }</p>
            <button type="button" class="danger" onclick={leave} data-action="confirm">{ "Throw the practice book away" }</button>
        </Dialog>
    }
}
