//! Products: the list, and the form that defines one.

use yew::prelude::*;

use crate::book::{Product, State};
use crate::ui::Shop;
use crate::ui::kit::{Empty, Panel, count};

use super::product_form::ProductForm;
use super::submit::Supervised;

pub fn products(shop: &Shop) -> Html {
    html! {
        <>
            <Panel title="Products">{ list(&shop) }</Panel>
            <Supervised what="Defining a product"><ProductForm /></Supervised>
        </>
    }
}

fn list(shop: &Shop) -> Html {
    let state = shop.state();
    if state.products.is_empty() {
        return html! { <Empty text="No product is defined yet. A lot needs one: define it below." /> };
    }
    html! {
        <div class="table-frame">
            <table class="data">
                <caption class="sr-only">{ "Products" }</caption>
                <thead><tr>
                    <th scope="col">{ "Product" }</th><th scope="col">{ "Denomination" }</th>
                    <th scope="col">{ "Rows × columns" }</th><th scope="col">{ "Note" }</th>
                    <th scope="col" class="num">{ "Notes a sheet" }</th><th scope="col">{ "Stack, bundle, box" }</th>
                    <th scope="col" class="num">{ "Lots" }</th>
                </tr></thead>
                <tbody>{ for state.products.values().map(|product| row(product, &state)) }</tbody>
            </table>
        </div>
    }
}

fn row(product: &Product, state: &State) -> Html {
    let (layout, cut) = (&product.layout, product.finishing);
    let spec = layout.spec();
    let lots = state
        .lots
        .values()
        .filter(|lot| lot.product.id == product.id)
        .count();
    html! {
        <tr key={product.id.to_string()} data-row={product.id.to_string()}>
            <th scope="row" class="mono">{ product.id.to_string() }</th>
            <td>{ &product.title }</td>
            <td>{ format!("{} × {}", layout.rows(), layout.columns()) }</td>
            <td>{ format!("{} × {}", spec.note_width.mm(), spec.note_height) }</td>
            <td class="num">{ count(layout.notes()) }</td>
            <td>{ format!("{}, {}, {} bundles", cut.stack(), cut.bundle(), cut.bundles_per_box()) }</td>
            <td class="num">{ count(lots as u64) }</td>
        </tr>
    }
}
