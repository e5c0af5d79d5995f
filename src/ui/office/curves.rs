//! The two cost curves, and where they cross.

use yew::prelude::*;

use crate::book::{Product, State};
use crate::desk::forms::rules::{crossing, crossing_says};
use crate::inspect::Costs;
use crate::sheet::ProductId;
use crate::ui::chart::Curves;
use crate::ui::kit::{Form, Pick};
use crate::ui::{Shop, use_shop};

/// Notes of the sheet that is drawn while no product is defined.
const EXAMPLE_NOTES: u16 = 40;

/// Which product's sheet the curves are drawn for.
pub fn sheet_of(shop: &Shop, form: &Form) -> Html {
    let state = shop.state();
    if state.products.len() < 2 {
        return Html::default();
    }
    let choice = |product: &Product| (product.id.to_string().into(), product.title.clone().into());
    let choices: Vec<_> = state
        .products
        .values()
        .map(|product| choice(product))
        .collect();
    html! {
        <Pick form={form.clone()} name="rules-product" label="Drawn for a sheet of"
            hint="Not part of the rules: each product's limit follows from its own notes" {choices} />
    }
}

#[derive(Properties, PartialEq)]
pub struct CostCurvesProps {
    /// Nothing while a cost is wrong.
    pub costs: Option<Costs>,
    /// Id of the product whose sheet is drawn; the first one if there is none of it.
    pub product: AttrValue,
}

#[function_component]
pub fn CostCurves(props: &CostCurvesProps) -> Html {
    let shop = use_shop();
    let Some(costs) = props.costs else {
        return html! { <p class="soft">{ "The curves are drawn when all four costs are whole numbers." }</p> };
    };
    let (notes, of) = sheet(&shop.state(), &props.product);
    let title = crossing_says(&costs, notes);
    html! {
        <figure class="curves">
            <figcaption><strong>{ title.clone() }</strong>{ format!(" ({of}, {notes} notes a sheet)") }</figcaption>
            <Curves label={title} {notes} costs={costs} limit={crossing(&costs, notes)} />
        </figure>
    }
}

fn sheet(state: &State, product: &str) -> (u16, String) {
    let chosen = product.parse::<ProductId>().ok();
    let chosen = chosen.and_then(|id| state.products.get(&id));
    match chosen.or_else(|| state.products.values().next()) {
        Some(product) => (product.layout.notes(), product.title.clone()),
        None => (EXAMPLE_NOTES, "an example".to_owned()),
    }
}
