//! A stored book that cannot be used: say why, let what each home holds be saved, and take a saved
//! copy in if it holds all that is left.

use std::rc::Rc;

use yew::prelude::*;

use crate::desk::{Action, Download, Startup};
use crate::ui::Shop;
use crate::ui::kit::Panel;
use crate::ui::shell::{message, newer};

use super::bring_in::{Onto, SavedCopy};

pub fn broken(shop: &Shop, why: &str) -> Html {
    let (first, second) = match &shop.desk().startup {
        Startup::Broken { lines, second, .. } => (lines.clone(), second.texts()),
        _ => Default::default(),
    };
    let save = |name: &'static str, lines: &Rc<Vec<String>>| {
        let lines = Rc::clone(lines);
        shop.on(move |_: MouseEvent| Action::Save(file(name, &lines)))
    };
    let (first, second) = (Rc::new(first), Rc::new(second));
    let (save_first, save_second) = (
        save("unreadable-book.jsonl", &first),
        save("second-home.jsonl", &second),
    );
    html! {
        <main class="first">
            { newer(shop) }
            <h1>{ "The book cannot be opened" }</h1>
            <p data-alarm="">{ why }</p>
            { message(shop) }
            <p>{ "Nothing was changed and nothing was deleted. Save what is stored, and do not go on with this bench until someone has compared it with the last copy that left the machine." }</p>
            <div class="acts">
                if !first.is_empty() { <button type="button" class="primary" onclick={save_first} data-action="save-lines">{ "Save the stored lines" }</button> }
                if !second.is_empty() { <button type="button" onclick={save_second} data-action="save-second">{ "Save the second home" }</button> }
            </div>
            if !first.is_empty() || !second.is_empty() {
                <Panel title="Bring in a saved copy" lead="It is taken only if it has all the lines that are left here, in both homes. Lines that cannot be read are then replaced by the copy's.">
                    <SavedCopy onto={Onto::Broken} />
                </Panel>
            }
        </main>
    }
}

fn file(name: &str, lines: &[String]) -> Download {
    let mut bytes = lines.join("\n").into_bytes();
    bytes.push(b'\n');
    Download {
        name: name.to_owned(),
        mime: "application/jsonl",
        bytes,
    }
}
