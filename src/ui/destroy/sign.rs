//! The last step: everybody reads the statement and signs, and the lead records.

use yew::prelude::*;

use crate::book::{Entry, Refusal};
use crate::desk::Action;
use crate::desk::forms::{FieldErrors, Typed};
use crate::ui::kit::{ErrorSummary, use_form};
use crate::ui::shell::Signatures;
use crate::ui::{Shop, use_shop};

use super::session::{change, with_draft};

#[function_component]
pub fn Sign() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let onclick = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| form.fail(lay_out(&shop).err().unwrap_or_default()))
    };
    if is_laid_out(&shop) {
        return html! {
            <>
                <p>{ "Read it together. Each signs with their own passphrase, for exactly these words." }</p>
                <Signatures />
                <p class="hint">{ "Changing anything above takes the signatures off again. Once recorded, it cannot be changed." }</p>
            </>
        };
    }
    html! {
        <>
            <ErrorSummary {form} />
            <p>{ "Everything is right. Now the operator and every witness read the statement and sign it." }</p>
            <button type="button" class="primary" {onclick} data-action="begin-signing">{ "Lay it out for signing" }</button>
        </>
    }
}

fn record(shop: &Shop) -> Result<Entry, FieldErrors> {
    let read = with_draft(shop, |draft, at| draft.read(at));
    let record = read.ok_or_else(|| FieldErrors::one("", Refusal::NobodySignedIn))??;
    Ok(Entry::SpoilsDestroyed(record))
}

/// Whether what is laid out is what stands in the steps above.
fn is_laid_out(shop: &Shop) -> bool {
    let desk = shop.desk();
    let laid_out = desk.signing.as_ref().map(|signing| &signing.entry);
    laid_out.is_some() && record(shop).ok().as_ref() == laid_out
}

fn lay_out(shop: &Shop) -> Result<(), FieldErrors> {
    let entry = record(shop)?;
    let Entry::SpoilsDestroyed(record) = &entry else {
        return Ok(());
    };
    let session = record.session;
    change(shop, |draft| draft.handed_in = Some(session));
    shop.try_act(Action::BeginSigning(Box::new(entry)))
        .map_err(|why| FieldErrors::one("", why))
}
