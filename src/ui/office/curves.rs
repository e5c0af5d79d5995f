//! The two cost curves, and where they cross.

use yew::prelude::*;

use crate::book::{Product, State};
use crate::desk::forms::rules::{crossing, crossing_says};
use crate::inspect::Costs;
use crate::sheet::ProductId;
use crate::ui::kit::{Form, Pick, count};
use crate::ui::use_shop;

/// Notes of the sheet that is drawn while no product is defined.
const EXAMPLE_NOTES: u16 = 40;

#[derive(Properties, PartialEq)]
pub struct SheetOfProps {
    pub form: Form,
}

/// Which product's sheet the curves are drawn for.
#[function_component]
pub fn SheetOf(props: &SheetOfProps) -> Html {
    let shop = use_shop();
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
        <Pick form={props.form.clone()} name="rules-product" label="Drawn for a sheet of"
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
            { chart(&costs, notes, title) }
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

const WIDTH: f64 = 520.0;
const HEIGHT: f64 = 250.0;
const LEFT: f64 = 78.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 18.0;
const BOTTOM: f64 = 38.0;

/// Figures to places in the chart.
struct Scale {
    notes: f64,
    cost: f64,
}

impl Scale {
    fn x(&self, defective: u16) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * f64::from(defective) / self.notes
    }

    fn y(&self, cost: u64) -> f64 {
        let share = if self.cost > 0.0 {
            cost as f64 / self.cost
        } else {
            0.0
        };
        HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * share
    }
}

fn chart(costs: &Costs, notes: u16, title: String) -> Html {
    let scrapping = costs.scrapping(notes);
    let most = costs.salvage(notes).max(scrapping);
    let scale = Scale {
        notes: notes.into(),
        cost: most as f64,
    };
    let (x0, x1) = (scale.x(0), scale.x(notes));
    let keep = [costs.salvage(0), costs.salvage(notes)].map(|cost| scale.y(cost));
    let scrap = scale.y(scrapping);
    // Each curve is named where the other is far: keeping on its way up, scrapping at the left.
    let middle = (scale.x(notes / 2), scale.y(costs.salvage(notes / 2)));
    html! {
        <svg viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img" aria-label={title}>
            { axes(&scale, notes, most) }
            <line class="scrapping" x1={n(x0)} y1={n(scrap)} x2={n(x1)} y2={n(scrap)} />
            <line class="keeping" x1={n(x0)} y1={n(keep[0])} x2={n(x1)} y2={n(keep[1])} />
            if let Some(limit) = crossing(costs, notes) { { crossing_mark(&scale, limit) } }
            <text class="curve-name scrapping-name" x={n(x1)} y={n(scrap - 6.0)} text-anchor="end">{ format!("scrapping {}", count(scrapping)) }</text>
            <text class="curve-name keeping-name" x={n(middle.0 - 8.0)} y={n(middle.1 - 6.0)} text-anchor="end">{ "keeping" }</text>
        </svg>
    }
}

fn axes(scale: &Scale, notes: u16, most: u64) -> Html {
    let bottom = HEIGHT - BOTTOM;
    let step = (notes / 8).max(1);
    let step = [1, 2, 5, 10, 20, 50]
        .into_iter()
        .find(|s| *s >= step)
        .unwrap_or(100);
    let tick = |defective: u16| {
        let x = n(scale.x(defective));
        html! {
            <g key={defective}>
                <line class="axis" x1={x.clone()} x2={x.clone()} y1={n(bottom)} y2={n(bottom + 4.0)} />
                <text class="axis-text" {x} y={n(bottom + 17.0)} text-anchor="middle">{ defective.to_string() }</text>
            </g>
        }
    };
    let left = n(LEFT - 8.0);
    html! {
        <g aria-hidden="true">
            <path class="axis" d={format!("M{} {}V{}H{}", n(LEFT), n(TOP), n(bottom), n(WIDTH - RIGHT))} />
            { for (0..=notes).step_by(step.into()).map(tick) }
            <text class="axis-text" x={left.clone()} y={n(bottom)} text-anchor="end">{ "0" }</text>
            <text class="axis-text" x={left} y={n(TOP + 8.0)} text-anchor="end">{ count(most) }</text>
            <text class="axis-text" x={n(WIDTH - RIGHT)} y={n(HEIGHT - 4.0)} text-anchor="end">{ "defective notes on the sheet" }</text>
            <text class="axis-text" x="4" y="12">{ "cost of the sheet" }</text>
        </g>
    }
}

fn crossing_mark(scale: &Scale, limit: u16) -> Html {
    let x = n(scale.x(limit));
    let bottom = HEIGHT - BOTTOM;
    html! {
        <g>
            <line class="limit" x1={x.clone()} x2={x.clone()} y1={n(TOP)} y2={n(bottom)} />
            <text class="limit-text" x={n(scale.x(limit) + 6.0)} y={n(bottom - 8.0)}>{ format!("spoiled at {limit}") }</text>
        </g>
    }
}

fn n(number: f64) -> String {
    format!("{number:.1}")
}
