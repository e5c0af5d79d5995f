//! Fields of the Office's forms, with what is wrong shown while typing.

use yew::prelude::*;

use crate::book::{Lot, State};
use crate::desk::forms::FieldErrors;
use crate::ui::kit::{Choice, Field, Form, Pick};
use crate::ui::use_shop;

/// A form whose fields say what is wrong before it is submitted.
pub struct Inputs<'a> {
    pub form: &'a Form,
    pub live: Option<&'a FieldErrors>,
}

impl<'a> Inputs<'a> {
    /// A form that says what is wrong when it is submitted.
    pub fn of(form: &'a Form) -> Self {
        Self { form, live: None }
    }

    pub fn live(form: &'a Form, live: Option<&'a FieldErrors>) -> Self {
        Self { form, live }
    }

    pub fn text(&self, name: &'static str, label: &'static str, hint: &'static str) -> Html {
        let form = self.form.clone();
        self.with_live(name, html! { <Field {form} {name} {label} {hint} /> })
    }

    /// A code or a serial part.
    pub fn code(&self, name: &'static str, label: &'static str, hint: &'static str) -> Html {
        let form = self.form.clone();
        self.with_live(
            name,
            html! { <Field {form} {name} {label} {hint} mono=true /> },
        )
    }

    /// A whole number.
    pub fn number(&self, name: &'static str, label: &'static str, hint: &'static str) -> Html {
        let form = self.form.clone();
        self.with_live(
            name,
            html! { <Field {form} {name} {label} {hint} inputmode="numeric" /> },
        )
    }

    /// A number with decimals.
    pub fn decimal(&self, name: &'static str, label: &'static str, hint: &'static str) -> Html {
        let form = self.form.clone();
        self.with_live(
            name,
            html! { <Field {form} {name} {label} {hint} inputmode="decimal" /> },
        )
    }

    pub fn pick(
        &self,
        name: &'static str,
        label: &'static str,
        hint: &'static str,
        choices: Vec<Choice>,
    ) -> Html {
        let form = self.form.clone();
        self.with_live(
            name,
            html! { <Pick {form} {name} {label} {hint} {choices} /> },
        )
    }

    /// The error of a submission stands in the field itself; a live one only where there is none.
    pub fn with_live(&self, name: &'static str, field: Html) -> Html {
        let wrong = self.live.and_then(|errors| errors.of(name));
        let wrong = wrong.filter(|_| self.form.error(name).is_none());
        html! {
            <div key={name} class={classes!("live", wrong.is_some().then_some("wrong"))} data-field={name}>
                { field }
                <p class="error" aria-live="polite">{ wrong.map(str::to_owned) }</p>
            </div>
        }
    }
}

/// Choices of a fixed list.
pub fn choices(list: &[(&'static str, &'static str)]) -> Vec<Choice> {
    list.iter()
        .map(|(value, shown)| (AttrValue::Static(value), AttrValue::Static(shown)))
        .collect()
}

/// The products to choose from.
pub fn products(state: &State) -> Vec<Choice> {
    let products = state.products.values();
    products
        .map(|product| {
            let shown = format!("{} ({})", product.title, product.id);
            (product.id.to_string().into(), shown.into())
        })
        .collect()
}

/// Lots to choose from, each with its product.
pub fn lots<'a>(lots: impl Iterator<Item = &'a Lot>) -> Vec<Choice> {
    let choice = |lot: &Lot| {
        let shown = format!("{} ({})", lot.id, lot.product.title);
        (lot.id.to_string().into(), shown.into())
    };
    lots.map(choice).collect()
}

/// Picks the product when there is just one and nothing is picked yet, also when that one was
/// defined after the form was drawn.
#[hook]
pub fn use_only_product(form: &Form, field: &'static str) {
    let shop = use_shop();
    let products = shop
        .state()
        .products
        .keys()
        .map(ToString::to_string)
        .collect();
    use_only(form, field, products);
}

/// Picks the only choice there is, whenever that comes to be, while nothing is picked yet.
#[hook]
pub fn use_only(form: &Form, field: &'static str, choices: Vec<String>) {
    let form = form.clone();
    use_effect_with(choices, move |choices| {
        if let [only] = choices.as_slice()
            && form.typed().get(field).is_empty()
        {
            form.set(field, only.clone());
        }
    });
}
