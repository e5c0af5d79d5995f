//! A newer version of the app is there: says so, and puts it to use when asked.

use yew::prelude::*;

use crate::desk::{Action, Held, Update};
use crate::ui::Shop;

/// The word that a newer version waits, with the button that lets it take over.
pub fn newer(shop: &Shop) -> Html {
    let onclick = shop.on(|_: MouseEvent| Action::UseUpdate);
    let update = shop.desk().update;
    html! {
        <div class="newer-place no-print" role="status">
            if let Some(update) = update {
                <div class="newer" data-update={format!("{update:?}").to_lowercase()}>
                    <p><b>{ "A newer version is ready." }</b>{ " The book stays as it is; the page opens anew." }</p>
                    <button type="button" {onclick} disabled={update == Update::Asked} data-action="use-update">{ "Use it" }</button>
                </div>
            }
        </div>
    }
}

/// Whether the app opens with the server stopped: one word, and the reason where it does not.
pub fn works_offline(held: &Held) -> Html {
    let (word, title) = match held {
        Held::Yes => (
            "yes",
            "This machine holds the whole app: it opens with the server stopped.".to_owned(),
        ),
        Held::Fetching => (
            "fetching",
            "The app is being fetched to this machine.".to_owned(),
        ),
        Held::No(why) => ("no", why.to_string()),
    };
    html! {
        <p class={classes!("works-offline", (word == "no").then_some("bad"))} {title} data-held={word}>{ "Works offline: " }<b>{ word }</b></p>
    }
}
