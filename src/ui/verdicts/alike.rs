//! Whether the notes of a lot's product are alike, whoever made and examined them: class rates
//! and measured samples of groups, side by side.

use std::rc::Rc;

use yew::prelude::*;

use crate::book::{
    BookName, Brought, By, ClassesAlike, MeasuredGroup, Product, QuantityAlike, State, Tested,
    brought, classes_alike, measured_alike,
};
use crate::desk::Desk;
use crate::export::picture::{class_rates, classes_headline, measured_headline, tolerance_band};
use crate::inspect::ClassCode;
use crate::quality::Probability;
use crate::quality::capability::Index;
use crate::quality::rates::ClassRates;
use crate::sheet::LotId;
use crate::ui::chart::drawn;
use crate::ui::kit::{Empty, count};
use crate::ui::use_shop;

use super::alike_books::books_in;
use super::measure_forms::MeasureForms;
use super::screen::OfLot;

/// Classes drawn; the table has them all.
const DRAWN: usize = 4;

#[function_component]
pub fn AlikeView(props: &OfLot) -> Html {
    let shop = use_shop();
    let by = use_state(|| By::Lot);
    let with_others = use_state(|| true);
    let head = shop.desk().book.head();
    let here: Vec<BookName> = shop.desk().visit.guests.names().cloned().collect();
    let any = !here.is_empty();
    let others = if *with_others { here } else { Vec::new() };
    let found = {
        let shop = shop.clone();
        use_memo(
            (head, others, props.lot, *by),
            move |(_, others, lot, by)| Compared::of(&shop.desk(), !others.is_empty(), *lot, *by),
        )
    };
    let Some(found) = found.as_ref() else {
        return html! { <Empty text="The lot is not in the book any more." /> };
    };
    let pick = |one: By| {
        let by = by.clone();
        let chosen = *by == one;
        let onclick = Callback::from(move |_: MouseEvent| by.set(one));
        html! { <button type="button" aria-pressed={chosen.to_string()} {onclick} data-by={one.name()}>{ capital(one.name()) }</button> }
    };
    html! {
        <div class="alike">
            <p class="lead">{ lead(found) }</p>
            <div class="choices no-print">
                <div class="by" role="group" aria-label="Told apart by">{ for By::ALL.into_iter().map(pick) }</div>
                if any { { which_books(&with_others) } }
            </div>
            { books_in(&shop, found.product.id, &found.books, any) }
            { classes_panel(&found.classes) }
            { measured_panel(&found.measured, *by) }
            <MeasureForms product={found.product.id} />
        </div>
    }
}

/// The groups of one product side by side.
#[derive(PartialEq)]
struct Compared {
    product: Rc<Product>,
    books: Vec<Brought>,
    classes: ClassesAlike,
    measured: Vec<QuantityAlike>,
}

impl Compared {
    /// Of the own book, and of all that are laid beside it where they are wanted. Nothing when the
    /// own book has not this lot.
    fn of(desk: &Desk, with_others: bool, lot: LotId, by: By) -> Option<Self> {
        let product = Rc::clone(&desk.state().lots.get(&lot)?.product);
        let mut books = desk.visit.guests.beside(&desk.book);
        if !with_others {
            books.truncate(1);
        }
        let states: Vec<&State> = books.iter().map(|book| book.verifier().state()).collect();
        Some(Self {
            books: brought(&books, product.id),
            classes: classes_alike(&states, by, product.id),
            measured: measured_alike(&states, by, product.id),
            product,
        })
    }
}

fn lead(found: &Compared) -> String {
    let title = &found.product.title;
    match found.books.len() {
        0 | 1 => format!("All that this book holds of {title}, told apart by:"),
        books => format!("All that {books} books hold of {title}, told apart by:"),
    }
}

/// The own book alone, or with those of other benches.
fn which_books(with_others: &UseStateHandle<bool>) -> Html {
    let choice = |all: bool, name: &'static str| {
        let chosen = **with_others == all;
        let with_others = with_others.clone();
        let onclick = Callback::from(move |_: MouseEvent| with_others.set(all));
        html! { <button type="button" aria-pressed={chosen.to_string()} {onclick} data-books-of={if all { "all" } else { "here" }}>{ name }</button> }
    };
    html! {
        <div class="by" role="group" aria-label="Books">
            { choice(true, "All books here") }
            { choice(false, "This bench only") }
        </div>
    }
}

fn capital(word: &str) -> String {
    let mut text = word.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

fn classes_panel(alike: &ClassesAlike) -> Html {
    let body = match (alike.by, alike.groups.len()) {
        (By::Press, _) => html! {
            <Empty text="No lot says on which press it was printed, so class rates cannot be told apart by press. Samples below can name their press." />
        },
        (_, 0) => html! { <Empty text="No sheet of this product was examined yet." /> },
        // One group is told in figures; there is nothing to draw beside it.
        (_, 1) => class_table(alike),
        _ => html! {
            <>
                <p class="hint">{ "Sheets on which the class was seen, of sheets examined. The line spans the 95 % interval, a filled diamond differs. Stacks and not only sheets are compared, because faults come in runs; among all that is compared here, the chance of any false alarm is one in twenty." }</p>
                { for alike.classes.iter().take(DRAWN).map(|class| one_class(alike, class)) }
                <details>
                    <summary>{ format!("All {} classes seen, in figures", alike.classes.len()) }</summary>
                    { class_table(alike) }
                </details>
            </>
        },
    };
    html! {
        <section class="panel" data-part="classes">
            <h2>{ classes_headline(alike) }</h2>
            { body }
        </section>
    }
}

fn one_class(alike: &ClassesAlike, class: &ClassRates<ClassCode>) -> Html {
    let drawing = class_rates(alike, class);
    html! {
        <figure class="control" key={class.class.to_string()}>
            <figcaption><h3>{ drawing.title.clone() }</h3></figcaption>
            { drawn(&drawing, None) }
        </figure>
    }
}

fn class_table(alike: &ClassesAlike) -> Html {
    let share = |rate: f64| format!("{:.2} %", rate * 100.0);
    let rows = alike.classes.iter().flat_map(|class| {
        let groups = class.groups.iter().zip(&alike.groups);
        groups.map(move |(group, (name, _))| {
            let differs = group.q <= Probability::ONE_IN_TWENTY;
            html! {
                <tr class={classes!(differs.then_some("off"))}>
                    <th scope="row">{ format!("{}, {name}", alike.named(class.class)) }</th>
                    <td class="num">{ count(group.of) }</td>
                    <td class="num">{ count(group.found) }</td>
                    <td class="num">{ share(group.found as f64 / group.of as f64) }</td>
                    <td class="num">{ format!("{} to {}", share(group.interval.low), share(group.interval.high)) }</td>
                    <td class="num">{ format!("{:.1}", class.clumping) }</td>
                    <td class="num">{ if alike.groups.len() > 1 { chance(group.q) } else { "–".to_owned() } }</td>
                    <td>{ if differs { "differs" } else { "" } }</td>
                </tr>
            }
        })
    });
    html! {
        <div class="table-frame">
            <table class="data">
                <caption class="sr-only">{ "Class rates by group" }</caption>
                <thead><tr>
                    <th scope="col">{ format!("Class and {}", alike.by.name()) }</th>
                    <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "With it" }</th>
                    <th scope="col" class="num">{ "Share" }</th><th scope="col" class="num">{ "95 % interval" }</th>
                    <th scope="col" class="num">{ "Stacks vary" }</th><th scope="col" class="num">{ "Chance" }</th>
                    <th scope="col">{ "Finding" }</th>
                </tr></thead>
                <tbody>{ for rows }</tbody>
            </table>
            <p class="hint">{ "Stacks vary: how many times more than independent sheets would; it widens the intervals. Chance: of such a difference if all are alike, with all that was compared counted (Fisher's exact test, Holm)." }</p>
        </div>
    }
}

fn chance(q: Probability) -> String {
    match q.get() {
        q if q < 0.000_1 => "< 0.0001".to_owned(),
        q => format!("{q:.4}"),
    }
}

fn measured_panel(quantities: &[QuantityAlike], by: By) -> Html {
    if quantities.is_empty() {
        let text = match by {
            By::Stage => "Samples are not told apart by stage.".to_owned(),
            By::Lot | By::Press => format!(
                "No measured sample of this product names its {} yet. Record one below.",
                by.name()
            ),
            _ => "Nothing was measured of this product yet. Record a sample below.".to_owned(),
        };
        return html! { <section class="panel" data-part="measured"><h2>{ "Measured samples" }</h2><Empty {text} /></section> };
    }
    html! { <>{ for quantities.iter().map(|one| quantity_panel(one, by)) }</> }
}

fn quantity_panel(quantity: &QuantityAlike, by: By) -> Html {
    let few = quantity
        .groups
        .iter()
        .filter(|group| !group.compared)
        .count();
    let unsure = (quantity.groups.iter().filter_map(|group| group.capability)).any(|one| one.few);
    html! {
        <section class="panel" key={quantity.quantity.slug()} data-part={quantity.quantity.slug()}>
            <h2>{ measured_headline(quantity, by) }</h2>
            { drawn(&tolerance_band(quantity, by), None) }
            <p class="hint">
                { "Thin line: least to greatest reading. Bar: a standard deviation either side of the mean. " }
                if quantity.tolerance.is_none() { { "No target is set for it, so nothing is said of its tolerance. " } }
                if few > 0 { { format!("{few} with fewer than five readings are shown and not compared. ") } }
                if unsure { { "Fewer than 25 readings make a capability index unsure: read its interval. " } }
            </p>
            { measured_table(quantity, by) }
            <p class="hint">{ tests(quantity) }</p>
        </section>
    }
}

fn tests(quantity: &QuantityAlike) -> String {
    let said = |what: &str, tested: Option<Tested>, how: &str| {
        tested.map(|one| {
            let word = if one.differ() {
                "differ"
            } else {
                "do not clearly differ"
            };
            format!("{what} {word} ({how}, chance {}). ", chance(one.q))
        })
    };
    let parts = [
        said("Means", quantity.means, "Welch"),
        said("Spreads", quantity.spreads, "Brown and Forsythe"),
    ];
    let mut text: String = parts.into_iter().flatten().collect();
    if !text.is_empty() {
        text += "All quantities together make a false alarm once in twenty times. Readings are taken for normal and independent: one reading a note, notes of different sheets.";
    }
    text
}

fn measured_table(quantity: &QuantityAlike, by: By) -> Html {
    let figure = |thousandths: f64| format!("{:.3}", thousandths / 1000.0);
    let index = |one: Option<Index>| match one {
        Some(one) => {
            format!(
                "{:.2} ({:.2} to {:.2})",
                one.value, one.interval.low, one.interval.high
            )
        }
        None => "none".to_owned(),
    };
    let row = |group: &MeasuredGroup| {
        let out = group.outside.is_some_and(|outside| outside > 0);
        html! {
            <tr key={group.name.clone()} class={classes!(out.then_some("off"))} data-row={group.name.clone()}>
                <th scope="row">{ &group.name }</th>
                <td class="num">{ count(group.samples) }</td>
                <td class="num">{ count(group.moments.n) }</td>
                <td class="num">{ figure(group.moments.mean) }</td>
                <td class="num">{ group.moments.spread.map_or_else(|| "none".to_owned(), figure) }</td>
                <td class="num">{ format!("{} to {}", group.least, group.greatest) }</td>
                <td class="num">{ group.outside.map(count) }</td>
                <td class="num">{ index(group.capability.and_then(|one| one.cp)) }</td>
                <td class="num">{ index(group.capability.map(|one| one.cpk)) }</td>
            </tr>
        }
    };
    let limits = quantity.tolerance.map_or_else(String::new, |one| {
        let range = match (one.lower, one.upper) {
            (Some(lower), Some(upper)) => format!("limits {lower} to {upper}"),
            (Some(lower), None) => format!("at least {lower}"),
            (None, Some(upper)) => format!("at most {upper}"),
            (None, None) => "no limit".to_owned(),
        };
        format!(", target {}, {range}", one.target)
    });
    html! {
        <div class="table-frame">
            <table class="data">
                <caption>{ format!("In {}{limits}", quantity.quantity.unit()) }</caption>
                <thead><tr>
                    <th scope="col">{ capital(by.name()) }</th>
                    <th scope="col" class="num">{ "Samples" }</th><th scope="col" class="num">{ "Readings" }</th>
                    <th scope="col" class="num">{ "Mean" }</th><th scope="col" class="num">{ "Spread" }</th>
                    <th scope="col" class="num">{ "From, to" }</th><th scope="col" class="num">{ "Outside" }</th>
                    <th scope="col" class="num">{ "Cp (95 %)" }</th><th scope="col" class="num">{ "Cpk (95 %)" }</th>
                </tr></thead>
                <tbody>{ for quantity.groups.iter().map(row) }</tbody>
            </table>
        </div>
    }
}
