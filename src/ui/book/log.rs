//! Every line of the book, the last first: filtered, searched, and opened one by one.

use std::rc::Rc;

use gloo::timers::callback::Timeout;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use crate::book::{Book, KindGroup};
use crate::desk::log::{LogFilter, LogSearch};
use crate::people::PersonId;
use crate::ui::kit::{count, number_of};
use crate::ui::use_shop;

use super::line::LineDialog;
use super::rows::Rows;

/// Lines looked at before the page draws again.
const SLICE: u64 = 2_000;

/// The search as the list shares it. Two that found as much of the same are the same.
#[derive(Clone)]
pub struct Shared(pub Rc<LogSearch>);

impl PartialEq for Shared {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

#[function_component]
pub fn Log() -> Html {
    let shop = use_shop();
    let filter = use_state(LogFilter::default);
    let words = use_state(String::new);
    let search = use_state(|| start(&LogFilter::default(), &shop.desk().book));
    let opened = use_state(|| None::<u64>);
    let wanted = (*filter).clone().with_words(&words);
    {
        let (shop, search) = (shop.clone(), search.clone());
        let length = shop.desk().book.len();
        let so_far = Shared(Rc::clone(&search));
        use_effect_with((wanted, length, so_far), move |(wanted, ..)| {
            let more = go_on(&search, wanted, &shop.desk().book);
            let timer = more.then(|| {
                Timeout::new(0, move || {
                    let mut next = (**search).clone();
                    next.look(&shop.desk().book, SLICE);
                    search.set(Rc::new(next));
                })
            });
            move || drop(timer)
        });
    }
    let onopen = {
        let opened = opened.clone();
        Callback::from(move |seq| opened.set(Some(seq)))
    };
    let onclose = {
        let opened = opened.clone();
        Callback::from(move |()| opened.set(None))
    };
    html! {
        <div class="log">
            { controls(&shop.desk().book, &filter, &words) }
            <p class="found" role="status" data-found={search.len().to_string()} data-done={search.is_done().to_string()}>{ found(&search) }</p>
            <Rows search={Shared(Rc::clone(&search))} onopen={onopen.clone()} />
            if let Some(seq) = *opened { <LineDialog {seq} {onclose} {onopen} /> }
        </div>
    }
}

fn start(filter: &LogFilter, book: &Book) -> Rc<LogSearch> {
    let mut search = LogSearch::new(filter.clone(), book);
    search.look(book, SLICE);
    Rc::new(search)
}

/// Begins anew when the filter or the book has changed; else whether there is more to look at.
fn go_on(search: &UseStateHandle<Rc<LogSearch>>, wanted: &LogFilter, book: &Book) -> bool {
    if search.is_of(wanted, book) {
        return !search.is_done();
    }
    search.set(start(wanted, book));
    false
}

fn found(search: &LogSearch) -> String {
    if search.is_done() && search.is_empty() {
        return "No entry matches. Take a word or a filter away.".to_owned();
    }
    let lines = number_of(search.len(), "entry", "entries");
    match search.is_done() {
        true => format!("{lines}. Entries are numbered from 0."),
        false => format!("{lines} so far, {} looked at…", count(search.looked())),
    }
}

fn controls(
    book: &Book,
    filter: &UseStateHandle<LogFilter>,
    words: &UseStateHandle<String>,
) -> Html {
    let oninput = {
        let words = words.clone();
        Callback::from(move |event: InputEvent| {
            words.set(event.target_unchecked_into::<HtmlInputElement>().value());
        })
    };
    let state = book.state();
    let groups = KindGroup::ALL
        .iter()
        .map(|group| (group.name().to_owned(), group.name().to_owned()));
    let everyone = state.people.values().chain(state.retired.values());
    let people = everyone.map(|person| (person.person.to_string(), person.name.to_string()));
    let days = state
        .days
        .keys()
        .rev()
        .map(|day| (day.to_string(), day.to_string()));
    let group = |filter: &mut LogFilter, chosen: &str| {
        filter.group = KindGroup::ALL
            .into_iter()
            .find(|group| group.name() == chosen);
    };
    html! {
        <div class="log-filter">
            <div class="field">
                <label for="log-words">{ "Search" }</label>
                <input id="log-words" type="search" value={(**words).clone()} {oninput} autocomplete="off" spellcheck="false"
                    placeholder="Lot, serial, seal, name, reason…" />
            </div>
            { choice(("log-group", "About", "Everything"), groups, filter, filter.group.map(KindGroup::name).unwrap_or_default(), group) }
            { choice(("log-person", "By", "Everyone"), people, filter, filter.person.as_ref().map(PersonId::as_str).unwrap_or_default(), |filter, chosen| filter.person = chosen.parse().ok()) }
            { choice(("log-day", "Production day", "Every day"), days, filter, &filter.day.map(|day| day.to_string()).unwrap_or_default(), |filter, chosen| filter.day = chosen.parse().ok()) }
        </div>
    }
}

/// A list to choose from, whose values are those that the filter reads; the first choice is all.
fn choice(
    (id, label, all): (&'static str, &'static str, &'static str),
    values: impl Iterator<Item = (String, String)>,
    filter: &UseStateHandle<LogFilter>,
    chosen: &str,
    change: fn(&mut LogFilter, &str),
) -> Html {
    let filter = filter.clone();
    let onchange = Callback::from(move |event: Event| {
        let mut changed = (*filter).clone();
        let select: HtmlSelectElement = event.target_unchecked_into();
        change(&mut changed, &select.value());
        filter.set(changed);
    });
    let option = |(value, shown): (String, String)| {
        let selected = value == chosen;
        html! { <option key={value.clone()} {value} {selected}>{ shown }</option> }
    };
    html! {
        <div class="field">
            <label for={id}>{ label }</label>
            <select {id} {onchange}>
                <option value="" selected={chosen.is_empty()}>{ all }</option>
                { for values.map(option) }
            </select>
        </div>
    }
}
