//! The form that numbers a lot examined before numbering, beside what it would print.

use yew::prelude::*;

use crate::book::{Lot, State};
use crate::desk::forms::Typed;
use crate::desk::forms::number_lot::{
    lots_to_number, number_lot, number_lot_field, number_lot_plan, number_lot_start,
};
use crate::desk::forms::numbering::OF_NUMBERING;
use crate::inspect::Verdict;
use crate::ui::kit::{ErrorSummary, Panel, count, number_of, use_form};
use crate::ui::use_shop;

use super::input::{Inputs, lots, use_only};
use super::lot_form::{numbering_fields, preview};
use super::submit::use_submit;

#[function_component]
pub fn NumberLot() -> Html {
    let shop = use_shop();
    let form = use_form(|| number_lot_start(&shop.state()));
    let waiting: Vec<String> = lots_to_number(&shop.state())
        .map(|lot| lot.id.to_string())
        .collect();
    use_only(&form, "number-lot", waiting);
    let submit = use_submit(&form, number_lot, number_lot_field, number_lot_start);
    let state = shop.state();
    let plan = number_lot_plan(form.typed(), &state);
    let inputs = Inputs::of(&form);
    html! {
        <Panel title="Number a lot" lead="For a lot that was examined before numbering. Its spoiled sheets leave; the others take serials in the order in which they went through the press.">
            <form class="beside" onsubmit={submit.onsubmit.clone()} novalidate=true data-form="number-lot">
                <div class="form-fields">
                    <ErrorSummary form={form.clone()} />
                    <div class="fields">
                        { inputs.pick("number-lot", "Lot to number", "Every sheet of it must be examined", lots(lots_to_number(&state))) }
                    </div>
                    { leaving(form.typed(), &state) }
                    { numbering_fields(&form, &OF_NUMBERING) }
                    { submit.button("Number the lot", "number-lot") }
                </div>
                { preview(plan, "number") }
            </form>
        </Panel>
    }
}

/// How many sheets take serials, and what leaves.
fn leaving(typed: &Typed, state: &State) -> Html {
    let id = typed.get("number-lot").parse().ok();
    let Some(lot) = id.and_then(|id| state.lots.get(&id)) else {
        return Html::default();
    };
    html! { <p data-survivors={lot.survivors().len().to_string()}>{ survivors(lot) }</p> }
}

fn survivors(lot: &Lot) -> String {
    let open = lot.not_examined();
    if open > 0 {
        return format!("{} are not examined yet.", sheets(open.into()));
    }
    let lost = lot.press.lost.len() as u64;
    let lost = match lost {
        0 => String::new(),
        _ => format!(" {} lost at the press.", were(lost)),
    };
    let mixed = lot.tally.mixed - lot.lost_at_press(Verdict::Mixed);
    format!(
        "{} to number, {} of them mixed. {} spoiled and left to the cage.{lost}",
        sheets(lot.survivors().len().into()),
        count(mixed),
        were(lot.tally.spoiled),
    )
}

fn sheets(number: u64) -> String {
    number_of(number, "sheet", "sheets")
}

fn were(number: u64) -> String {
    number_of(number, "sheet was", "sheets were")
}
