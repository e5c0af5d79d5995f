//! One part of the day record: a panel without a component of its own, and plain tables.

use yew::prelude::*;

use crate::ui::kit::unbroken;

/// A titled part; `lead` and `class` may be empty.
pub fn part(title: &str, lead: &str, class: &'static str, body: Html) -> Html {
    html! {
        <section class={classes!("panel", class)}>
            <h2>{ unbroken(title) }</h2>
            if !lead.is_empty() { <p class="lead">{ lead.to_owned() }</p> }
            { body }
        </section>
    }
}

/// A column: its name, and whether its cells are figures.
pub type Heading = (&'static str, bool);

/// A table of texts. The first cell of each row names it.
pub fn table(caption: &str, headings: &[Heading], rows: impl Iterator<Item = Vec<String>>) -> Html {
    let class = |figures: bool| figures.then_some("num");
    let heading = |(name, figures): &Heading| {
        html! { <th key={*name} scope="col" class={class(*figures)}>{ *name }</th> }
    };
    let row = |cells: Vec<String>| {
        let cells = cells.into_iter().zip(headings).enumerate();
        let cell = |(place, (text, (_, figures))): (usize, (String, &Heading))| match place {
            0 => html! { <th scope="row" class={class(*figures)}>{ text }</th> },
            _ => html! { <td class={class(*figures)}>{ text }</td> },
        };
        html! { <tr>{ for cells.map(cell) }</tr> }
    };
    html! {
        <div class="table-frame">
            <table class="data">
                <caption class="sr-only">{ caption.to_owned() }</caption>
                <thead><tr>{ for headings.iter().map(heading) }</tr></thead>
                <tbody>{ for rows.map(row) }</tbody>
            </table>
        </div>
    }
}
