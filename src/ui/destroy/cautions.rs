//! What to mind, at the step where it applies.

use yew::prelude::*;

use crate::custody::Method;
use crate::desk::forms::Step;
use crate::export::CAUTIONS;
use crate::ui::Shop;
use crate::ui::kit::Caution;

const GUARDS: usize = 0;
const LOCK_OUT: usize = 1;
const HEARING: usize = 2;
const HOT_WORK: usize = 3;
const DUST: usize = 4;
const LICENSED: usize = 5;

pub fn cautions(shop: &Shop, step: Step) -> Html {
    let burning = is_burning(shop);
    let which: &[usize] = match (step, burning) {
        (Step::Start, false) => &[GUARDS, HEARING, DUST, LICENSED],
        (Step::Start, true) => &[HOT_WORK, HEARING, LICENSED],
        (Step::End, false) => &[GUARDS, LOCK_OUT],
        (Step::End | Step::Residue, true) => &[HOT_WORK],
        (Step::Residue, false) => &[LOCK_OUT, DUST],
        _ => return Html::default(),
    };
    html! {
        <Caution>
            <ul>{ for which.iter().map(|at| html! { <li>{ CAUTIONS[*at] }</li> }) }</ul>
        </Caution>
    }
}

/// By the method that is chosen, or on record.
fn is_burning(shop: &Shop) -> bool {
    let desk = shop.desk();
    let log = desk.state().session.as_ref();
    let recorded = log.and_then(|log| log.started()).map(|run| run.method);
    let typed = desk.destruction.session.get("method");
    match typed {
        "" => recorded == Some(Method::Burning),
        name => name == Method::Burning.name(),
    }
}
