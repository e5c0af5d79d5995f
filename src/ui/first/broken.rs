//! A stored book that cannot be used: say why, and let its lines be saved.

use yew::prelude::*;

use crate::desk::{Action, Download, Startup};
use crate::ui::shell::Newer;
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct BrokenProps {
    pub why: AttrValue,
}

#[function_component]
pub fn Broken(props: &BrokenProps) -> Html {
    let shop = use_shop();
    let lines = match &shop.desk().startup {
        Startup::Broken { lines, .. } => lines.clone(),
        _ => Vec::new(),
    };
    let have_lines = !lines.is_empty();
    let save = shop.on(move |_: MouseEvent| {
        let mut bytes = lines.join("\n").into_bytes();
        bytes.push(b'\n');
        Action::Save(Download {
            name: "unreadable-book.jsonl".to_owned(),
            mime: "application/jsonl",
            bytes,
        })
    });
    html! {
        <main class="first">
            <Newer />
            <h1>{ "The book cannot be opened" }</h1>
            <p>{ &props.why }</p>
            <p>{ "Nothing was changed and nothing was deleted. Save the stored lines, and do not go on with this bench until someone has compared them with the last copy that left the machine." }</p>
            if have_lines { <button type="button" class="primary" onclick={save} data-action="save-lines">{ "Save the stored lines" }</button> }
        </main>
    }
}
