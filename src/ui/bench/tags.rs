//! The tags of the sheet as a list: what each does to its note, and a way to take it off.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::Lot;
use crate::desk::Action;
use crate::desk::bench::Command;
use crate::inspect::{REMARK_MAX, Source, Spot, Tag};
use crate::ui::use_shop;

use super::sheet::serial_text;

#[function_component]
pub fn Tags() -> Html {
    let shop = use_shop();
    let desk = shop.desk();
    let Some(lot) = desk.bench.lot(desk.state()) else {
        return Html::default();
    };
    let ruling = desk.bench.ruling(lot);
    let row = |tag: &Tag| {
        let (note, serial, lost) = match tag.spot {
            Spot::WholeSheet => ("sheet".to_owned(), None, true),
            Spot::Note(position) => (
                lot.product.layout.name(position).to_owned(),
                serial_text(lot, desk.bench.sheet, position),
                lot.is_lost(&ruling, position),
            ),
        };
        let remove = {
            let tag = tag.clone();
            shop.on(move |_: MouseEvent| Action::Bench(Command::Remove(tag.clone())))
        };
        let remark = {
            let (shop, tag) = (shop.clone(), tag.clone());
            Callback::from(move |event: Event| {
                let text = event.target_unchecked_into::<HtmlInputElement>().value();
                shop.act(Action::Bench(Command::Remark {
                    tag: tag.clone(),
                    text,
                }));
            })
        };
        html! {
            <li key={format!("{note}{}{}", tag.class, tag.side.name())} class={classes!((!lost).then_some("kept"))}>
                <b>{ note }</b>
                <span class="what">{ what(lot, tag) }{ if lost { "" } else { " (minor, kept)" } }</span>
                <span class="mono">{ serial }</span>
                <button type="button" class="quiet" onclick={remove} aria-label={format!("Take {} off", tag.class)}>{ "×" }</button>
                <input class="remark" placeholder="remark" aria-label={format!("Remark on {}", tag.class)} maxlength={REMARK_MAX.to_string()}
                    value={tag.remark.clone().unwrap_or_default()} onchange={remark} />
            </li>
        }
    };
    html! { <ul class="tags">{ for desk.bench.draft.tags().iter().map(row) }</ul> }
}

fn what(lot: &Lot, tag: &Tag) -> String {
    let name = lot
        .catalogue
        .get(tag.class)
        .map_or("", |class| class.name.as_str());
    let machine = if tag.source == Source::Machine {
        ", machine"
    } else {
        ""
    };
    format!("{} {name}, {}{machine}", tag.class, tag.side.name())
}
