//! Panels, summaries, cautions, empty states, file picking.

use web_sys::{File, HtmlElement, HtmlInputElement};
use yew::prelude::*;

use super::form::Form;

#[derive(Properties, PartialEq)]
pub struct PanelProps {
    pub title: AttrValue,
    /// A sentence under the title.
    #[prop_or_default]
    pub lead: AttrValue,
    #[prop_or_default]
    pub class: Classes,
    pub children: Html,
}

/// A titled part of a screen.
#[function_component]
pub fn Panel(props: &PanelProps) -> Html {
    html! {
        <section class={classes!("panel", props.class.clone())}>
            <h2>{ &props.title }</h2>
            if !props.lead.is_empty() { <p class="lead">{ &props.lead }</p> }
            { props.children.clone() }
        </section>
    }
}

#[derive(Properties, PartialEq)]
pub struct ErrorSummaryProps {
    pub form: Form,
    /// What did not come about.
    #[prop_or("Not recorded")]
    pub title: &'static str,
}

/// Everything that is wrong with a form, each line a link to its field. Errors under the name ""
/// concern the whole form.
#[function_component]
pub fn ErrorSummary(props: &ErrorSummaryProps) -> Html {
    let node = use_node_ref();
    let shown = node.clone();
    use_effect_with(props.form.errors().clone(), move |errors| {
        if !errors.is_empty()
            && let Some(element) = shown.cast::<HtmlElement>()
        {
            // Focus only moves the reader there; if it fails the summary is still on the page.
            element.focus().unwrap_or_default();
        }
    });
    if props.form.errors().is_empty() {
        return Html::default();
    }
    let line = |(field, message): (&'static str, &str)| match field {
        "" => html! { <li>{ message }</li> },
        field => {
            html! { <li><a href={format!("#{field}")} onclick={focus_field(field)}>{ message }</a></li> }
        }
    };
    html! {
        <div class="summary" role="alert" tabindex="-1" ref={node}>
            <h3>{ props.title }</h3>
            <ul>{ for props.form.errors().iter().map(line) }</ul>
        </div>
    }
}

/// Brings the keyboard to a field without changing the address of the page.
fn focus_field(field: &'static str) -> Callback<MouseEvent> {
    Callback::from(move |event: MouseEvent| {
        event.prevent_default();
        let element = gloo::utils::document().get_element_by_id(field);
        if let Some(element) =
            element.and_then(|element| wasm_bindgen::JsCast::dyn_into::<HtmlElement>(element).ok())
        {
            element.focus().unwrap_or_default();
        }
    })
}

#[derive(Properties, PartialEq)]
pub struct CautionProps {
    pub children: Html,
}

/// A safety caution at the step where it applies.
#[function_component]
pub fn Caution(props: &CautionProps) -> Html {
    html! { <aside class="caution" role="note"><strong>{ "Caution" }</strong>{ props.children.clone() }</aside> }
}

#[derive(Properties, PartialEq)]
pub struct EmptyProps {
    /// What is not there, and what to do about it.
    pub text: AttrValue,
    #[prop_or_default]
    pub children: Html,
}

/// What a list says when it is empty.
#[function_component]
pub fn Empty(props: &EmptyProps) -> Html {
    html! { <div class="empty"><p>{ &props.text }</p>{ props.children.clone() }</div> }
}

/// Largest book file that is read, in bytes.
pub const BOOK_FILE_MAX: u64 = 200 << 20;

#[derive(Properties, PartialEq)]
pub struct FilePickProps {
    pub id: &'static str,
    pub label: AttrValue,
    /// Endings the browser offers, like ".csv".
    pub accept: AttrValue,
    pub onfile: Callback<File>,
}

/// A button that lets a person choose one file.
#[function_component]
pub fn FilePick(props: &FilePickProps) -> Html {
    let onfile = props.onfile.clone();
    let chosen = move |files: Vec<File>| files.into_iter().for_each(|file| onfile.emit(file));
    pick(props.id, &props.label, &props.accept, false, chosen)
}

/// A button that lets a person choose files.
pub fn pick_files(
    id: &'static str,
    label: &'static str,
    accept: &'static str,
    chosen: impl Fn(Vec<File>) + 'static,
) -> Html {
    pick(id, &label.into(), &accept.into(), true, chosen)
}

fn pick(
    id: &'static str,
    label: &AttrValue,
    accept: &AttrValue,
    multiple: bool,
    chosen: impl Fn(Vec<File>) + 'static,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        let input: HtmlInputElement = event.target_unchecked_into();
        let list = input.files();
        let files = list
            .iter()
            .flat_map(|list| (0..list.length()).filter_map(|at| list.get(at)));
        chosen(files.collect());
        // So that the same file can be chosen again.
        input.set_value("");
    });
    html! {
        <label class="button file" for={id}>
            <span>{ label }</span>
            <input {id} type="file" {accept} {multiple} {onchange} />
        </label>
    }
}
