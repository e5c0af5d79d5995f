//! Submitting a form of the Office: read it, record it, start over once it is stored.

use yew::prelude::*;

use crate::book::{Entry, Refusal, State, cosigners};
use crate::desk::forms::{FieldErrors, Typed};
use crate::desk::{Action, Saved};
use crate::people::Duty;
use crate::ui::kit::Form;
use crate::ui::use_shop;

/// How far a submitted form has come.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sent {
    Not,
    /// Laid out for signing when the book had so many lines.
    ToSign(u64),
    ToStore,
    Stored,
}

/// What a form needs to be submitted.
pub struct Submit {
    pub onsubmit: Callback<SubmitEvent>,
    /// The form's last entry is stored.
    pub recorded: bool,
    /// The signed-in person may not record it, or the store has not answered yet.
    pub disabled: bool,
}

/// Submits a form: `read` makes its entry, `field` finds the field of a refusal, `start` is the
/// form after its entry is stored. What is typed stays until then.
#[hook]
pub fn use_submit(
    form: &Form,
    read: impl Fn(&Typed, &State) -> Result<Entry, FieldErrors> + 'static,
    field: fn(&Refusal) -> &'static str,
    start: impl Fn(&State) -> Typed + 'static,
) -> Submit {
    use_submit_as(Duty::RunTheOffice, form, read, field, start)
}

/// The same for a form that is under another duty than the Office's.
#[hook]
pub fn use_submit_as(
    duty: Duty,
    form: &Form,
    read: impl Fn(&Typed, &State) -> Result<Entry, FieldErrors> + 'static,
    field: fn(&Refusal) -> &'static str,
    start: impl Fn(&State) -> Typed + 'static,
) -> Submit {
    let shop = use_shop();
    let sent = use_state(|| Sent::Not);
    let (saving, signing, failed, may) = {
        let desk = shop.desk();
        let failed = matches!(desk.saved, Saved::Failed(_));
        let may = desk.may(duty);
        (desk.is_saving(), desk.signing.is_some(), failed, may)
    };
    {
        let (form, sent, shop) = (form.clone(), sent.clone(), shop.clone());
        use_effect_with(
            (*sent, saving, signing),
            move |(stage, saving, signing)| match (*stage, saving) {
                (Sent::ToSign(_), _) if *signing => {}
                (Sent::ToSign(lines), _) if shop.desk().book.len() == lines => sent.set(Sent::Not),
                (Sent::ToSign(_), false) => sent.set(Sent::ToStore),
                (Sent::ToStore, false) if failed => sent.set(Sent::Not),
                (Sent::ToStore, false) => {
                    form.reset(start(&shop.state()));
                    sent.set(Sent::Stored);
                }
                _ => {}
            },
        );
    }
    let recorded = *sent == Sent::Stored;
    let form = form.clone();
    let onsubmit = Callback::from(move |event: SubmitEvent| {
        event.prevent_default();
        let entry = read(form.typed(), &shop.state());
        let recorded = entry.and_then(|entry| {
            let (next, taken) = match cosigners(&entry).is_empty() {
                true => (Sent::ToStore, shop.record(vec![entry])),
                false => {
                    let lines = shop.desk().book.len();
                    let laid_out = shop.try_act(Action::BeginSigning(Box::new(entry)));
                    (Sent::ToSign(lines), laid_out)
                }
            };
            taken.map_err(|why| FieldErrors::one(field(&why), why))?;
            Ok(next)
        });
        match recorded {
            Ok(next) => sent.set(next),
            Err(errors) => {
                sent.set(Sent::Not);
                form.fail(errors);
            }
        }
    });
    Submit {
        onsubmit,
        recorded,
        disabled: saving || !may,
    }
}

impl Submit {
    /// The button, and what became of the last submission.
    pub fn button(&self, label: &'static str, action: &'static str) -> Html {
        html! {
            <div class="submit">
                <button type="submit" class="primary" disabled={self.disabled} data-action={action}>{ label }</button>
                <p role="status">{ if self.recorded { "Recorded." } else { "" } }</p>
            </div>
        }
    }
}

#[derive(Properties, PartialEq)]
pub struct SupervisedProps {
    /// What is for a supervisor, like "Opening a lot".
    pub what: AttrValue,
    pub children: Html,
}

/// What only a supervisor is shown; others read whom to ask.
#[function_component]
pub fn Supervised(props: &SupervisedProps) -> Html {
    let shop = use_shop();
    if shop.desk().may(Duty::RunTheOffice) {
        return props.children.clone();
    }
    let supervisors: Vec<String> = {
        let state = shop.state();
        let people = state.people.values();
        people
            .filter(|person| Duty::RunTheOffice.allows(person))
            .map(|person| person.name.to_string())
            .collect()
    };
    let text = format!(
        "{} is for a supervisor: {}.",
        props.what,
        supervisors.join(", ")
    );
    html! { <p class="panel barred">{ text }</p> }
}
