//! Step 1: who leads, who works the machine, who witnesses, and who cannot and why.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::desk::forms::Standing;
use crate::people::{Duty, Part, PersonId};
use crate::ui::kit::{Choice, Field, Form, Pick};
use crate::ui::{Shop, use_shop};

use super::session::{change, with_draft};

#[derive(Properties, PartialEq)]
pub struct FormProps {
    pub form: Form,
}

#[function_component]
pub fn Persons(props: &FormProps) -> Html {
    let shop = use_shop();
    let form = props.form.clone();
    let lead = shop.desk().signer_name().unwrap_or_default();
    let standings = with_draft(&shop, |draft, at| draft.standings(at)).unwrap_or_default();
    let rules = shop.state().rules.clone();
    let asked = format!(
        "At least {} witnesses{}. None may have tagged or sealed what is destroyed, or work the machine.",
        rules.witnesses.max(2),
        if rules.outside_witness {
            ", one of them from outside production"
        } else {
            ""
        }
    );
    html! {
        <>
            <p>{ "Lead: " }<b>{ lead }</b>{ ", who is signed in and answers for the record." }</p>
            <div class="fields">
                <Field form={form.clone()} name="session" label="Session number" hint="Proposed: the production day and a running number. The certificate carries it." mono=true />
                <Field form={form.clone()} name="place" label="Place" hint="Building and room" />
                <Pick {form} name="operator" label="Operator" hint="Works the destroying machine" choices={operators(&shop)} />
            </div>
            <fieldset id="witnesses" class="witnesses">
                <legend>{ "Witnesses" }</legend>
                <p class="hint">{ asked }</p>
                if standings.is_empty() { <p>{ "Nobody is enrolled as a witness. A supervisor enrols witnesses in the Office." }</p> }
                <ul>{ for standings.iter().map(|standing| witness(&shop, standing)) }</ul>
                { same_pair(&shop) }
            </fieldset>
        </>
    }
}

/// A warning, not a refusal: who watches should change.
fn same_pair(shop: &Shop) -> Html {
    let desk = shop.desk();
    let state = desk.state();
    let Some((one, other)) = state.same_pair(&desk.destruction.witnesses) else {
        return Html::default();
    };
    let sessions = state.rules.same_pair_after;
    html! {
        <p class="caution" role="status" data-same-pair="">{ format!(
            "{} and {} witnessed the last {sessions} sessions together. They may witness this one; better that one of them changes.",
            state.name_of(one), state.name_of(other)
        ) }</p>
    }
}

fn operators(shop: &Shop) -> Vec<Choice> {
    let state = shop.state();
    let people = state.people.values();
    let operators = people.filter(|person| Duty::OperateDestruction.allows(person));
    operators
        .map(|person| {
            (
                person.person.to_string().into(),
                person.name.to_string().into(),
            )
        })
        .collect()
}

fn witness(shop: &Shop, standing: &Standing) -> Html {
    let desk = shop.desk();
    let (id, state) = (standing.person, desk.state());
    let named = desk.destruction.witnesses.contains(&id);
    let outside = state.people.get(&id).is_some_and(|person| person.outside);
    let onchange = {
        let shop = shop.clone();
        Callback::from(move |event: Event| {
            let ticked = event.target_unchecked_into::<HtmlInputElement>().checked();
            change(&shop, |draft| name(&mut draft.witnesses, id, ticked));
        })
    };
    let field = format!("witness-{id}");
    html! {
        <li key={id.to_string()} class={classes!(standing.barred.is_some().then_some("barred"))}>
            <label class="tick" for={field.clone()}>
                <input id={field} type="checkbox" checked={named} {onchange}
                    disabled={standing.barred.is_some() && !named} data-witness={id.to_string()} />
                <span><b>{ state.name_of(id) }</b>if outside { { ", from outside production" } }</span>
            </label>
            { why_not(standing) }
        </li>
    }
}

fn name(witnesses: &mut Vec<PersonId>, id: PersonId, ticked: bool) {
    witnesses.retain(|witness| *witness != id);
    if ticked {
        witnesses.push(id);
    }
}

fn why_not(standing: &Standing) -> Html {
    if let Some(why) = &standing.barred {
        return html! { <p class="why-not">{ why }</p> };
    }
    let each = standing.not_for.iter();
    let each: Vec<_> = each
        .map(|(container, part)| match part {
            Part::Tagged => format!("{container} (tagged what lies in it)"),
            Part::Sealed => format!("{container} (sealed it)"),
            Part::Recounted => format!("{container} (counted it again)"),
            Part::Led | Part::Operated | Part::Witnessed => container.to_string(),
        })
        .collect();
    if each.is_empty() {
        return Html::default();
    }
    html! { <p class="why-not">{ format!("Not for container {}.", each.join(", ")) }</p> }
}
