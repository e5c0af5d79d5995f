//! Choosing a passphrase: typed twice, or one suggested by chance.

use yew::prelude::*;

use crate::desk::forms::FieldErrors;
use crate::desk::forms::person::PASSPHRASE;
use crate::people::{Strength, spoken_phrase};
use crate::ui::use_shop;

use super::field::Field;
use super::form::Form;

#[derive(Properties, PartialEq)]
pub struct NewPassphraseProps {
    pub form: Form,
    /// The names of the two fields.
    #[prop_or(PASSPHRASE)]
    pub fields: [&'static str; 2],
    /// What happens if it is lost.
    #[prop_or(AttrValue::Static("If it is lost, a supervisor gives a new key"))]
    pub lost: AttrValue,
}

/// A passphrase and the same again.
#[function_component]
pub fn NewPassphrase(props: &NewPassphraseProps) -> Html {
    let shop = use_shop();
    let suggested = use_state(|| None::<String>);
    let (form, [name, again]) = (props.form.clone(), props.fields);
    let suggest = {
        let (form, suggested) = (form.clone(), suggested.clone());
        Callback::from(move |_: MouseEvent| {
            let phrase = match shop.dice() {
                Ok(dice) => spoken_phrase(dice),
                Err(why) => return form.fail(FieldErrors::one(name, why)),
            };
            form.set_all(&[(name, &phrase), (again, &phrase)]);
            suggested.set(Some(phrase));
        })
    };
    let typed = form.text(name);
    let hint = match typed.is_empty() {
        true => "At least 10 characters. It opens the key that signs for this person".to_owned(),
        false => format!("Strength: {}", Strength::of(&typed).name()),
    };
    html! {
        <>
            <Field form={form.clone()} {name} kind="password" label="Passphrase" {hint} />
            <Field form={form} name={again} kind="password" label="Passphrase again" hint={props.lost.clone()} />
            <p class="suggest">
                <button type="button" class="quiet" onclick={suggest}>{ "Suggest one" }</button>
                if let Some(phrase) = &*suggested {
                    <span role="status">{ "Learn it by heart or write it down safely: " }<b class="mono">{ phrase }</b></span>
                }
            </p>
        </>
    }
}
