//! What to mind at the machine.

use yew::prelude::*;

use crate::export::CAUTIONS;
use crate::ui::kit::Caution;

#[function_component]
pub fn Cautions() -> Html {
    html! {
        <Caution>
            <ul>{ for CAUTIONS.iter().map(|text| html! { <li>{ *text }</li> }) }</ul>
        </Caution>
    }
}
