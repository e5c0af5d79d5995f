//! The message on the page.

use yew::prelude::*;

use crate::desk::{Action, Tone};
use crate::ui::Shop;

/// The message on the page, if there is one. Read out when it comes.
pub fn message(shop: &Shop) -> Html {
    let notice = shop.desk().notice.clone();
    let onclick = shop.on(|_: MouseEvent| Action::Dismiss);
    html! {
        <div class="messages" aria-live="assertive">
            if let Some(notice) = notice {
                <div class={classes!("message", (notice.tone == Tone::Problem).then_some("problem"))}>
                    <p>{ notice.text }</p>
                    <button type="button" class="quiet" {onclick}>{ "Dismiss" }</button>
                </div>
            }
        </div>
    }
}
