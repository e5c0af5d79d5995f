//! What stands behind a remainder: the very sheets, notes and spoils, and where they are mended.

use yew::prelude::*;

use crate::book::{Finish, Lot, Place, State, on_hand, spoils_of};
use crate::custody::{ContainerId, Item};
use crate::desk::{Action, way_to};
use crate::sheet::{LotId, Printed, Replacement, Serial, SheetRange};
use crate::ui::Shop;
use crate::ui::kit::count;

/// How many lines of a list are shown; the rest is counted.
const SHOWN: usize = 40;

pub fn behind(shop: &Shop, lot: LotId) -> Html {
    let parts = {
        let state = shop.state();
        state
            .lot(lot)
            .map(|lot| parts(&state, lot))
            .unwrap_or_default()
    };
    if parts.is_empty() {
        return html! { <p>{ "Nothing is open: every sheet is examined, every note replaced, every spoil destroyed." }</p> };
    }
    let part = |part: &Part| {
        let (mend, screen) = (part.mend, way_to(part.mend).1);
        let shop = shop.clone();
        let onclick = Callback::from(move |_: MouseEvent| {
            shop.act(Action::ChooseLot(lot));
            shop.act(way_to(mend).0);
        });
        html! {
            <section class="remainder" key={part.what} data-behind={part.slug}>
                <h3>{ format!("{} {}", count(part.total as u64), part.what) }</h3>
                <button type="button" class="no-print" {onclick} data-action={format!("mend-{}", part.slug)}>
                    { format!("Go to {}", screen.name()) }
                </button>
                <ul class="mono" tabindex="0" aria-label={part.what}>{ for part.lines.iter().take(SHOWN).map(|line| html! { <li>{ line }</li> }) }</ul>
                if part.lines.len() > SHOWN {
                    <p class="hint">{ format!("and {} more", count((part.lines.len() - SHOWN) as u64)) }</p>
                }
            </section>
        }
    };
    html! { <div class="remainders">{ for parts.iter().map(part) }</div> }
}

/// One remainder.
struct Part {
    slug: &'static str,
    what: &'static str,
    total: usize,
    lines: Vec<String>,
    /// Where it is mended.
    mend: Finish,
}

fn parts(state: &State, lot: &Lot) -> Vec<Part> {
    let all = [
        not_examined(lot),
        not_looked_at(state, lot),
        not_replaced(lot),
        not_inserted(state, lot),
        loose(state, lot),
        missing(state, lot),
        lost(state, lot),
    ];
    let contained = CONTAINED.iter().map(|kind| contained(state, lot, kind));
    all.into_iter()
        .chain(contained)
        .filter(|part| part.total > 0)
        .collect()
}

fn not_examined(lot: &Lot) -> Part {
    let range = |range: &SheetRange| match range.len() {
        1 => format!("sheet {}", range.first()),
        len => format!(
            "sheets {} to {} ({})",
            count(range.first().number()),
            count(range.last().number()),
            count(len)
        ),
    };
    Part {
        slug: "open",
        what: "sheets not examined",
        total: lot.not_examined() as usize,
        lines: lot.open_ranges().iter().map(range).collect(),
        mend: Finish::Bench,
    }
}

fn not_looked_at(state: &State, lot: &Lot) -> Part {
    let samples = state.acceptances_of(lot.id);
    let open = samples
        .iter()
        .flat_map(|sample| sample.open().map(|sheet| (sample.id, sheet)));
    let lines: Vec<String> = open
        .map(|(sample, sheet)| format!("sample {sample} · sheet {sheet}"))
        .collect();
    Part {
        slug: "sample",
        what: "sheets of an acceptance sample not looked at",
        total: lines.len(),
        lines,
        mend: Finish::Acceptance,
    }
}

fn not_replaced(lot: &Lot) -> Part {
    let mut needs = lot.needs();
    needs.sort();
    let line = |note: u64, bundle: u32| {
        let (sheet, position) = lot.locate(note)?;
        let (serial, name) = (
            lot.serial_shown(sheet, position)?,
            lot.product.layout.name(position),
        );
        Some(format!("{serial} · sheet {sheet} {name} · bundle {bundle}"))
    };
    let lines = needs
        .iter()
        .filter_map(|need| line(need.note, need.bundle.number()));
    Part {
        slug: "needs",
        what: "notes without a replacement",
        total: needs.len(),
        lines: lines.collect(),
        mend: Finish::Replacements,
    }
}

fn not_inserted(state: &State, lot: &Lot) -> Part {
    let notes = on_hand(state, lot);
    let line = |(drawn, spoiled): &(Serial<Replacement>, Serial<Printed>)| {
        let [drawn, spoiled] = [drawn.as_str(), spoiled.as_str()].map(|one| state.in_groups(one));
        format!("{drawn} for {spoiled}")
    };
    Part {
        slug: "on-hand",
        what: "replacement notes on hand",
        total: notes.len(),
        lines: notes.iter().map(line).collect(),
        mend: Finish::Replacements,
    }
}

fn loose(state: &State, lot: &Lot) -> Part {
    let loose = spoils_of(state, lot).filter(|(_, place)| *place == Place::Loose);
    let lines: Vec<String> = loose.map(|(item, _)| named(state, item)).collect();
    Part {
        slug: "loose",
        what: "spoils loose",
        total: lines.len(),
        lines,
        mend: Finish::Cage,
    }
}

/// A spoil without its lot, which the screen names above.
fn named(state: &State, item: &Item) -> String {
    match item {
        Item::Sheet(_, sheet) => format!("sheet {sheet}"),
        Item::Note(serial) => format!("note {}", state.in_groups(serial.as_str())),
        Item::Replacement(serial) => {
            format!("replacement note {}", state.in_groups(serial.as_str()))
        }
    }
}

/// Spoils in containers of one state, counted by container.
fn contained(state: &State, lot: &Lot, kind: &Contained) -> Part {
    let of_kind = |id: &ContainerId| {
        let container = state.cage.containers.get(id);
        container.is_some_and(|container| container.state_name() == kind.state)
    };
    let mut by_container = std::collections::BTreeMap::<ContainerId, usize>::new();
    for (_, place) in spoils_of(state, lot) {
        if let Place::In(id) = place
            && of_kind(&id)
        {
            *by_container.entry(id).or_default() += 1;
        }
    }
    let line =
        |(id, spoils): (&ContainerId, &usize)| format!("container {id}: {}", count(*spoils as u64));
    Part {
        slug: kind.slug,
        what: kind.what,
        total: by_container.values().sum(),
        lines: by_container.iter().map(line).collect(),
        mend: kind.mend,
    }
}

struct Contained {
    state: &'static str,
    slug: &'static str,
    what: &'static str,
    mend: Finish,
}

const CONTAINED: [Contained; 3] = [
    Contained {
        state: "open",
        slug: "contained",
        what: "spoils in open containers",
        mend: Finish::Cage,
    },
    Contained {
        state: "held",
        slug: "held",
        what: "spoils in held containers",
        mend: Finish::Cage,
    },
    Contained {
        state: "sealed",
        slug: "sealed",
        what: "spoils sealed, not destroyed",
        mend: Finish::Destroy,
    },
];

/// What a recount did not find: the difference of the account, piece by piece.
fn missing(state: &State, lot: &Lot) -> Part {
    let missing = spoils_of(state, lot).filter_map(|(item, place)| match place {
        Place::Missing(container) => {
            Some(format!("{} · container {container}", named(state, item)))
        }
        _ => None,
    });
    let lines: Vec<String> = missing.collect();
    Part {
        slug: "missing",
        what: "spoils missing",
        total: lines.len(),
        lines,
        mend: Finish::Cage,
    }
}

/// What was given up. It is no remainder any more, and is told for ever.
fn lost(state: &State, lot: &Lot) -> Part {
    let lost = spoils_of(state, lot).filter_map(|(item, place)| match place {
        Place::Lost(entry) => Some(format!("{} · entry {entry}", named(state, item))),
        _ => None,
    });
    let lines: Vec<String> = lost.collect();
    Part {
        slug: "lost",
        what: "spoils declared lost",
        total: lines.len(),
        lines,
        mend: Finish::Cage,
    }
}
