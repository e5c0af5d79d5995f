//! The three ways to begin.

use yew::prelude::*;

use crate::book::{Book, BookError, text_of};
use crate::desk::forms::{FieldErrors, NewBook, Typed, new_book};
use crate::desk::practice::practice_book;
use crate::desk::{Action, Space};
use crate::people::Passphrase;
use crate::ui::kit::{ErrorSummary, Field, FilePick, NewPassphrase, Panel, use_form};
use crate::ui::shell::{message, newer};
use crate::ui::{Shop, use_shop};

/// First visit.
pub fn first_visit(shop: &Shop) -> Html {
    html! {
        <main class="first">
            <header>
                <p class="brand">{ "Cullbook" }</p>
                <h1>{ "The book that accounts for every spoiled sheet" }</h1>
                <p>{ "It is kept in this browser, on this machine, and works without a network. How would you like to begin?" }</p>
            </header>
            { newer(&shop) }
            { message(&shop) }
            <div class="ways"><OpenBook />{ practise(&shop) }<BringIn /></div>
        </main>
    }
}

#[function_component]
fn OpenBook() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let busy = use_state(|| false);
    let onsubmit = {
        let (shop, form, busy) = (shop, form.clone(), busy.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match new_book(form.typed()) {
                Ok((book, passphrase)) => {
                    form.fail(FieldErrors::default());
                    busy.set(true);
                    let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
                    wasm_bindgen_futures::spawn_local(async move {
                        if let Err(why) = open(&shop, book, passphrase).await {
                            form.fail(FieldErrors::one("", why));
                        }
                        busy.set(false);
                    });
                }
                Err(errors) => form.fail(errors),
            }
        })
    };
    html! {
        <Panel title="Open a new book" lead="For a bench that starts today. You are its first supervisor and enrol the others.">
            <form {onsubmit} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <Field form={form.clone()} name="works" label="Works" hint="As certificates should print it" />
                <Field form={form.clone()} name="bench" label="Bench" hint="A short name: letters, figures, dot, hyphen" />
                <Field form={form.clone()} name="name" label="Your name" hint="As it should be printed" />
                <Field form={form.clone()} name="person" label="Your code" hint="Short and yours alone, like ida or S-01" />
                <NewPassphrase form={form.clone()} />
                <button type="submit" class="primary" disabled={*busy}>{ if *busy { "Making your key…" } else { "Open the book" } }</button>
            </form>
        </Panel>
    }
}

/// Makes the supervisor's key, then the book that is signed with it.
async fn open(shop: &Shop, new: NewBook, passphrase: Passphrase) -> Result<(), String> {
    let key = shop.new_key(new.supervisor, Some(passphrase)).await;
    let key = key.map_err(|why| why.to_string())?;
    let book = shop.with_env(|env| new.open(&key, env));
    let lines = book.map_err(|why| why.to_string())?.texts().to_vec();
    let space = Space::Real;
    shop.act(Action::Adopt { space, lines });
    Ok(())
}

fn practise(shop: &Shop) -> Html {
    let shop = shop.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        let action = match shop.with_env(practice_book) {
            Ok(lines) => Action::Adopt {
                space: Space::Practice,
                lines,
            },
            Err(why) => Action::Problem(why.to_string()),
        };
        shop.act(action);
    });
    html! {
        <Panel title="Practise" lead="A day at the Brackwater works of the Calder Isles: a lot of 10 000 sheets of the 20 merin note, one morning in.">
            <p>{ "Everything in it is invented. It is kept apart from any real book, marked PRACTICE on every screen and print, and can be thrown away." }</p>
            <button type="button" {onclick} data-action="practise">{ "Start practising" }</button>
        </Panel>
    }
}

#[function_component]
fn BringIn() -> Html {
    let shop = use_shop();
    let problem = use_state(|| None::<String>);
    let onfile = {
        let problem = problem.clone();
        Callback::from(move |file: web_sys::File| {
            let (shop, problem) = (shop.clone(), problem.clone());
            wasm_bindgen_futures::spawn_local(async move {
                match read_book(&gloo::file::File::from(file)).await {
                    Ok(lines) => shop.act(Action::Adopt {
                        space: Space::Real,
                        lines,
                    }),
                    Err(why) => problem.set(Some(why)),
                }
            });
        })
    };
    html! {
        <Panel title="Bring in a book" lead="A copy saved earlier (a .jsonl file), on a new machine or after the browser's data was cleared.">
            <p>{ "Every line is checked before anything is kept. A book that does not hold is refused, with the line that breaks it." }</p>
            if let Some(why) = &*problem { <p class="error" role="alert">{ why }</p> }
            <FilePick id="bring-in" label="Choose the file" accept=".jsonl" {onfile} />
        </Panel>
    }
}

/// Largest book file that is read, in bytes.
const BOOK_MAX: u64 = 200 << 20;

/// The bytes of a file that may be a book.
pub(super) async fn read_file(file: &gloo::file::File) -> Result<Vec<u8>, String> {
    if file.size() > BOOK_MAX {
        return Err("The file is larger than 200 MB, more than a book of one bench can be. Choose another file.".to_owned());
    }
    let bytes = gloo::file::futures::read_as_bytes(file).await;
    bytes.map_err(|why| format!("The file could not be read ({why}). Choose it again."))
}

async fn read_book(file: &gloo::file::File) -> Result<Vec<std::rc::Rc<str>>, String> {
    let bytes = read_file(file).await?;
    let book = verified(&bytes).await.map_err(|why| why.to_string())?;
    if book
        .state()
        .opened
        .as_ref()
        .is_some_and(|opened| opened.practice)
    {
        return Err("This is a practice book. It cannot become a real one.".to_owned());
    }
    Ok(book.texts().to_vec())
}

/// The lines of a file that may be a book, as they are hashed.
pub(super) fn lines_of(file: &[u8]) -> Result<Vec<std::rc::Rc<str>>, String> {
    let lines = (0..).zip(file.split_inclusive(|byte| *byte == b'\n'));
    let lines = lines.map(|(line, raw)| text_of(raw, line).map(std::rc::Rc::from));
    lines
        .collect::<Result<_, _>>()
        .map_err(|why: BookError| why.to_string())
}

/// Lines verified before the page gets its turn.
const SLICE: usize = 100;

async fn verified(file: &[u8]) -> Result<Book, BookError> {
    let mut book = Book::default();
    for (count, raw) in (1..).zip(file.split_inclusive(|byte| *byte == b'\n')) {
        book.push_text(text_of(raw, book.len())?)?;
        if count % SLICE == 0 {
            gloo::timers::future::TimeoutFuture::new(0).await;
        }
    }
    match book.is_empty() {
        true => Err(BookError::Empty),
        false => Ok(book),
    }
}
