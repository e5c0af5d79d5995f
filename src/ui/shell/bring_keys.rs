//! Keys that were saved with the book, brought to this machine.

use yew::prelude::*;

use crate::desk::forms::read_keys;
use crate::ui::kit::FilePick;
use crate::ui::use_shop;

/// Largest file of keys that is read, in bytes.
const KEYS_MAX: u64 = 1 << 20;

#[function_component]
pub fn BringKeys() -> Html {
    let shop = use_shop();
    let said = use_state(|| None::<Result<String, String>>);
    let onfile = {
        let said = said.clone();
        Callback::from(move |file: web_sys::File| {
            let (shop, said) = (shop.clone(), said.clone());
            wasm_bindgen_futures::spawn_local(async move {
                said.set(Some(bring(&shop, &gloo::file::File::from(file)).await));
            });
        })
    };
    let said = match &*said {
        None => Html::default(),
        Some(Ok(done)) => html! { <p role="status">{ done }</p> },
        Some(Err(why)) => html! { <p class="error" role="alert">{ why }</p> },
    };
    html! {
        <div class="bring-keys">
            <FilePick id="bring-keys" label="Bring in saved keys" accept=".jsonl" {onfile} />
            { said }
        </div>
    }
}

async fn bring(shop: &crate::ui::Shop, file: &gloo::file::File) -> Result<String, String> {
    if file.size() > KEYS_MAX {
        return Err(
            "The file is larger than 1 MB, more than keys can be. Choose another file.".to_owned(),
        );
    }
    let text = gloo::file::futures::read_as_text(file).await;
    let text =
        text.map_err(|why| format!("The file could not be read ({why}). Choose it again."))?;
    let keys = read_keys(&text, &shop.state())?;
    let count = keys.len();
    for key in keys {
        shop.keep_key(key).await.map_err(|why| why.to_string())?;
    }
    Ok(match count {
        1 => "1 key is on this machine now.".to_owned(),
        count => format!("{count} keys are on this machine now."),
    })
}
