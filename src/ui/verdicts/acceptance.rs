//! Acceptance samples of the lot: may its passed sheets be believed?

use yew::prelude::*;

use crate::book::{Acceptance, Lot, Planned, State};
use crate::desk::Action;
use crate::desk::forms::FieldErrors;
use crate::desk::forms::acceptance::{
    AQL, Chosen, INSPECTION, LEVEL, NUMBER, RESUMED, acceptance_drawn, acceptance_field,
    acceptance_planned, acceptance_start,
};
use crate::people::Duty;
use crate::quality::Probability;
use crate::quality::sampling::{Aql, Decision, Level, Model, Plan, Severity, Standing, quality_at};
use crate::ui::chart::OcCurve;
use crate::ui::kit::{Choice, ErrorSummary, Field, Form, Panel, Pick, count, use_form};
use crate::ui::{Shop, use_shop};

use super::screen::OfLot;

/// Sheets named in one cell before the rest is a count.
const NAMED: usize = 12;

#[function_component]
pub fn AcceptanceView(props: &OfLot) -> Html {
    let shop = use_shop();
    let form = {
        let (shop, id) = (shop.clone(), props.lot);
        use_form(move || {
            let state = shop.state();
            let lot = state.lots.get(&id);
            lot.map_or_else(Default::default, |lot| acceptance_start(lot, &state))
        })
    };
    let state = shop.state();
    let Some(lot) = state.lots.get(&props.lot) else {
        return Html::default();
    };
    let samples = state.acceptances_of(lot.id);
    let open = samples.iter().any(|one| one.decision().is_none());
    html! {
        <div class="acceptance columns">
            <Panel title="Acceptance samples" lead="Passed sheets drawn at random and looked at again by somebody else: what the passing of the lot may be trusted for.">
                { results(&shop, &state, lot, &samples) }
            </Panel>
            if lot.closed.is_none() && !open {
                <Panel title="Draw a sample" lead="Single sampling plans; normal and tightened as in ISO 2859‑1, reduced as in MIL-STD-105E.">
                    { draw_form(&shop, &form, lot, &state) }
                </Panel>
            }
        </div>
    }
}

fn results(shop: &Shop, state: &State, lot: &Lot, samples: &[&Acceptance]) -> Html {
    let bad = state.passed_though_bad(lot);
    if samples.is_empty() {
        return html! { <p class="empty">{ "No sample was drawn from this lot." }</p> };
    }
    let row = |one: &&Acceptance| sample_row(shop, one, state);
    html! {
        <>
            if !bad.is_empty() {
                <p class="barred panel" data-passed-though-bad="">
                    { format!("Found bad and still passed: sheet {}. Correct each on the Bench; the lot cannot close before.", named(bad.iter().copied())) }
                </p>
            }
            <div class="table-frame"><table class="data" data-table="acceptances">
                <caption class="sr-only">{ "Acceptance samples of the lot" }</caption>
                <thead><tr>
                    <th scope="col">{ "Sample" }</th><th scope="col">{ "Plan" }</th>
                    <th scope="col" class="num">{ "Looked at" }</th><th scope="col" class="num">{ "Bad" }</th>
                    <th scope="col">{ "Result" }</th><th scope="col"><span class="sr-only">{ "Act" }</span></th>
                </tr></thead>
                <tbody>{ for samples.iter().map(row) }</tbody>
            </table></div>
        </>
    }
}

fn sample_row(shop: &Shop, one: &Acceptance, state: &State) -> Html {
    let id = one.id;
    let look = shop.on(move |_: MouseEvent| Action::ChooseSample(id));
    let done = one.sheets.len() - one.open().count();
    let plan = format!(
        "{} inspection, level {}, AQL {}: {} of {} passed, accept {}, reject {}",
        one.severity.name(),
        one.level.name(),
        one.aql,
        count(one.sheets.len() as u64),
        count(one.passed),
        one.plan.accept(),
        one.plan.reject()
    );
    let looks = one.sheets.iter();
    let bad = looks.filter(|(_, look)| look.as_ref().is_some_and(|look| look.is_bad()));
    let bad = named(bad.map(|(sheet, _)| *sheet));
    let drawn = format!(
        "drawn by {} on {}, entry {}, seed {}",
        state.name_of(one.by),
        one.at.dated(),
        one.seq,
        one.seed
    );
    let may = shop.desk().may(Duty::Examine);
    html! {
        <tr key={id.to_string()} data-row={id.to_string()}>
            <th scope="row" class="mono">{ id.to_string() }</th>
            <td>{ plan }<span class="gone">{ drawn }</span>
                if let Some(why) = &one.resumed { <span class="gone">{ format!("resumed: {why}") }</span> }
            </td>
            <td class="num">{ format!("{} of {}", count(done as u64), count(one.sheets.len() as u64)) }</td>
            <td class="num">{ count(one.bad()) }if !bad.is_empty() { <span class="gone">{ format!("sheet {bad}") }</span> }</td>
            <td data-decision={decision_name(one.decision())}>{ decision_says(one) }</td>
            <td><button type="button" onclick={look} disabled={!may} data-action="look-at-sample">
                { if one.decision().is_none() { "Look at the sheets" } else { "Show on the Bench" } }
            </button></td>
        </tr>
    }
}

fn named(sheets: impl Iterator<Item = crate::sheet::SheetNo>) -> String {
    let all: Vec<String> = sheets.map(|sheet| count(sheet.number())).collect();
    match all.len().checked_sub(NAMED) {
        Some(more) if more > 0 => format!("{} and {more} more", all[..NAMED].join(", ")),
        _ => all.join(", "),
    }
}

fn decision_name(decision: Option<Decision>) -> &'static str {
    match decision {
        None => "open",
        Some(Decision::Accept) => "accepted",
        Some(Decision::AcceptThenNormal) => "accepted-then-normal",
        Some(Decision::Reject) => "rejected",
    }
}

fn decision_says(one: &Acceptance) -> &'static str {
    match one.decision() {
        None => "Not finished",
        Some(Decision::Accept) => "Accepted",
        Some(Decision::AcceptThenNormal) => "Accepted; the next lot gets normal inspection",
        Some(Decision::Reject) => "Rejected: examine the passed sheets again, then draw anew",
    }
}

fn draw_form(shop: &Shop, form: &Form, lot: &Lot, state: &State) -> Html {
    if !shop.desk().may(Duty::DrawSample) {
        return html! { <p class="barred">{ "Drawing a sample is for a supervisor." }</p> };
    }
    let standing = state.standing(lot.product.id);
    let onsubmit = {
        let (shop, form, id) = (shop.clone(), form.clone(), lot.id);
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            if let Err(errors) = drawn(&shop, &form, id) {
                form.fail(errors);
            }
        })
    };
    let choice = |text: &str| -> Choice { (text.to_owned().into(), text.to_owned().into()) };
    let levels: Vec<Choice> = Level::ALL
        .iter()
        .map(|level| choice(level.name()))
        .collect();
    let limits: Vec<Choice> = Aql::all()
        .filter(is_percentage)
        .map(|aql| choice(&aql.to_string()))
        .collect();
    let allowed = |severity: &&Severity| match &standing {
        Standing::Suspended => **severity == standing.severity(),
        _ => standing.allows(**severity),
    };
    let severities: Vec<Choice> = Severity::ALL
        .iter()
        .filter(allowed)
        .map(|one| choice(one.name()))
        .collect();
    html! {
        <form {onsubmit} novalidate=true>
            <ErrorSummary form={form.clone()} />
            <p>{ standing_says(&standing) }</p>
            <div class="fields">
                <Field form={form.clone()} name={NUMBER} label="Sample number" hint="Used once" />
                <Pick form={form.clone()} name={LEVEL} label="Inspection level" hint="II unless there is a reason" choices={levels} />
                <Pick form={form.clone()} name={AQL} label="AQL, per cent bad" hint="The worst that should nearly always pass" choices={limits} />
                <Pick form={form.clone()} name={INSPECTION} label="Inspection" hint="What the lots before allow" choices={severities} />
                if standing.is_suspended() {
                    <Field form={form.clone()} name={RESUMED} label="What was mended" hint="Why acceptance may go on" />
                }
            </div>
            { plan_shown(form, lot) }
            <button type="submit" class="primary" disabled={shop.desk().is_saving()} data-action="draw-sample">{ "Draw the sample" }</button>
        </form>
    }
}

/// The limits above 10 count faults, not bad sheets.
fn is_percentage(aql: &Aql) -> bool {
    aql.share() <= 0.1
}

fn drawn(shop: &Shop, form: &Form, lot: crate::sheet::LotId) -> Result<(), FieldErrors> {
    let seed = shop.dice().map_err(|why| FieldErrors::one("", why))?;
    let entry = {
        let state = shop.state();
        let lot = state.lot(lot).map_err(|why| FieldErrors::one("", why))?;
        acceptance_drawn(form.typed(), lot, &state, seed)?
    };
    let refused = |why| FieldErrors::one(acceptance_field(&why), why);
    shop.record(vec![entry]).map_err(refused)
}

fn standing_says(standing: &Standing) -> String {
    match standing {
        Standing::Normal { rejected, score } => {
            let rejected = rejected.iter().filter(|failed| **failed).count();
            let reduced = match standing.allows(Severity::Reduced) {
                true => " Reduced inspection may be chosen while printing runs steadily.",
                false => "",
            };
            format!("Normal inspection: {rejected} of the last five lots rejected (two lead to tightened inspection), switching score {score} of 30.{reduced}")
        }
        Standing::Tightened { accepted, rejected } => format!("Tightened inspection, since two of five lots were rejected: {accepted} of 5 accepted in a row lead back to normal; {rejected} of 5 rejected suspend acceptance."),
        Standing::Reduced => "Reduced inspection: the first lot that is not plainly accepted leads back to normal.".to_owned(),
        Standing::Suspended => "Acceptance by sampling is suspended: five lots were rejected under tightened inspection. It goes on under tightened inspection once the cause is mended.".to_owned(),
    }
}

fn plan_shown(form: &Form, lot: &Lot) -> Html {
    let Some((chosen, planned)) = acceptance_planned(form.typed(), lot) else {
        let passed = lot.passed().len() as u64;
        return html! { <p class="soft">{ format!("{} sheets are passed. A sample needs at least two.", count(passed)) }</p> };
    };
    let plan = planned.plan;
    let says = format!(
        "Look at {} of {} passed sheets. Up to {} bad: accepted. From {}: rejected.",
        count(planned.sample()),
        count(planned.passed),
        plan.accept(),
        plan.reject()
    );
    html! {
        <figure class="oc">
            <figcaption><strong data-plan={format!("{} {} {}", planned.sample(), plan.accept(), plan.reject())}>{ says }</strong>{ " " }{ risks(&chosen, plan) }</figcaption>
            { curve(&chosen, &planned).map(|curve| curve.draw()).unwrap_or_default() }
        </figure>
    }
}

/// The two risks of a plan, in words.
fn risks(chosen: &Chosen, plan: Plan) -> String {
    let at_aql = plan.acceptance(chosen.aql.share(), Model::Binomial);
    let supplier = at_aql.map_or(0.0, |chance| 100.0 * (1.0 - chance.get()));
    let poor = tenth().and_then(|chance| quality_at(plan, chance, Model::Binomial));
    let buyer = poor.map_or_else(String::new, |share| {
        format!(
            " A lot with {:.1} % bad is still accepted one time in ten.",
            share * 100.0
        )
    });
    format!(
        "A lot with just {} % bad is rejected {supplier:.1} times in a hundred.{buyer}",
        chosen.aql
    )
}

fn tenth() -> Option<Probability> {
    Probability::new("chance", 0.1).ok()
}

fn curve(chosen: &Chosen, planned: &Planned) -> Option<OcCurve> {
    let plan = planned.plan;
    let chance = |share: f64| Some(plan.acceptance(share, Model::Binomial).ok()?.get());
    let poor = tenth().and_then(|chance| quality_at(plan, chance, Model::Binomial));
    let most = (poor.unwrap_or(0.1) * 1.6).clamp(0.001, 1.0);
    let points = (0..=60).filter_map(|step| {
        let share = most * f64::from(step) / 60.0;
        Some((share, chance(share)?))
    });
    let aql = chosen.aql.share();
    let mut marks = vec![(aql, chance(aql)?, format!("AQL {} %", chosen.aql))];
    marks.extend(poor.map(|share| (share, 0.1, format!("{:.1} %", share * 100.0))));
    Some(OcCurve {
        label: format!(
            "Chance of acceptance by the share of bad sheets. {}",
            risks(chosen, plan)
        ),
        points: points.collect(),
        marks,
    })
}
