//! The works' rules: the form, the cost curves, the severities that differ.

use std::collections::BTreeMap;
use std::rc::Rc;

use yew::prelude::*;

use crate::desk::forms::rules::{
    COUNTS, LIMITS, SHEET_TAKES, costs, rules, rules_field, rules_typed,
};
use crate::inspect::{ClassCode, Count, Limit, Rules, SealForm, Severity, SheetTakes};
use crate::people::Duty;
use crate::ui::kit::{ErrorSummary, Form, Panel, Tick, use_form};
use crate::ui::{Shop, use_shop};

use super::curves::{CostCurves, sheet_of};
use super::input::{Inputs, choices};
use super::severities::severities;
use super::submit::{Supervised, use_submit};

/// Severities that differ from the catalogue's.
pub type Overrides = Rc<BTreeMap<ClassCode, Severity>>;

pub fn rules_tab(shop: &Shop) -> Html {
    html! {
        <>
            if !shop.desk().may(Duty::RunTheOffice) { { in_force(&shop.state().rules) } }
            <Supervised what="Changing the rules"><RulesForm /></Supervised>
        </>
    }
}

/// The rules in force, for those who may not change them.
fn in_force(rules: &Rules) -> Html {
    let limit = match rules.limit {
        Limit::SpoiledAt(limit) => format!("from {limit} defective notes"),
        Limit::ByCost(costs) => format!(
            "when keeping costs more: sorting {}, a note {}, swapping {}, scrapping {}",
            costs.sort, costs.note, costs.swap, costs.scrap
        ),
    };
    let outside = match rules.outside_witness {
        true => ", one of them from outside production",
        false => "",
    };
    let line =
        |name: &'static str, value: String| html! { <><dt>{ name }</dt><dd>{ value }</dd></> };
    html! {
        <Panel title="Rules in force" lead="Lots keep the rules they were opened under.">
            <dl class="rules-now">
                { line("A sheet is spoiled", limit) }
                { line("A note is defective", format!("on any critical or major tag, or on {} minor ones", rules.minors_for_defect)) }
                { line("A spoiled sheet takes", match rules.spoiled_sheet_takes {
                    SheetTakes::Notes => "loose replacement notes".to_owned(),
                    SheetTakes::Sheet => "a whole replacement sheet, while there is one".to_owned(),
                }) }
                { line("Severities that differ", rules.overrides.len().to_string()) }
                { line("Witnesses", format!("{}{outside}", rules.witnesses)) }
                { line("Residue may differ from the paper", format!("by {} per cent, and the scale's uncertainty", rules.residue_percent)) }
                { line("A destruction counts", match rules.count {
                    Count::All => "every piece".to_owned(),
                    Count::Sample { missing, risk_percent } => format!("a drawn sample that overlooks {missing} missing pieces in at most {risk_percent} % of draws"),
                }) }
                { line("Seal numbers", rules.seal_form.as_ref().map_or("of any form".to_owned(), |form| form.to_string())) }
                { line("A production day ends", format!("at {:02}:00", rules.cut_over_hour)) }
            </dl>
        </Panel>
    }
}

#[function_component]
fn RulesForm() -> Html {
    let shop = use_shop();
    let form = use_form(|| rules_typed(&shop.state().rules));
    let overrides: UseStateHandle<Overrides> =
        use_state(|| Rc::new(shop.state().rules.overrides.clone()));
    let submit = {
        let overrides = Rc::clone(&overrides);
        use_submit(
            &form,
            move |typed, state| rules(typed, &overrides, state),
            rules_field,
            |state| rules_typed(&state.rules),
        )
    };
    let onchange = {
        let overrides = overrides.clone();
        Callback::from(move |changed: BTreeMap<ClassCode, Severity>| {
            overrides.set(Rc::new(changed))
        })
    };
    let inputs = Inputs::of(&form);
    html! {
        <Panel title="Rules" lead="Lots keep the rules they were opened under. A change counts for lots opened from now on.">
            <form onsubmit={submit.onsubmit.clone()} novalidate=true>
                <ErrorSummary form={form.clone()} />
                { limit(&shop, &form, &inputs) }
                <div class="rule-pair">
                    <fieldset>
                        <legend>{ "Notes and days" }</legend>
                        { inputs.number("rules-minors", "Minor tags that make a defect", "1 to 20 on one note; a major or critical tag always does") }
                        { inputs.pick("rules-sheet-takes", "A spoiled sheet takes", "Of a numbered lot; whole sheets come from a series of sheets, while it lasts", choices(&SHEET_TAKES)) }
                        { inputs.number("rules-cut-over", "Day ends at", "Hour, 0 to 23: then the next production day begins") }
                    </fieldset>
                    <fieldset>
                        <legend>{ "Destruction" }</legend>
                        { inputs.number("rules-witnesses", "Witnesses", "2 to 6 at a destruction") }
                        <Tick form={form.clone()} name="rules-outside" label="One of them from outside production" />
                        { inputs.number("rules-residue", "Residue may differ", "Per cent of the paper, 0 to 50, for moisture and dust; the scale comes on top") }
                        { inputs.number("rules-same-pair", "Same pair of witnesses", "Warn after this many sessions in a row; 0 never warns") }
                        { inputs.pick("rules-count", "Count", "Of each container, after its seal was found right", choices(&COUNTS)) }
                        if form.typed().get("rules-count") == "sample" {
                            { inputs.number("rules-missing", "Missing pieces", "So many must hardly be overlooked in a container") }
                            { inputs.number("rules-risk", "Risk, per cent", "1 to 50: how often a draw may overlook them") }
                        }
                        { seal_form(&form, &inputs) }
                    </fieldset>
                </div>
                { severities(&shop, &overrides, &onchange) }
                { submit.button("Record the rules", "record-rules") }
            </form>
        </Panel>
    }
}

/// The form of seal numbers, said in words while it is typed.
fn seal_form(form: &Form, inputs: &Inputs) -> Html {
    let said = form.typed().get("rules-seal-form").parse::<SealForm>();
    html! {
        <>
            { inputs.code("rules-seal-form", "Form of seal numbers", "# is a digit, A a capital letter, other signs stand for themselves: CB-####. Empty: any number") }
            if let Ok(said) = said { <p class="hint" data-figure="seal-form">{ format!("A seal number is {said}.") }</p> }
        </>
    }
}

/// From how many defective notes a sheet is spoiled: a number, or the costs it follows from.
fn limit(shop: &Shop, form: &Form, inputs: &Inputs) -> Html {
    let by_cost = form.typed().get("rules-limit") == "cost";
    html! {
        <fieldset>
            <legend>{ "When a sheet is spoiled" }</legend>
            <div class={classes!(by_cost.then_some("beside"))}>
                <div class="fields">
                    { inputs.pick("rules-limit", "Limit", "A whole-sheet class always spoils the sheet", choices(&LIMITS)) }
                    if by_cost {
                        { inputs.number("rules-sort", "Sorting a mixed sheet", "All four in one unit of money, whole numbers") }
                        { inputs.number("rules-note", "Making a note", "0 to 1 000 000 000") }
                        { inputs.number("rules-swap", "Swapping a note", "Pulling it and inserting its replacement") }
                        { inputs.number("rules-scrap", "Scrapping a sheet", "Handling it up to its destruction") }
                    } else {
                        { inputs.number("rules-spoiled-at", "Spoiled at", "Defective notes, 1 to the notes of a sheet") }
                    }
                </div>
                if by_cost {
                    <div class="curves-side">
                        { sheet_of(shop, form) }
                        <CostCurves costs={costs(form.typed()).ok()} product={form.text("rules-product")} />
                    </div>
                }
            </div>
        </fieldset>
    }
}
