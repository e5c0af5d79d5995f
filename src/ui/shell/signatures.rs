//! What is laid out for signing: the statement word for word, and everybody's turn.

use yew::prelude::*;

use crate::book::Entry;
use crate::desk::{Action, Signing};
use crate::people::{PersonId, SecretKey, signed_text};
use crate::ui::Shop;
use crate::ui::kit::Dialog;

use super::passphrase::Unlock;

/// Everyone who must signs here, one after the other, each with their own passphrase.
pub fn signatures(shop: &Shop) -> Html {
    let Some(signing) = shop.desk().signing.clone() else {
        return Html::default();
    };
    let onkey = {
        let shop = shop.clone();
        Callback::from(move |(person, key): (PersonId, SecretKey)| {
            let key = Box::new(key);
            shop.act(Action::Countersign { person, key });
        })
    };
    let record = shop.on(|_: MouseEvent| Action::RecordSigned);
    let drop = shop.on(|_: MouseEvent| Action::DropSigning);
    let (saving, name) = {
        let desk = shop.desk();
        (desk.is_saving(), desk.signer_name().unwrap_or_default())
    };
    html! {
        <div class="signing" data-signing={signing.have.len().to_string()}>
            <pre class="statement" tabindex="0">{ to_read(&signing) }</pre>
            <ul class="signatures">{ for signing.needed.iter().map(|(person, meaning)| row(&shop, &signing, *person, meaning.name())) }</ul>
            if let Some((person, meaning)) = signing.next() {
                <Unlock key={person.to_string()} {person} action={format!("Sign as {}", meaning.name())} {onkey} />
            } else {
                <p>{ format!("Everybody has signed. {name} signs and records it.") }</p>
            }
            <div class="submit">
                <button type="button" class="primary" disabled={saving || signing.next().is_some()} onclick={record} data-action="record-signed">
                    { if saving { "Recording…" } else { "Record" } }
                </button>
                <button type="button" onclick={drop} disabled={saving}>{ "Do not record" }</button>
            </div>
        </div>
    }
}

/// What the next person signs, byte for byte; for the author, what all have signed.
fn to_read(signing: &Signing) -> String {
    match signing.next() {
        Some((person, meaning)) => signed_text(&signing.statement, person, meaning),
        None => signing.statement.clone(),
    }
}

fn row(shop: &crate::ui::Shop, signing: &Signing, person: PersonId, meaning: &str) -> Html {
    let signed = signing.has_signed(person);
    let name = shop.state().name_of(person);
    html! {
        <li key={person.to_string()}><span><b>{ name }</b>{ format!(", {meaning}") }</span>
            <span class={classes!("mark", if signed { "good" } else { "open" })}>{ if signed { "signed" } else { "not yet" } }</span>
        </li>
    }
}

/// The same as a dialog, for whatever is not signed in a place of its own.
pub fn signing_dialog(shop: &Shop) -> Html {
    let onclose = shop.on(|()| Action::DropSigning);
    let elsewhere = shop
        .desk()
        .signing
        .as_ref()
        .is_none_or(|signing| matches!(signing.entry, Entry::SpoilsDestroyed(_)));
    if elsewhere {
        return Html::default();
    }
    html! { <Dialog title="Signatures" class="wide" {onclose}>{ signatures(&shop) }</Dialog> }
}
