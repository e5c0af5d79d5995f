//! Step 3: the seal as found and a blind count, one container after the other.

use yew::prelude::*;

use crate::custody::ContainerId;
use crate::desk::forms::Step;
use crate::export::sheets_and_notes;
use crate::ui::kit::{Field, Form, use_form};
use crate::ui::{Shop, use_shop};

use super::session::{change, told, with_draft};
use super::weigh::{EachContainer, OfContainer};

#[function_component]
pub fn Count() -> Html {
    let form =
        |container: ContainerId| html! { <CountOne key={container.to_string()} {container} /> };
    html! {
        <>
            <p>{ "Read the seal on the container, not from a list. Open it and count what is in it. What was declared is shown after you have typed all three." }</p>
            <EachContainer step={Step::Count} form={Callback::from(form)} />
        </>
    }
}

#[function_component]
fn CountOne(props: &OfContainer) -> Html {
    let shop = use_shop();
    let id = props.container;
    let form = use_form(|| {
        shop.desk()
            .destruction
            .found
            .get(&id)
            .cloned()
            .unwrap_or_default()
    });
    let compare = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| uncover(&shop, id, &form))
    };
    use_counted(&shop, id, &form);
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name="found-seal" label="Seal number found" mono=true />
                <Field form={form.clone()} name="found-sheets" label="Sheets counted" inputmode={Some(AttrValue::from("numeric"))} />
                <Field form={form.clone()} name="found-notes" label="Notes counted" inputmode={Some(AttrValue::from("numeric"))} />
            </div>
            <button type="button" onclick={compare} data-action="compare">{ "Compare with what was declared" }</button>
            { compared(&shop, id) }
        </>
    }
}

/// Keeps what is typed; a changed count is blind again.
#[hook]
fn use_counted(shop: &Shop, id: ContainerId, form: &Form) {
    let shop = shop.clone();
    use_effect_with(form.typed().clone(), move |typed| {
        change(&shop, |draft| draft.count(id, typed));
    });
}

fn uncover(shop: &Shop, id: ContainerId, form: &Form) {
    let mut errors = None;
    change(shop, |draft| errors = draft.compare(id).err());
    if errors.is_none() {
        errors = with_draft(shop, |draft, at| {
            draft.container_right(Step::Count, id, at).err()
        })
        .flatten();
        form.fail(told(errors, form.typed()));
    } else {
        form.fail(errors.unwrap_or_default());
    }
}

fn compared(shop: &Shop, id: ContainerId) -> Html {
    let Some(Some((seal, contents))) = with_draft(shop, |draft, at| draft.declared(id, at)) else {
        return Html::default();
    };
    let right = with_draft(shop, |draft, at| {
        draft.container_right(Step::Count, id, at).is_ok()
    });
    let pieces = sheets_and_notes(contents.sheets.into(), contents.notes.into());
    let declared = format!("Declared: seal {seal}, {pieces}.");
    let (class, verdict) = match right {
        Some(true) => ("agrees", "Seal and counts agree."),
        _ => (
            "differs",
            "They differ. Count again. If they still differ: leave it out of this session, keep it locked away and have the difference explained.",
        ),
    };
    html! {
        <div class={classes!("compared", class)} role="status" data-compared={class}>
            <p>{ declared }</p><p><b>{ verdict }</b></p>
        </div>
    }
}
