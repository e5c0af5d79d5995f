//! The form that defines a product, beside the picture of its sheet.

use yew::prelude::*;

use crate::desk::forms::product::{
    FILLINGS, NAMINGS, ORDERS, TURNS, layout, product, product_field, product_start,
};
use crate::ui::kit::{ErrorSummary, Form, Panel, use_form};

use super::area::Area;
use super::input::{Inputs, choices};
use super::sheet_picture::SheetPicture;
use super::submit::use_submit;

#[function_component]
pub fn ProductForm() -> Html {
    let form = use_form(product_start);
    let submit = use_submit(
        &form,
        |typed, _| product(typed),
        product_field,
        |_| product_start(),
    );
    let sheet = layout(form.typed());
    let inputs = Inputs::live(&form, sheet.as_ref().err());
    let picture = sheet.clone().map_err(|errors| {
        let first = errors.iter().next();
        first.map_or_else(String::new, |(_, why)| why.to_owned())
    });
    html! {
        <Panel title="Define a product" lead="A product is defined once and never changed: its lots rely on it. A changed sheet gets a new name.">
            <form class="beside" onsubmit={submit.onsubmit.clone()} novalidate=true>
                <div class="form-fields">
                    <ErrorSummary form={form.clone()} />
                    { named(&inputs) }
                    { notes(&inputs) }
                    { sheet_fields(&inputs) }
                    { naming(&inputs, &form) }
                    { finishing(&inputs) }
                    { submit.button("Define the product", "define-product") }
                </div>
                <SheetPicture layout={picture} />
            </form>
        </Panel>
    }
}

fn named(inputs: &Inputs) -> Html {
    html! {
        <div class="fields">
            { inputs.code("product-id", "Product", "1 to 24 letters, figures, dots, hyphens, like M20-A") }
            { inputs.text("product-title", "Denomination", "As labels print it, up to 60 characters, like 20 merin") }
        </div>
    }
}

fn notes(inputs: &Inputs) -> Html {
    html! {
        <fieldset>
            <legend>{ "Notes" }</legend>
            <div class="fields">
                { inputs.number("product-rows", "Rows", "1 to 20") }
                { inputs.number("product-columns", "Columns", "1 to 20") }
                { inputs.decimal("product-note-width", "Note width", "mm, up to 3 decimals") }
                { inputs.decimal("product-note-height", "Note height", "mm") }
                { inputs.decimal("product-gutter-x", "Column gutter", "mm between columns, 0 for none") }
                { inputs.decimal("product-gutter-y", "Row gutter", "mm between rows, 0 for none") }
            </div>
        </fieldset>
    }
}

fn sheet_fields(inputs: &Inputs) -> Html {
    html! {
        <fieldset>
            <legend>{ "Sheet" }</legend>
            <div class="fields">
                { inputs.decimal("product-sheet-width", "Sheet width", "mm, up to 10 000") }
                { inputs.decimal("product-sheet-height", "Sheet height", "mm, up to 10 000") }
                { inputs.decimal("product-margin-x", "Left margin", "mm, to the first column of the front") }
                { inputs.decimal("product-margin-y", "Top margin", "mm, to the first row of the front") }
                { inputs.decimal("product-grammage", "Grammage", "30 to 300 g/m², for the weigh check") }
                { inputs.pick("product-turn", "Turn", "Turn: left and right change places; tumble: top and bottom", choices(&TURNS)) }
            </div>
        </fieldset>
    }
}

fn naming(inputs: &Inputs, form: &Form) -> Html {
    let list = html! {
        <Area form={form.clone()} name="product-list" label="Own names"
            hint="One a note, row by row from the top left of the front: up to 8 letters, figures or hyphens, parted by spaces or commas" />
    };
    html! {
        <fieldset>
            <legend>{ "Names and order" }</legend>
            <div class="fields wide">
                { inputs.pick("product-names", "Names", "How note positions are called: see the picture", choices(&NAMINGS)) }
                { inputs.pick("product-order", "Numbering order", "The order in which positions take serials", choices(&ORDERS)) }
            </div>
            if form.typed().get("product-names") == "list" { { inputs.with_live("product-list", list) } }
        </fieldset>
    }
}

fn finishing(inputs: &Inputs) -> Html {
    html! {
        <fieldset>
            <legend>{ "Finishing" }</legend>
            <div class="fields">
                { inputs.number("product-stack", "Sheets a stack", "1 to 10 000, a multiple of the bundle") }
                { inputs.number("product-bundle", "Notes a bundle", "1 to 10 000") }
                { inputs.number("product-box", "Bundles a box", "1 to 10 000") }
            </div>
            <div class="fields wide">
                { inputs.pick("product-filling", "Boxes are filled", "Position by position: all stacks of one position, then the next; numbered down the stack, a box holds one range of serials. Stack by stack: a box can close as soon as its stacks are cut, and holds a range of each position", choices(&FILLINGS)) }
            </div>
        </fieldset>
    }
}
