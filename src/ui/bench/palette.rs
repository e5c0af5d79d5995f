//! The classes by step, to tag with mouse or finger and to learn the codes.

use yew::prelude::*;

use crate::desk::Action;
use crate::desk::bench::Command;
use crate::inspect::{Class, Scope, Step};
use crate::ui::Shop;

pub fn palette(shop: &Shop) -> Html {
    let desk = shop.desk();
    let Some(lot) = desk.bench.lot(desk.state()) else {
        return Html::default();
    };
    let letter = desk.bench.letter;
    let button = |class: &Class| {
        let code = class.code;
        let onclick = shop.on(move |_: MouseEvent| Action::BenchClick(Command::Tag(code)));
        let begun = letter.is_some_and(|letter| code.as_str().starts_with(letter));
        let faded = letter.is_some() && !begun;
        let sheet = class.scope == Scope::Sheet;
        html! {
            <button key={code.to_string()} type="button" {onclick} data-class={code.to_string()}
                class={classes!("class", begun.then_some("begun"), faded.then_some("faded"), sheet.then_some("whole"))}
                title={format!("{}. {} Usual cause: {}.", class.looks, if sheet { "Spoils the whole sheet." } else { "" }, class.cause)}>
                <b>{ code.to_string() }</b><span>{ &class.name }</span>
            </button>
        }
    };
    let group = |step: Step| {
        let classes: Vec<Html> = lot.catalogue.of_step(step).map(button).collect();
        if classes.is_empty() {
            return Html::default();
        }
        html! {
            <div class="step" key={step.slug()} role="group" aria-label={step.name()}>
                <span class="step-name"><i class={format!("swatch step-{}", step.slug())} />{ step.name() }</span>
                <div class="step-classes">{ for classes }</div>
            </div>
        }
    };
    html! {
        <div class="palette">
            { for Step::ALL.into_iter().map(group) }
            <p class="palette-key">{ "Double frame: spoils the whole sheet. On the sheet, a dashed frame: a minor class." }</p>
        </div>
    }
}
