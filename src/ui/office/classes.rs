//! The catalogue of classes, by step: changed row by row, then recorded as a whole.

use yew::prelude::*;

use crate::book::Refusal;
use crate::desk::Saved;
use crate::desk::forms::FieldErrors;
use crate::desk::forms::classes::{ClassChanges, catalogue};
use crate::inspect::{Class, ClassCode, Step};
use crate::people::Duty;
use crate::ui::kit::Panel;
use crate::ui::{Shop, use_shop};

use super::class_row::{ClassForm, class_row};

/// What is open for change.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Editing {
    Nothing,
    Class(ClassCode),
    New(Step),
}

/// The catalogue as changed here, and what is being changed.
#[derive(Clone)]
pub struct Draft {
    pub classes: UseStateHandle<Vec<Class>>,
    pub editing: UseStateHandle<Editing>,
    pub may: bool,
}

impl Draft {
    /// Puts a class in the place of the edited one, or after the last of its step.
    fn keep(&self, class: Class) {
        let mut classes = (*self.classes).clone();
        let edited = match *self.editing {
            Editing::Class(code) => classes.iter().position(|other| other.code == code),
            _ => None,
        };
        match edited {
            Some(index) => classes[index] = class,
            None => {
                let after = classes.iter().rposition(|other| other.step <= class.step);
                classes.insert(after.map_or(0, |index| index + 1), class);
            }
        }
        self.classes.set(classes);
        self.editing.set(Editing::Nothing);
    }

    pub fn remove(&self, code: ClassCode) {
        let classes = self.classes.iter().filter(|class| class.code != code);
        self.classes.set(classes.cloned().collect());
        self.editing.set(Editing::Nothing);
    }

    /// The classes that the edited one must not share its code with.
    fn others(&self) -> Vec<Class> {
        let edited = match *self.editing {
            Editing::Class(code) => Some(code),
            _ => None,
        };
        let others = self
            .classes
            .iter()
            .filter(|class| Some(class.code) != edited);
        others.cloned().collect()
    }
}

#[function_component]
pub fn Classes() -> Html {
    let shop = use_shop();
    let classes = use_state(|| shop.state().catalogue.classes().to_vec());
    let editing = use_state(|| Editing::Nothing);
    let problem = use_state(String::new);
    let may = shop.desk().may(Duty::RunTheOffice);
    let draft = Draft {
        classes,
        editing,
        may,
    };
    let state = shop.state();
    let changes = ClassChanges::between(state.catalogue.classes(), &draft.classes);
    html! {
        <Panel title="Classes" lead="Lots keep the catalogue they were opened under. A change counts for lots opened from now on.">
            if may { { recording(&shop, &draft, changes, &problem) } }
            { for Step::ALL.into_iter().map(|step| group(step, &draft)) }
        </Panel>
    }
}

/// What is not recorded yet, and the two ways out.
fn recording(
    shop: &Shop,
    draft: &Draft,
    changes: ClassChanges,
    problem: &UseStateHandle<String>,
) -> Html {
    let record = {
        let (shop, draft, problem) = (shop.clone(), draft.clone(), problem.clone());
        Callback::from(move |_: MouseEvent| {
            let entry = catalogue(&draft.classes, &shop.state().catalogue);
            let recorded = entry.and_then(|entry| {
                let record = shop.record(vec![entry]);
                record.map_err(|why: Refusal| FieldErrors::one("", why))
            });
            let message = recorded
                .err()
                .and_then(|errors| errors.of("").map(str::to_owned));
            problem.set(message.unwrap_or_default());
        })
    };
    let drop = {
        let (shop, draft, problem) = (shop.clone(), draft.clone(), problem.clone());
        Callback::from(move |_: MouseEvent| {
            draft.classes.set(shop.state().catalogue.classes().to_vec());
            draft.editing.set(Editing::Nothing);
            problem.set(String::new());
        })
    };
    let desk = shop.desk();
    let open = *draft.editing != Editing::Nothing;
    let text = match (changes.is_none(), &desk.saved) {
        (false, _) => format!("Not recorded yet: {}.", changes.says()),
        (true, Saved::Saving) => "Recording…".to_owned(),
        (true, _) => format!("{} classes, as the book has them.", draft.classes.len()),
    };
    html! {
        <div class="catalogue-bar">
            <p role="status">{ text }</p>
            if !problem.is_empty() { <p class="error" role="alert">{ (**problem).clone() }</p> }
            <button type="button" onclick={drop} disabled={changes.is_none()} data-action="drop-classes">{ "Drop the changes" }</button>
            <button type="button" class="primary" onclick={record} disabled={changes.is_none() || open || desk.is_saving()}
                data-action="record-classes">{ "Record the catalogue" }</button>
        </div>
    }
}

fn group(step: Step, draft: &Draft) -> Html {
    let add = {
        let editing = draft.editing.clone();
        Callback::from(move |_: MouseEvent| editing.set(Editing::New(step)))
    };
    let classes = draft.classes.iter().filter(|class| class.step == step);
    html! {
        <section class="class-group" key={step.slug()}>
            <div class="class-group-head">
                <h3><i class={format!("swatch step-{}", step.slug())} />{ step.name() }</h3>
                if draft.may {
                    <button type="button" class="quiet" onclick={add} data-action="add-class" data-step={step.slug()}>{ "Add a class" }</button>
                }
            </div>
            <div class="table-frame"><table class="data classes">
                <caption class="sr-only">{ format!("Classes of {}", step.name()) }</caption>
                <thead><tr>
                    <th scope="col">{ "Code" }</th><th scope="col">{ "Name" }</th><th scope="col">{ "Of" }</th>
                    <th scope="col">{ "Severity" }</th><th scope="col">{ "Looks like" }</th><th scope="col">{ "Usual cause" }</th>
                    <th scope="col"><span class="sr-only">{ "What to do" }</span></th>
                </tr></thead>
                <tbody>
                    { for classes.map(|class| match *draft.editing {
                        Editing::Class(code) if code == class.code => form_row(Some(class.clone()), step, draft),
                        _ => class_row(class, draft),
                    }) }
                    if *draft.editing == Editing::New(step) { { form_row(None, step, draft) } }
                </tbody>
            </table></div>
        </section>
    }
}

fn form_row(class: Option<Class>, step: Step, draft: &Draft) -> Html {
    let onkeep = {
        let draft = draft.clone();
        Callback::from(move |class| draft.keep(class))
    };
    let oncancel = {
        let editing = draft.editing.clone();
        Callback::from(move |()| editing.set(Editing::Nothing))
    };
    let key = class
        .as_ref()
        .map_or("new".to_owned(), |class| format!("edit {}", class.code));
    html! {
        <tr {key}><td colspan="7"><ClassForm {class} {step} others={draft.others()} {onkeep} {oncancel} /></td></tr>
    }
}
