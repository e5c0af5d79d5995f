//! The keys of the bench.

use yew::prelude::*;

use crate::desk::bench::KEYS;
use crate::ui::kit::Dialog;

pub fn keys(onclose: &Callback<()>) -> Html {
    let row = |(keys, what): &(&'static str, &'static str)| {
        html! { <tr key={*keys}><th scope="row"><kbd>{ *keys }</kbd></th><td>{ *what }</td></tr> }
    };
    html! {
        <Dialog title="Keys" onclose={onclose.clone()} class="keys">
            <p>{ "They act while the sheet has the keyboard: click it, or press Tab until its frame is marked." }</p>
            <table><tbody>{ for KEYS.iter().map(row) }</tbody></table>
        </Dialog>
    }
}
