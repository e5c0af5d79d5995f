//! The last step: everybody reads the statement and signs, and the lead records.

use yew::prelude::*;

use crate::book::{Entry, Refusal};
use crate::desk::Action;
use crate::desk::forms::{FieldErrors, Typed};
use crate::ui::kit::{ErrorSummary, use_form};
use crate::ui::shell::signatures;
use crate::ui::{Shop, use_shop};

use super::session::with_draft;

#[function_component]
pub fn Sign() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let onclick = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| form.fail(lay_out(&shop).err().unwrap_or_default()))
    };
    let laid_out = {
        let desk = shop.desk();
        let signing = desk.signing.as_ref();
        signing.is_some_and(|signing| matches!(signing.entry, Entry::SpoilsDestroyed(_)))
    };
    if laid_out {
        return html! {
            <>
                { signatures(&shop) }
                <p class="hint">{ "Recording any step anew takes the signatures off again." }</p>
            </>
        };
    }
    html! {
        <>
            <ErrorSummary {form} />
            <p>{ "Every step is on record. The operator and every witness sign." }</p>
            <button type="button" class="primary" {onclick} data-action="begin-signing">{ "Lay it out for signing" }</button>
        </>
    }
}

fn lay_out(shop: &Shop) -> Result<(), FieldErrors> {
    let entry = with_draft(shop, |draft, at| draft.entry(at));
    let entry = entry.ok_or_else(|| FieldErrors::one("", Refusal::NobodySignedIn))??;
    shop.try_act(Action::BeginSigning(Box::new(entry)))
        .map_err(|why| FieldErrors::one("", why))
}
