//! People: who is enrolled, enrolling, retiring.

use yew::prelude::*;

use crate::book::State;
use crate::desk::Space;
use crate::desk::forms::person::{
    NewPerson, ROLE_FIELDS, enrol, enrol_field, retire, retiring_means,
};
use crate::desk::forms::{FieldErrors, Typed};
use crate::people::{Duty, Passphrase, Person, PersonId};
use crate::ui::kit::{Dialog, ErrorSummary, NewPassphrase, Panel, Tick, use_form};
use crate::ui::{Shop, use_shop};

use super::input::Inputs;
use super::rekey::{Rekey, save_keys};
use super::submit::Supervised;

pub fn people(shop: &Shop) -> Html {
    let real = shop.desk().space == Space::Real;
    html! {
        <>
            <Panel title="People"><List />if real { { save_keys(shop) } }</Panel>
            <Supervised what="Enrolling people"><EnrolForm /></Supervised>
        </>
    }
}

#[function_component]
fn List() -> Html {
    let shop = use_shop();
    let asked = use_state(|| None::<Asked>);
    let state = shop.state();
    let (may, real) = {
        let desk = shop.desk();
        (desk.may(Duty::RunTheOffice), desk.space == Space::Real)
    };
    let people = state
        .people
        .values()
        .map(|person| row(person, Some(&asked), may, real));
    let retired = state
        .retired
        .values()
        .map(|person| row(person, None, may, real));
    let onclose = {
        let asked = asked.clone();
        Callback::from(move |()| asked.set(None))
    };
    let dialog = match *asked {
        Some(Asked::Retire(person)) => html! { <Retire {person} {onclose} /> },
        Some(Asked::Rekey(person)) => html! { <Rekey {person} {onclose} /> },
        None => Html::default(),
    };
    html! {
        <>
            <div class="table-frame">
                <table class="data">
                    <caption class="sr-only">{ "Everyone ever enrolled" }</caption>
                    <thead><tr>
                        <th scope="col">{ "Code" }</th><th scope="col">{ "Name" }</th><th scope="col">{ "Key" }</th><th scope="col">{ "Roles" }</th>
                        <th scope="col">{ "From outside production" }</th><th scope="col">{ "State" }</th>
                        <th scope="col"><span class="sr-only">{ "What to do" }</span></th>
                    </tr></thead>
                    <tbody>{ for people.chain(retired) }</tbody>
                </table>
            </div>
            { dialog }
        </>
    }
}

/// What was asked for someone, to be confirmed.
#[derive(Clone, Copy, PartialEq)]
enum Asked {
    Retire(PersonId),
    Rekey(PersonId),
}

fn row(
    person: &Person,
    asked: Option<&UseStateHandle<Option<Asked>>>,
    may: bool,
    real: bool,
) -> Html {
    let code = person.person;
    let roles: Vec<_> = person.roles.iter().map(|role| role.name()).collect();
    let button = |asked: &UseStateHandle<Option<Asked>>, ask, action: &'static str, label| {
        let asked = asked.clone();
        let onclick = Callback::from(move |_: MouseEvent| asked.set(Some(ask)));
        html! { <button type="button" {onclick} disabled={!may} data-action={action}>{ label }</button> }
    };
    let buttons = asked.map(|asked| {
        html! {
            <>
                if real { { button(asked, Asked::Rekey(code), "rekey", "New key") } }
                { button(asked, Asked::Retire(code), "retire", "Retire") }
            </>
        }
    });
    html! {
        <tr key={code.to_string()} data-row={code.to_string()}>
            <th scope="row" class="mono">{ code.to_string() }</th>
            <td>{ person.name.to_string() }</td>
            <td class="mono" title={format!("Public key {}", person.key)}>{ person.key.short() }</td>
            <td>{ roles.join(", ") }</td>
            <td>{ if person.outside { "yes" } else { "no" } }</td>
            <td>{ if asked.is_some() { "enrolled" } else { "retired" } }</td>
            <td class="row-actions">{ buttons }</td>
        </tr>
    }
}

#[derive(Properties, PartialEq)]
struct RetireProps {
    person: PersonId,
    onclose: Callback<()>,
}

/// Confirms a retirement, and says what it means first.
#[function_component]
fn Retire(props: &RetireProps) -> Html {
    let shop = use_shop();
    let problem = use_state(String::new);
    let confirm = {
        let (shop, problem) = (shop.clone(), problem.clone());
        let (person, onclose) = (props.person, props.onclose.clone());
        Callback::from(
            move |_: MouseEvent| match shop.record(vec![retire(person)]) {
                Ok(()) => onclose.emit(()),
                Err(why) => problem.set(why.to_string()),
            },
        )
    };
    let cancel = props.onclose.reform(|_: MouseEvent| ());
    let desk = shop.desk();
    let state: &State = desk.state();
    let Some(person) = state.people.get(&props.person) else {
        return Html::default();
    };
    let means = retiring_means(person, state, desk.signed_in);
    html! {
        <Dialog title={format!("Retire {}?", person.name)} onclose={props.onclose.clone()}>
            <ul class="means">{ for means.into_iter().map(|line| html! { <li>{ line }</li> }) }</ul>
            if !problem.is_empty() { <p class="error" role="alert">{ (*problem).clone() }</p> }
            <div class="submit">
                <button type="button" class="danger" onclick={confirm} disabled={desk.is_saving()} data-action="confirm-retire">{ format!("Retire {}", person.name) }</button>
                <button type="button" onclick={cancel}>{ "Keep" }</button>
            </div>
        </Dialog>
    }
}

/// Makes the person's key, keeps it, and then enrols them: a person whose key is lost before it
/// is kept could sign nothing.
async fn enrolled(
    shop: &Shop,
    new: NewPerson,
    passphrase: Option<Passphrase>,
) -> Result<(), FieldErrors> {
    let key = shop.new_key(new.person, passphrase).await;
    let key = key.map_err(|why| FieldErrors::one("passphrase", why))?;
    shop.record(vec![new.enrolled(key.public())])
        .map_err(|why| FieldErrors::one(enrol_field(&why), why))
}

#[function_component]
fn EnrolForm() -> Html {
    let shop = use_shop();
    let form = use_form(Typed::default);
    let busy = use_state(|| false);
    let onsubmit = {
        let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let practice = shop.desk().space == Space::Practice;
            let read = enrol(form.typed(), &shop.state(), practice);
            let (new, passphrase) = match read {
                Ok(new) => new,
                Err(errors) => return form.fail(errors),
            };
            busy.set(true);
            let (shop, form, busy) = (shop.clone(), form.clone(), busy.clone());
            wasm_bindgen_futures::spawn_local(async move {
                match enrolled(&shop, new, passphrase).await {
                    Ok(()) => form.reset(Typed::default()),
                    Err(errors) => form.fail(errors),
                }
                busy.set(false);
            });
        })
    };
    let (practice, saving) = {
        let desk = shop.desk();
        (desk.space == Space::Practice, desk.is_saving())
    };
    let inputs = Inputs::of(&form);
    let role_error = form.error(ROLE_FIELDS[0].1);
    let tick = |name: &'static str, label: &'static str| {
        html! { <Tick form={form.clone()} {name} {label} /> }
    };
    html! {
        <Panel title="Enrol someone" lead="A code is used once: it names this person in the book for ever.">
            <form {onsubmit} novalidate=true>
                <ErrorSummary form={form.clone()} />
                <div class="fields">
                    { inputs.text("person-name", "Name", "As it should be printed, up to 60 characters") }
                    { inputs.code("person-code", "Code", "1 to 24 letters, figures, dots, hyphens, like ida or W-07") }
                </div>
                <fieldset>
                    <legend>{ "Roles, at least one" }</legend>
                    if let Some(error) = role_error { <p class="error">{ error }</p> }
                    { for ROLE_FIELDS.into_iter().map(|(_, name, label)| tick(name, label)) }
                </fieldset>
                { tick("person-outside", "From outside production: rules may ask for one such witness") }
                if !practice { <NewPassphrase form={form.clone()} /> }
                <div class="submit">
                    <button type="submit" class="primary" disabled={*busy || saving} data-action="enrol">{ if *busy { "Making the key…" } else { "Enrol" } }</button>
                </div>
            </form>
        </Panel>
    }
}
