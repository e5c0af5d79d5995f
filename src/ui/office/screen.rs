//! The Office as a whole: its tabs.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

use crate::people::Duty;
use crate::ui::{Shop, use_shop};

use super::classes::Classes;
use super::lots::lots;
use super::people::people;
use super::products::products;
use super::rules::rules_tab;
use super::scales::scales_tab;
use super::series::series_tab;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Tab {
    Products,
    Lots,
    Series,
    Scales,
    People,
    Rules,
    Classes,
}

impl Tab {
    const ALL: [Tab; 7] = [
        Tab::Products,
        Tab::Lots,
        Tab::Series,
        Tab::Scales,
        Tab::People,
        Tab::Rules,
        Tab::Classes,
    ];

    fn name(self) -> &'static str {
        match self {
            Tab::Products => "Products",
            Tab::Lots => "Lots",
            Tab::Series => "Replacement series",
            Tab::Scales => "Scales and paper",
            Tab::People => "People",
            Tab::Rules => "Rules",
            Tab::Classes => "Classes",
        }
    }

    fn slug(self) -> &'static str {
        match self {
            Tab::Products => "products",
            Tab::Lots => "lots",
            Tab::Series => "series",
            Tab::Scales => "scales",
            Tab::People => "people",
            Tab::Rules => "rules",
            Tab::Classes => "classes",
        }
    }

    fn button_id(self) -> String {
        format!("office-tab-{}", self.slug())
    }

    fn panel_id(self) -> String {
        format!("office-{}", self.slug())
    }

    /// The tab that an arrow key leads to.
    fn after(self, key: &str) -> Option<Self> {
        let here = Self::ALL.iter().position(|tab| *tab == self)?;
        let count = Self::ALL.len();
        let there = match key {
            "ArrowRight" => (here + 1) % count,
            "ArrowLeft" => (here + count - 1) % count,
            "Home" => 0,
            "End" => count - 1,
            _ => return None,
        };
        Some(Self::ALL[there])
    }
}

#[function_component]
pub fn OfficeScreen() -> Html {
    let shop = use_shop();
    let has_products = !shop.state().products.is_empty();
    let tab = use_state(|| {
        if has_products {
            Tab::Lots
        } else {
            Tab::Products
        }
    });
    let may = shop.desk().may(Duty::RunTheOffice);
    html! {
        <div class="office">
            <header class="screen-head">
                <h1>{ "Office" }</h1>
                if !may { <p class="lead">{ "You can read everything here. Changing what the Office keeps is for a supervisor." }</p> }
            </header>
            <div class="tabs" role="tablist" aria-label="Office">
                { for Tab::ALL.into_iter().map(|one| tab_button(one, &tab)) }
            </div>
            // All tabs stay drawn, so that what is typed in one outlives a look at another.
            { for Tab::ALL.into_iter().map(|one| tab_panel(&shop, one, *tab)) }
        </div>
    }
}

fn tab_button(tab: Tab, chosen: &UseStateHandle<Tab>) -> Html {
    let onclick = {
        let chosen = chosen.clone();
        Callback::from(move |_: MouseEvent| chosen.set(tab))
    };
    let onkeydown = {
        let chosen = chosen.clone();
        Callback::from(move |event: KeyboardEvent| {
            if let Some(next) = tab.after(&event.key()) {
                event.prevent_default();
                chosen.set(next);
                focus(&next.button_id());
            }
        })
    };
    let selected = **chosen == tab;
    html! {
        <button key={tab.slug()} type="button" role="tab" id={tab.button_id()} data-tab={tab.slug()}
            aria-selected={selected.to_string()} aria-controls={tab.panel_id()}
            tabindex={if selected { "0" } else { "-1" }} {onclick} {onkeydown}>{ tab.name() }</button>
    }
}

fn tab_panel(shop: &Shop, tab: Tab, chosen: Tab) -> Html {
    let content = match tab {
        Tab::Products => products(shop),
        Tab::Lots => lots(shop),
        Tab::Series => series_tab(shop),
        Tab::Scales => scales_tab(shop),
        Tab::People => people(shop),
        Tab::Rules => rules_tab(shop),
        Tab::Classes => html! { <Classes /> },
    };
    html! {
        <div key={tab.slug()} role="tabpanel" id={tab.panel_id()} aria-labelledby={tab.button_id()}
            hidden={tab != chosen}>{ content }</div>
    }
}

fn focus(id: &str) {
    let element = gloo::utils::document().get_element_by_id(id);
    if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        // The keyboard only moves; a failure leaves it on the tab before.
        element.focus().unwrap_or_default();
    }
}
