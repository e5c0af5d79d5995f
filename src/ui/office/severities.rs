//! Severities under the works' rules, where they differ from the catalogue's.

use std::collections::BTreeMap;

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::inspect::{Class, ClassCode, Severity};
use crate::ui::Shop;

use super::rules::Overrides;

/// One choice for each class of the catalogue in force.
pub fn severities(
    shop: &Shop,
    overrides: &Overrides,
    onchange: &Callback<BTreeMap<ClassCode, Severity>>,
) -> Html {
    let state = shop.state();
    let differ = overrides.len();
    let summary = match differ {
        0 => "Severity by class: as the catalogue says".to_owned(),
        1 => "Severity by class: 1 differs from the catalogue".to_owned(),
        _ => format!("Severity by class: {differ} differ from the catalogue"),
    };
    html! {
        <details class="severities">
            <summary>{ summary }</summary>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Severity of each class under these rules" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Class" }</th><th scope="col">{ "Name" }</th><th scope="col">{ "Step" }</th>
                        <th scope="col">{ "Catalogue" }</th><th scope="col">{ "These rules" }</th>
                    </tr></thead>
                    <tbody>{ for state.catalogue.classes().iter().map(|class| row(class, overrides, onchange)) }</tbody>
                </table>
            </div>
        </details>
    }
}

fn row(
    class: &Class,
    overrides: &Overrides,
    changed: &Callback<BTreeMap<ClassCode, Severity>>,
) -> Html {
    let code = class.code;
    let chosen = overrides.get(&code).copied();
    let onchange = {
        let (overrides, changed) = (overrides.clone(), changed.clone());
        Callback::from(move |event: Event| {
            let value = event.target_unchecked_into::<HtmlSelectElement>().value();
            let mut overrides = (*overrides).clone();
            match Severity::ALL
                .into_iter()
                .find(|severity| severity.name() == value)
            {
                Some(severity) => overrides.insert(code, severity),
                None => overrides.remove(&code),
            };
            changed.emit(overrides);
        })
    };
    let others = Severity::ALL
        .into_iter()
        .filter(|severity| *severity != class.severity);
    let option = |severity: Severity| {
        html! { <option value={severity.name()} selected={chosen == Some(severity)}>{ severity.name() }</option> }
    };
    html! {
        <tr key={code.to_string()} class={classes!(chosen.is_some().then_some("differs"))}>
            <th scope="row" class="mono">{ code.to_string() }</th>
            <td>{ &class.name }</td><td>{ class.step.name() }</td><td>{ class.severity.name() }</td>
            <td>
                <select {onchange} aria-label={format!("Severity of {code} {}", class.name)} data-severity={code.to_string()}>
                    <option value="" selected={chosen.is_none()}>{ "as the catalogue says" }</option>
                    { for others.map(option) }
                </select>
            </td>
        </tr>
    }
}
