//! The tags of the sheet as a list: what each does to its note, and a way to take it off.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::Lot;
use crate::desk::Action;
use crate::desk::bench::Command;
use crate::inspect::{REMARK_MAX, Severity, Source, Spot, Tag};
use crate::sheet::Side;
use crate::ui::use_shop;

/// The list. Pressing a tag's words opens its remark.
#[function_component]
pub fn Tags() -> Html {
    let shop = use_shop();
    let editing = use_state(|| None::<Tag>);
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
                lot.serial_shown(desk.bench.sheet, position),
                lot.is_lost(&ruling, position),
            ),
        };
        let remove = {
            let tag = tag.clone();
            shop.on(move |_: MouseEvent| Action::BenchClick(Command::Remove(tag.clone())))
        };
        let open = editing
            .as_ref()
            .is_some_and(|edited| edited.same_defect(tag));
        let toggle = {
            let (editing, tag) = (editing.clone(), tag.clone());
            Callback::from(move |_: MouseEvent| editing.set((!open).then(|| tag.clone())))
        };
        let done = {
            let editing = editing.clone();
            Callback::from(move |()| editing.set(None))
        };
        html! {
            <li key={format!("{note}{}{}", tag.class, tag.side.name())} class={classes!((!lost).then_some("kept"))}>
                <b>{ note }</b>
                <button type="button" class="quiet what" onclick={toggle} aria-expanded={open.to_string()} title="Write a remark">
                    { what(lot, tag, lost) }
                </button>
                <span class="mono">{ serial }</span>
                <button type="button" class="quiet off" onclick={remove} aria-label={format!("Take {} off", tag.class)}>{ "×" }</button>
                if open {
                    <Remark tag={OfTag(tag.clone())} {done} />
                } else if let Some(remark) = remark_line(tag) {
                    <span class="remark">{ remark }</span>
                }
            </li>
        }
    };
    html! { <ul class="tags">{ for desk.bench.draft.tags().iter().map(row) }</ul> }
}

fn what(lot: &Lot, tag: &Tag, lost: bool) -> String {
    let name = lot
        .catalogue
        .get(tag.class)
        .map_or("", |class| class.name.as_str());
    let back = if tag.side == Side::Back { ", back" } else { "" };
    let minor = lot
        .catalogue
        .get(tag.class)
        .is_some_and(|class| lot.rules.severity(class) == Severity::Minor);
    let kept = match (lost, minor) {
        (true, _) => "",
        (false, true) => " (minor, kept)",
        (false, false) => " (kept)",
    };
    format!("{} {name}{back}{kept}", tag.class)
}

/// Who else saw it, and what was remarked.
fn remark_line(tag: &Tag) -> Option<String> {
    let machine = (tag.source == Source::Machine).then_some("by machine");
    let parts: Vec<&str> = machine.into_iter().chain(tag.remark.as_deref()).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

#[derive(Clone, PartialEq)]
struct OfTag(Tag);

#[derive(Properties, PartialEq)]
struct RemarkProps {
    tag: OfTag,
    done: Callback<()>,
}

#[function_component]
fn Remark(props: &RemarkProps) -> Html {
    let shop = use_shop();
    let (tag, done) = (props.tag.0.clone(), props.done.clone());
    let value = tag.remark.clone().unwrap_or_default();
    let onchange = Callback::from(move |event: Event| {
        let text = event.target_unchecked_into::<HtmlInputElement>().value();
        shop.act(Action::BenchClick(Command::Remark {
            tag: tag.clone(),
            text,
        }));
        done.emit(());
    });
    html! {
        <input class="remark" autofocus=true aria-label="Remark, then Enter" placeholder="Remark, then Enter"
            maxlength={REMARK_MAX.to_string()} {value} {onchange} />
    }
}
