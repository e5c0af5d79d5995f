//! The two homes of the book: what each holds, what was healed, how much room is left, and what
//! this tab may do.

use yew::prelude::*;

use crate::book::{Home, StoreHealed};
use crate::desk::Desk;
use crate::desk::homes::{Homes, ROOM, Room, SecondState, Tab};
use crate::ui::Shop;
use crate::ui::kit::count;

/// The panel. A plain function, for the screen that shows the book's health.
pub fn homes(shop: &Shop) -> Html {
    let desk = shop.desk();
    html! {
        <section class="panel homes" data-homes={state(&desk.homes)}>
            <h2>{ "Where the book is kept" }</h2>
            <p class="lead">{ "An entry counts as recorded once the first home has it on disk. The second is there to notice a loss, and to mend it." }</p>
            { table(&desk) }
            <ul class="plain">
                <li data-tab={tab_slug(desk.homes.tab)}>{ tab_words(desk.homes.tab) }</li>
                <li data-healed={desk.state().healings.len().to_string()}>{ last_healing(&desk) }</li>
                { room(desk.homes.room) }
            </ul>
        </section>
    }
}

fn table(desk: &Desk) -> Html {
    let homes = &desk.homes;
    let second = match homes.second {
        SecondState::Blocked => "0".to_owned(),
        _ => count(homes.ledger.lines()),
    };
    let first = match homes.first_lost {
        Some(_) => "–".to_owned(),
        None => count(homes.in_first),
    };
    html! {
        <table class="data">
            <caption class="sr-only">{ "The two homes of the book" }</caption>
            <thead><tr><th scope="col">{ "Home" }</th><th scope="col" class="num">{ "Entries" }</th><th scope="col">{ "How it does" }</th></tr></thead>
            <tbody>
                <tr data-home="first"><th scope="row">{ "First: the browser's database" }</th><td class="num">{ first }</td><td>{ first_does(homes) }</td></tr>
                <tr data-home="second"><th scope="row">{ "Second: local storage" }</th><td class="num">{ second }</td><td>{ second_does(homes, desk.book.len()) }</td></tr>
            </tbody>
        </table>
    }
}

fn first_does(homes: &Homes) -> String {
    match &homes.first_lost {
        None => "Serves. Each entry is on disk before it counts.".to_owned(),
        Some(why) => format!(
            "Missing: what is shown comes from the second home, and nothing can be recorded. {why}"
        ),
    }
}

fn second_does(homes: &Homes, lines: u64) -> String {
    let share = (homes.ledger.units() * 100).div_ceil(ROOM);
    match homes.second {
        SecondState::Blocked => "Blocked: a loss in the first home would not be noticed on this machine. Allow site data for this address, then reload the page.".to_owned(),
        SecondState::Full => "Full: it keeps only how far the book reached. Save a copy of the book and keep it apart.".to_owned(),
        SecondState::Serves if homes.ledger.lines() == lines => {
            format!("Serves, with every entry. {share} % of its room is used.")
        }
        SecondState::Serves => {
            format!("Serves, with the destruction log and the most recent entries. {share} % of its room is used.")
        }
    }
}

fn state(homes: &Homes) -> &'static str {
    match (&homes.first_lost, homes.second) {
        (None, SecondState::Serves) => "both",
        (None, _) => "first",
        (Some(_), _) => "second",
    }
}

/// What a tab may do, in a sentence.
pub fn tab_words(tab: Tab) -> &'static str {
    match tab {
        Tab::Writes => "This tab writes; any other tab only reads.",
        Tab::Reads => {
            "This tab only reads, because another tab writes. It follows what is recorded there, and takes over when that tab is closed."
        }
        Tab::Unguarded => {
            "This browser cannot keep tabs apart. Use one tab: an entry that does not follow what is stored is refused."
        }
        Tab::Outdated => {
            "A newer version of Cullbook has opened this book in another tab. Reload this tab to record."
        }
    }
}

/// The role of a tab in one word, for whoever looks for it on the page.
pub fn tab_slug(tab: Tab) -> &'static str {
    match tab {
        Tab::Writes => "writes",
        Tab::Reads => "reads",
        Tab::Unguarded => "unguarded",
        Tab::Outdated => "outdated",
    }
}

fn last_healing(desk: &Desk) -> String {
    let waiting = desk.homes.healed.iter().map(healing);
    let waiting: Vec<String> = waiting.collect();
    match (desk.state().healings.last(), waiting.is_empty()) {
        (_, false) => format!("Since this page was opened: {}.", waiting.join("; ")),
        (None, true) => "No home was ever healed.".to_owned(),
        (Some(last), true) => format!(
            "Last healing, entry {} on {}: {}.",
            count(last.seq),
            last.at,
            healing(&last.what)
        ),
    }
}

fn healing(what: &StoreHealed) -> String {
    let StoreHealed { home, from, to } = what;
    let (lacked, from_home) = match home {
        Home::First => ("the database", "local storage"),
        Home::Second => ("local storage", "the database"),
    };
    let (from, to) = (count(*from), count(*to));
    format!("{lacked} lacked entries {from} to {to} and got them back from {from_home}")
}

fn room(room: Option<Room>) -> Html {
    let Some(room) = room else {
        return html! { <li data-room="unknown">{ "The browser does not say how much room is left." }</li> };
    };
    let share = format!(
        "{} of {} are used: {} %.",
        size(room.used),
        size(room.allowed),
        room.percent()
    );
    let due = if room.is_due() {
        " Save a copy of the book, then free space on this machine."
    } else {
        ""
    };
    let kept = match room.promised {
        true => "The browser has promised to keep what is stored.",
        false => {
            "The browser has not promised to keep what is stored when the disk runs short: install Cullbook as an app or bookmark it, and let a copy leave this machine often."
        }
    };
    html! {
        <>
            <li data-room={room.percent().to_string()}>{ share }{ due }</li>
            <li data-promised={room.promised.to_string()}>{ kept }</li>
        </>
    }
}

fn size(bytes: u64) -> String {
    match bytes {
        0..1_000_000 => format!("{} kB", bytes.div_ceil(1000)),
        1_000_000..1_000_000_000 => format!("{} MB", bytes.div_ceil(1_000_000)),
        _ => format!("{:.1} GB", bytes as f64 / 1e9),
    }
}
