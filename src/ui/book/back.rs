//! A head that comes back, typed, scanned or from a file: held against the book, which it cannot
//! change.

use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

use crate::desk::Desk;
use crate::export::{HEAD_FILE_MAX, HeadTextError, read_head};
use crate::ui::kit::{FilePick, Panel};
use crate::ui::use_shop;

/// What was given, and whether it is meant to be whole: nobody is told of a mistake while typing.
#[derive(Clone, Default, PartialEq)]
struct Given {
    text: String,
    whole: bool,
}

#[function_component]
pub fn HeadBack() -> Html {
    let shop = use_shop();
    let given = use_state(Given::default);
    let oninput = {
        let given = given.clone();
        Callback::from(move |event: InputEvent| {
            let text = event.target_unchecked_into::<HtmlTextAreaElement>().value();
            given.set(Given { text, whole: false });
        })
    };
    let check = {
        let given = given.clone();
        Callback::from(move |_: MouseEvent| {
            let text = given.text.clone();
            given.set(Given { text, whole: true });
        })
    };
    let onfile = {
        let given = given.clone();
        Callback::from(move |file: web_sys::File| {
            let given = given.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let text = text_of(&gloo::file::File::from(file)).await;
                let text = text.unwrap_or_else(|why| why);
                given.set(Given { text, whole: true });
            });
        })
    };
    html! {
        <Panel class="no-print" title="A head comes back" lead="From a witness, a print, a certificate, a file. It is only compared: nothing in the book changes.">
            <div class="field">
                <label for="head-back">{ "Code of the head" }</label>
                <textarea id="head-back" class="mono" rows="3" spellcheck="false" autocomplete="off" value={given.text.clone()} {oninput}
                    aria-describedby="head-back-hint" />
                <p id="head-back-hint" class="hint">{ "Type the short code or all 64 digits, or scan the QR code into it. Small letters, spaces, O for 0 and I for 1 do not matter." }</p>
            </div>
            <div class="ways-out">
                <button type="button" class="primary" onclick={check} data-action="check-head">{ "Check" }</button>
                <FilePick id="head-file" label="Choose a file" accept=".json,.csv,.txt" {onfile} />
            </div>
            <div role="status">{ answer(&shop.desk(), &given) }</div>
        </Panel>
    }
}

async fn text_of(file: &gloo::file::File) -> Result<String, String> {
    if file.size() > HEAD_FILE_MAX as u64 {
        return Err(HeadTextError::TooLarge.to_string());
    }
    let text = gloo::file::futures::read_as_text(file).await;
    text.map_err(|why| format!("The file could not be read ({why}). Choose it again."))
}

fn answer(desk: &Desk, given: &Given) -> Html {
    let kept = match read_head(&given.text) {
        Ok(kept) => kept,
        Err(_) if !given.whole => return Html::default(),
        Err(why) => {
            return html! { <p class="error" data-head-answer="unread">{ why.to_string() }</p> };
        }
    };
    let answer = desk.book.answer(&kept);
    let (class, found) = match answer.is_contained() {
        true => ("mark good", "yes"),
        false => ("mark spoiled", "no"),
    };
    html! {
        <div class="head-answer" data-head-answer={found}>
            <p><span {class}>{ answer.says(desk.state()) }</span></p>
            <p>{ answer.means() }</p>
        </div>
    }
}
