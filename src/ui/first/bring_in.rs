//! Bringing a saved book in: every line is checked, then the book is shown, then it is taken.

use std::rc::Rc;

use gloo::file::File;
use gloo::timers::future::TimeoutFuture;
use yew::prelude::*;

use crate::book::{Book, BookError, text_of};
use crate::desk::{Action, Space};
use crate::ui::kit::{BOOK_FILE_MAX, FilePick, count};
use crate::ui::{Shop, use_shop};

/// How far a file is.
enum Coming {
    NotYet,
    /// Lines that hold so far, and lines in all.
    Reading(u64, u64),
    Refused(String),
    Holds(Rc<Book>),
}

/// What a copy is brought in for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Onto {
    /// A machine that has no book.
    NewMachine,
    /// A stored book that cannot be opened.
    Broken,
}

impl Onto {
    fn id(self) -> &'static str {
        match self {
            Self::NewMachine => "bring-in",
            Self::Broken => "bring-in-copy",
        }
    }

    fn take(self, book: &Book) -> Action {
        let lines = book.texts().to_vec();
        match self {
            Self::NewMachine => Action::Adopt {
                space: Space::Real,
                lines,
            },
            Self::Broken => Action::BringIn(lines),
        }
    }
}

#[derive(PartialEq, Properties)]
pub struct CopyProps {
    pub onto: Onto,
}

/// A saved copy on its way in.
#[function_component]
pub fn SavedCopy(props: &CopyProps) -> Html {
    let shop = use_shop();
    let onto = props.onto;
    let file = use_state(|| Coming::NotYet);
    let onfile = {
        let file = file.setter();
        Callback::from(move |chosen: web_sys::File| {
            let file = file.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let told = |held, all| file.set(Coming::Reading(held, all));
                let read = read_book(onto, &File::from(chosen), told).await;
                file.set(match read {
                    Ok(book) => Coming::Holds(Rc::new(book)),
                    Err(why) => Coming::Refused(why),
                });
            });
        })
    };
    let (label, below) = match &*file {
        Coming::NotYet => ("Choose the file", Html::default()),
        Coming::Reading(held, all) => ("Choose the file", reading(*held, *all)),
        Coming::Refused(why) => (
            "Choose another file",
            html! { <p class="error" role="alert">{ why }</p> },
        ),
        Coming::Holds(book) => ("Choose another file", found(&shop, onto, book)),
    };
    html! {
        <>
            <p>{ "Every line is checked before anything is kept. A book that does not hold is refused, with the line that breaks it." }</p>
            { below }
            if !matches!(*file, Coming::Reading(..)) {
                <FilePick id={onto.id()} {label} accept=".jsonl" {onfile} />
            }
        </>
    }
}

fn reading(held: u64, all: u64) -> Html {
    html! {
        <div role="status">
            <p>{ format!("{} of {} entries hold so far.", count(held), count(all)) }</p>
            <progress max={all.to_string()} value={held.to_string()} aria-label="Entries checked" />
        </div>
    }
}

/// What the book is, and the word that takes it.
fn found(shop: &Shop, onto: Onto, book: &Rc<Book>) -> Html {
    let take = {
        let book = Rc::clone(book);
        shop.on(move |_: MouseEvent| onto.take(&book))
    };
    let fact =
        |name: &'static str, value: String| html! { <><dt>{ name }</dt><dd>{ value }</dd></> };
    let state = book.state();
    let days: Vec<String> = state.days.keys().map(ToString::to_string).collect();
    let begins = (book.first_seq() > 0).then(|| {
        let archived = state.archive.entries();
        format!(
            "at entry {}; {archived} are in its archive",
            book.first_seq()
        )
    });
    html! {
        <>
            <p class="mark good" role="status">{ "Every entry of this book holds." }</p>
            <dl class="life">
                if let Some(opened) = &state.opened {
                    { fact("Works", opened.works.clone()) }
                    { fact("Bench", opened.bench.to_string()) }
                    { fact("Opened", opened.at.dated()) }
                }
                if let Some(begins) = begins { { fact("Begins", begins) } }
                { fact("Entries", count(book.len())) }
                if let Some(last) = days.last() { { fact("Last day", last.clone()) } }
                if let Some(head) = book.whole_head() { { fact("Code of its head", head.code().to_string()) } }
            </dl>
            if onto == Onto::NewMachine {
                <p class="caution">{ "The book holds no keys. Have the file of keys at hand that was saved beside it (Office, People, Save the keys): without a key on this machine nobody can sign here, and nobody can give a new one." }</p>
            }
            <p>{ "Compare the code with one that was written down elsewhere: an older copy holds as well." }</p>
            <p class="submit"><button type="button" class="primary" onclick={take} data-action="take-book">{ "Take this book" }</button></p>
        </>
    }
}

async fn read_book(onto: Onto, file: &File, told: impl Fn(u64, u64)) -> Result<Book, String> {
    if file.size() > BOOK_FILE_MAX {
        let most = BOOK_FILE_MAX >> 20;
        return Err(format!(
            "The file is larger than {most} MB, more than a book of one bench can be. Choose another file."
        ));
    }
    let bytes = gloo::file::futures::read_as_bytes(file).await;
    let bytes =
        bytes.map_err(|why| format!("The file could not be read ({why}). Choose it again."))?;
    let book = verified(&bytes, told).await;
    let book = book.map_err(|why| why.to_string())?;
    let opened = book.state().opened.as_ref();
    // What is stored may itself be practice: the desk knows, and says whether the copy fits.
    match onto == Onto::NewMachine && opened.is_some_and(|opened| opened.practice) {
        true => Err("This is a practice book. It cannot become a real one.".to_owned()),
        false => Ok(book),
    }
}

/// Lines verified before the page gets its turn.
const SLICE: u64 = 100;

async fn verified(file: &[u8], told: impl Fn(u64, u64)) -> Result<Book, BookError> {
    let all = file.iter().filter(|byte| **byte == b'\n').count() as u64;
    let mut book = Book::default();
    for (held, raw) in (0..).zip(file.split_inclusive(|byte| *byte == b'\n')) {
        if held % SLICE == 0 {
            told(held, all);
            TimeoutFuture::new(0).await;
        }
        book.push_text(text_of(raw, book.len())?)?;
    }
    match book.is_empty() {
        true => Err(BookError::Empty),
        false => Ok(book),
    }
}
