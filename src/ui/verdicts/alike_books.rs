//! Which books are compared, and what each brings.

use yew::prelude::*;

use crate::book::Brought;
use crate::desk::{Action, Screen};
use crate::sheet::ProductId;
use crate::ui::Shop;
use crate::ui::kit::count;

/// The books that are compared, the own one first; `any` when others are here at all.
pub fn books_in(shop: &Shop, product: ProductId, brought: &[Brought], any: bool) -> Html {
    if brought.len() < 2 {
        return if any { Html::default() } else { alone(shop) };
    }
    let remarked = brought.iter().any(|one| !remark(one).is_empty());
    let row = |(place, one): (usize, &Brought)| {
        html! {
            <tr key={one.book.head.to_string()} data-book={one.book.bench.to_string()}>
                <th scope="row"><span class="mono">{ one.book.bench.to_string() }</span>{ if place == 0 { ", here" } else { "" } }</th>
                <td class="mono">{ one.book.head.short() }</td>
                <td class="num">{ count(one.sheets) }</td>
                <td class="num">{ count(one.samples) }</td>
                if remarked { <td>{ remark(one) }</td> }
            </tr>
        }
    };
    html! {
        <>
        <details class="books-in" data-books={brought.len().to_string()}>
            <summary>{ summary(brought) }</summary>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Books that are compared" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Bench" }</th><th scope="col">{ "Head" }</th>
                        <th scope="col" class="num">{ "Sheets examined" }</th><th scope="col" class="num">{ "Samples" }</th>
                        if remarked { <th scope="col">{ "To be said of it" }</th> }
                    </tr></thead>
                    <tbody>{ for brought.iter().enumerate().map(row) }</tbody>
                </table>
            </div>
            <p class="hint">{ "Books of other benches are brought in and taken out on the Day screen. All are of this works: what another works has made is told apart by the samples that name it." }</p>
        </details>
        { for otherwise(product, brought) }
        </>
    }
}

fn alone(shop: &Shop) -> Html {
    let go = shop.on(|_: MouseEvent| Action::Go(Screen::Day));
    html! {
        <p class="hint no-print">
            { "Only the book of this bench is compared. Bring in books of other benches on the Day screen to see them beside it. " }
            <button type="button" class="quiet" onclick={go} data-action="to-day">{ "Go to the Day" }</button>
        </p>
    }
}

fn summary(brought: &[Brought]) -> String {
    let benches = brought.iter().map(|one| one.book.bench.to_string());
    let benches: Vec<String> = benches.collect();
    format!(
        "{} books are compared, of the benches {}",
        brought.len(),
        benches.join(", ")
    )
}

fn remark(one: &Brought) -> &'static str {
    match (one.otherwise, one.sheets + one.samples) {
        (true, _) => "defines the product otherwise",
        (false, 0) => "has nothing of it yet",
        (false, _) => "",
    }
}

/// A caution when one code stands for two products.
fn otherwise(product: ProductId, brought: &[Brought]) -> Option<Html> {
    let unlike = brought.iter().filter(|one| one.otherwise);
    let benches: Vec<String> = unlike.map(|one| one.book.bench.to_string()).collect();
    (!benches.is_empty()).then(|| {
        html! {
            <div class="remarks" role="note">
                { format!("Product {product} has another name, layout or finishing in the book of {} than here. If other notes are meant, take it out on the Day screen before you compare.", benches.join(", ")) }
            </div>
        }
    })
}
