//! Archiving closed days: what has to be settled, the archive saved and shown, the checkpoint
//! signed, the lines removed.

use web_sys::SubmitEvent;
use yew::prelude::*;

use crate::book::{Entry, Unsettled};
use crate::desk::archiving::{SECOND, Step, checkpoint, is_archive, is_archive_head};
use crate::desk::forms::{FieldErrors, Typed};
use crate::desk::{Action, Desk, Download};
use crate::export::{book_file, read_head};
use crate::people::Duty;
use crate::ui::kit::{Confirm, ErrorSummary, Field, FilePick, Form, Panel, count, use_form};
use crate::ui::{Shop, use_shop};

use super::health::size;

/// The field for a head that was read from the archive elsewhere.
const HEAD: &str = "archive-head";

#[function_component]
pub fn Archive() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let desk = shop.desk();
    let step = desk.archiving();
    let may = desk.may(Duty::Archive);
    html! {
        <Panel title="Archive closed days" lead="Entries of closed days leave this browser for a file that is kept elsewhere, and the book goes on from what it needs of them. The file and the book behind it are one chain.">
            { facts(&desk, &step) }
            if !may {
                <p class="empty">{ "Archiving is for a supervisor, with a second supervisor or a custodian." }</p>
            }
            <ErrorSummary form={form.clone()} title="Not archived" />
            <ol class="archive-steps" data-step={slug(&step)}>
                { part("Settle what is open", done(&step, 0), match &step {
                    Step::Unsettled(left) => unsettled(left),
                    Step::NothingClosed => html! { <p>{ "No lot was closed in the entries that are here, so there is nothing to archive yet." }</p> },
                    _ => html! { <p>{ "Every lot and day is closed, every spoil destroyed." }</p> },
                }) }
                { part("Save the archive", done(&step, 1), save(&shop, may && matches!(step, Step::Show | Step::Sign))) }
                { part("Show that it is kept", done(&step, 2), show(&shop, &form, may && step == Step::Show)) }
                { part("Sign the checkpoint", done(&step, 3), sign(&shop, &form, may && step == Step::Sign)) }
                { part("Remove what the archive has", false, html! { <Remove open={may && step == Step::Remove} /> }) }
            </ol>
        </Panel>
    }
}

fn slug(step: &Step) -> &'static str {
    match step {
        Step::NothingClosed | Step::Unsettled(_) => "settle",
        Step::Show => "show",
        Step::Sign => "sign",
        Step::Remove => "remove",
    }
}

/// Whether a part, counted from 0, is behind.
fn done(step: &Step, part: u8) -> bool {
    let reached = match step {
        Step::NothingClosed | Step::Unsettled(_) => 0,
        Step::Show => 1,
        Step::Sign => 3,
        Step::Remove => 4,
    };
    part < reached
}

fn part(title: &'static str, done: bool, content: Html) -> Html {
    html! {
        <li class={classes!(done.then_some("done"))}>
            <h3>{ title }{ done.then(|| html! { <span class="mark good">{ "done" }</span> }) }</h3>
            { content }
        </li>
    }
}

fn facts(desk: &Desk, step: &Step) -> Html {
    let book = &desk.book;
    let archived = desk.state().archive.entries();
    let here = match (book.first_seq(), book.len() - book.first_seq()) {
        (0, here) => format!("All {} entries are here.", count(here)),
        (first, 1) => format!(
            "1 entry is here, number {}; the archive has {archived}.",
            count(first)
        ),
        (first, here) => format!(
            "{} entries are here, from number {} on; the archive has {archived}.",
            count(here),
            count(first)
        ),
    };
    let won = desk
        .archive_saves()
        .filter(|(leaves, stays)| matches!(step, Step::Show | Step::Sign) && leaves > stays);
    let won = won.map(|(leaves, stays)| {
        format!(
            " Archiving now frees {} of {} in each home.",
            size(leaves - stays),
            size(leaves)
        )
    });
    html! { <p>{ here }{ won }</p> }
}

fn unsettled(left: &[Unsettled]) -> Html {
    let item = |one: &Unsettled| {
        let text = one.to_string();
        let (first, rest) = text.split_at(text.chars().next().map_or(0, char::len_utf8));
        html! { <li>{ first.to_uppercase() }{ rest }{ "." }</li> }
    };
    html! { <ul data-unsettled={left.len().to_string()}>{ for left.iter().map(item) }</ul> }
}

fn save(shop: &Shop, open: bool) -> Html {
    let onclick = {
        let shop = shop.clone();
        Callback::from(move |_: MouseEvent| {
            let today = shop.state().day_of(&shop.now());
            let file = book_file(&shop.desk().book, today);
            if let Some((name, bytes)) = file {
                let (name, mime) = (name.replace("_book_", "_archive_"), "application/jsonl");
                shop.act(Action::Save(Download { name, mime, bytes }));
            }
        })
    };
    html! {
        <>
            <p>{ "Every entry up to now, as it is chained. Keep two copies apart, with the papers that must last. Record nothing until the checkpoint is signed, or save it again." }</p>
            <button type="button" disabled={!open} {onclick} data-action="save-archive">{ "Save the archive" }</button>
        </>
    }
}

fn show(shop: &Shop, form: &Form, open: bool) -> Html {
    let tell = |shop: &Shop, form: &Form, found: Result<(), String>| match found {
        Ok(()) => {
            form.fail(FieldErrors::default());
            let head = shop.desk().book.head();
            shop.act(Action::ArchiveSeen(head));
        }
        Err(why) => form.fail(FieldErrors::one(HEAD, why)),
    };
    let onfile = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |file: web_sys::File| {
            let (shop, form) = (shop.clone(), form.clone());
            wasm_bindgen_futures::spawn_local(async move {
                let found = held_against(&shop, &gloo::file::File::from(file)).await;
                tell(&shop, &form, found);
            });
        })
    };
    let oncheck = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |_: MouseEvent| {
            let kept = read_head(&form.text(HEAD)).map_err(|why| why.to_string());
            let found = kept.and_then(|kept| {
                is_archive_head(&shop.desk().book, &kept).map_err(|why| why.to_string())
            });
            tell(&shop, &form, found);
        })
    };
    html! {
        <>
            <p>{ "Choose the file from where it is kept; it is compared byte for byte. Or verify it on another machine (cullbook-audit verify) and type the head that is shown there. Nothing is removed on anybody's word alone." }</p>
            if open {
                <FilePick id="archive-file" label="Choose the kept file" accept=".jsonl" {onfile} />
                <Field form={form.clone()} name={HEAD} label="Or its head" mono=true hint="All 64 digits, or the short code" />
                <button type="button" onclick={oncheck} data-action="check-archive">{ "Check the head" }</button>
            }
        </>
    }
}

/// A file much larger than the book cannot be its archive, and is not read.
async fn held_against(shop: &Shop, file: &gloo::file::File) -> Result<(), String> {
    let most: usize = shop
        .desk()
        .book
        .texts()
        .iter()
        .map(|text| text.len() + 1)
        .sum();
    if file.size() > most as u64 {
        return Err(
            "This file is longer than the book here. Choose the archive that was just saved."
                .to_owned(),
        );
    }
    let bytes = gloo::file::futures::read_as_bytes(file).await;
    let bytes =
        bytes.map_err(|why| format!("The file could not be read ({why}). Choose it again."))?;
    is_archive(&shop.desk().book, &bytes).map_err(|why| why.to_string())
}

fn sign(shop: &Shop, form: &Form, open: bool) -> Html {
    let desk = shop.desk();
    let signing = desk.signing.as_ref();
    if signing.is_some_and(|signing| matches!(signing.entry, Entry::BookCheckpoint(_))) {
        return html! { <p role="status">{ "The statement is laid out. Sign it, then record it." }</p> };
    }
    let onsubmit = {
        let (shop, form) = (shop.clone(), form.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            if let Err(errors) = lay_out(&shop, &form) {
                form.fail(errors);
            }
        })
    };
    html! {
        <form {onsubmit} novalidate=true data-form="checkpoint">
            <p>{ "From this entry on the book can be read without its archive. A second supervisor or a custodian signs that the archive is kept." }</p>
            if open {
                <Field form={form.clone()} name={SECOND} label="Second person's code" hint="Signs here too" />
                <button type="submit" class="primary" data-action="checkpoint">{ "Go on from a checkpoint" }</button>
            }
        </form>
    }
}

fn lay_out(shop: &Shop, form: &Form) -> Result<(), FieldErrors> {
    let entry = {
        let desk = shop.desk();
        let by = desk
            .signed_in
            .ok_or_else(|| FieldErrors::one("", "Sign in first."))?;
        checkpoint(form.typed(), &desk.book, by)?
    };
    form.fail(FieldErrors::default());
    shop.act(Action::BeginSigning(Box::new(entry)));
    Ok(())
}

#[derive(Properties, PartialEq)]
struct RemoveProps {
    open: bool,
}

#[function_component]
fn Remove(props: &RemoveProps) -> Html {
    let shop = use_shop();
    let asking = use_state(|| false);
    let ask = |now: bool| {
        let asking = asking.clone();
        Callback::from(move |()| asking.set(now))
    };
    let onconfirm = {
        let (shop, done) = (shop.clone(), ask(false));
        Callback::from(move |()| {
            done.emit(());
            shop.act(Action::DropArchived);
        })
    };
    let entries = shop.state().archive.entries();
    if !props.open {
        return html! { <p>{ "Once the checkpoint is recorded, the entries before it can leave this browser." }</p> };
    }
    html! {
        <>
            <p>{ format!("The checkpoint is recorded. The archive has {entries}; they can leave this browser now. Until then both are readable.") }</p>
            <button type="button" class="danger" onclick={ask(true).reform(|_: MouseEvent| ())} data-action="drop-archived">{ format!("Remove {entries}") }</button>
            if *asking {
                <Confirm action={format!("Remove {entries}")} {onconfirm} oncancel={ask(false)}
                    text="They leave this browser for good. From then on they are in the archive file only: be sure that it is kept where you would look for it." />
            }
        </>
    }
}
