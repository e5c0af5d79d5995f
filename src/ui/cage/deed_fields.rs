//! The fields of each deed, with a sentence that says what it does.

use std::cell::RefCell;
use std::rc::Rc;

use yew::prelude::*;

use crate::custody::{Container, ContainerId, Item};
use crate::desk::Burst;
use crate::desk::forms::{CHECK_DIFFERS, MEND_MASSES, SEAL_MASSES};
use crate::export::sheets_and_notes;
use crate::ui::Shop;
use crate::ui::kit::{Choice, Field, Form, Pick, Tick};

use super::containers::{open_choices, second_choices};
use super::deed::Deed;
use super::masses::mass_fields;
use super::seal::seal_fields;
use super::text::Lines;

/// A piece as a list takes it.
pub fn typed_piece(item: &Item) -> String {
    match item {
        Item::Sheet(lot, sheet) => format!("{lot}/{sheet}"),
        Item::Note(serial) => serial.to_string(),
        Item::Replacement(serial) => serial.to_string(),
    }
}

const LIST: &str = "One a line, typed or scanned. A sheet as LOT/number.";

pub fn fields(
    deed: Deed,
    container: Option<ContainerId>,
    form: &Form,
    burst: &Rc<RefCell<Burst>>,
    shop: &Shop,
) -> Html {
    let text = |name: &'static str, label: &'static str, hint: &'static str| {
        html! { <Field form={form.clone()} {name} {label} {hint} /> }
    };
    let list = |name: &'static str, label: &'static str, hint: &'static str| {
        html! { <Lines form={form.clone()} {name} {label} {hint} /> }
    };
    let state = shop.state();
    let known = container.and_then(|id| state.cage.containers.get(&id));
    match deed {
        Deed::Move => html! { <>
            <p>{ "One person may move a container: its seal shows whether it was opened on the way." }</p>
            { text("move-place", "Where it stands now", "Like \"cage, shelf 3\", at most 40 characters") }
        </> },
        Deed::Check => html! { <>
            <p>{ "Read the number from the seal itself. If it is broken, gone or another one, the container is held at once." }</p>
            { pick(form, "check-how", "The seal is", &[("whole", "whole"), ("broken", "broken"), ("none", "not there")]) }
            { found_on_it(form) }
        </> },
        Deed::Hold => html! { <>
            <p>{ "For a doubt that is not about its seal. It is then counted again by two, explained and sealed anew." }</p>
            { text("hold-reason", "Why it is held", "Like \"a count in the session differs\" or \"its lid is bent\"") }
        </> },
        Deed::Recount => recount(known, form, shop),
        Deed::Reseal => html! { <>
            <p>{ "A new seal with a new number. The one before stays used for ever." }</p>
            { seal_fields(form, burst, &state) }
            { mass_fields(shop, form, SEAL_MASSES, known) }
            { second(form, "seal-second", shop) }
        </> },
        Deed::TakeOut => html! { <>
            <p>{ "For pieces that went into the wrong container. The entry that put them in is corrected, and stays in the book." }</p>
            { list("out-list", "Pieces to take out", LIST) }
            <Pick form={form.clone()} name="out-to" label="Into" hint="Leave it at Choose… to make them loose again" choices={others(container, shop)} />
            { text("out-reason", "Why", "What went wrong") }
        </> },
        Deed::Correct => correct(known, form, shop),
        Deed::Retire => html! { <>
            <p>{ "An empty container is taken out of use. Its number is not used again." }</p>
            { text("retire-reason", "Why", "Like \"opened by mistake\"") }
        </> },
        Deed::Lose => html! { <>
            <p>{ "Missing or loose pieces that are given up. Two people sign, and the loss stays on this page and in every record for ever." }</p>
            { list("lost-list", "Pieces given up", LIST) }
            { text("lost-reason", "Why", "What was searched, and what is thought to have happened") }
            { second(form, "lost-second", shop) }
        </> },
        Deed::Find => html! { <>
            <p>{ "Pieces that were missing or declared lost and turned up. They are loose then, and go into a container." }</p>
            { list("found-list", "Pieces found", LIST) }
            { text("found-remark", "Where and how", "Like \"under the guillotine\"") }
        </> },
    }
}

/// The number of a seal that is there; a broken one may not show it any more.
fn found_on_it(form: &Form) -> Html {
    let hint = match form.typed().get("check-how") {
        "none" => return Html::default(),
        "broken" => "As it stands on the seal; leave it empty if it cannot be read",
        _ => "As it stands on the seal",
    };
    // Asked for only where it matters: a number that was not the one it was sealed with.
    let asked = form.error("check-found").is_some() || form.typed().ticked(CHECK_DIFFERS);
    html! {
        <>
            <Field form={form.clone()} name="check-found" label="Number found on it" {hint} mono=true />
            if asked && form.typed().get("check-how") == "whole" {
                <Tick form={form.clone()} name={CHECK_DIFFERS} label="Its number does differ: the container is held" />
            }
        </>
    }
}

fn pick(
    form: &Form,
    name: &'static str,
    label: &'static str,
    values: &[(&'static str, &'static str)],
) -> Html {
    let choices = values
        .iter()
        .map(|(value, shown)| ((*value).into(), (*shown).into()));
    let choices: Vec<Choice> = choices.collect();
    html! { <Pick form={form.clone()} {name} {label} {choices} /> }
}

/// Who signs as the second person.
fn second(form: &Form, name: &'static str, shop: &Shop) -> Html {
    let desk = shop.desk();
    let first = desk.signer_name().unwrap_or_default();
    html! { <>
        <p>{ format!("First person: {first}. The second signs too.") }</p>
        <Pick form={form.clone()} {name} label="Second person" choices={second_choices(desk.state(), desk.signed_in)} />
    </> }
}

/// Other open containers.
fn others(container: Option<ContainerId>, shop: &Shop) -> Vec<Choice> {
    let own = container.map(|id| id.to_string()).unwrap_or_default();
    let mut choices = open_choices(&shop.state());
    choices.retain(|(value, _)| *value != own);
    choices
}

fn recount(container: Option<&Container>, form: &Form, shop: &Shop) -> Html {
    let declared = container.map(Container::contents).unwrap_or_default();
    let declared = sheets_and_notes(declared.sheets.into(), declared.notes.into());
    let how = form.typed().get("recount-how").to_owned();
    let number = |name: &'static str, label: &'static str| {
        html! { <Field form={form.clone()} {name} {label} hint="By hand, both together" inputmode={Some(AttrValue::from("numeric"))} /> }
    };
    html! { <>
        <p>{ format!("Two people open it and count. Declared: {declared}.") }</p>
        { pick(form, "recount-how", "How you counted", &[("all", "every piece listed or scanned"), ("named", "counted, and the differing pieces named")]) }
        if how == "named" {
            <div class="fields">{ number("recount-sheets", "Sheets counted") }{ number("recount-notes", "Notes counted") }</div>
            <Lines form={form.clone()} name="recount-missing" label="Missing" hint="Declared and not there; empty if nothing is missing" />
            <Lines form={form.clone()} name="recount-found" label="Found besides" hint="There, though the book has them as missing or loose" />
        } else {
            <Lines form={form.clone()} name="recount-list" label="Every piece that is there" hint={LIST} />
        }
        <Field form={form.clone()} name="recount-why" label="Explanation" hint="What happened, as far as you know" />
        { second(form, "recount-second", shop) }
    </> }
}

fn correct(container: Option<&Container>, form: &Form, shop: &Shop) -> Html {
    html! { <>
        <p>{ "For what was written amiss at sealing. Put every fact as it should be, and leave empty what was not weighed; what stood there before stays on the page." }</p>
        <div class="fields">
            <Field form={form.clone()} name="mend-seal" label="Seal number" hint="As it stands on the seal" mono=true />
            <Field form={form.clone()} name="mend-again" label="Seal number again" hint="Only when the number changes" mono=true />
        </div>
        { mass_fields(shop, form, MEND_MASSES, container) }
        <Field form={form.clone()} name="mend-reason" label="Why" hint="How the mistake happened" />
        { second(form, "mend-second", shop) }
    </> }
}
