//! The Office screen.

use yew::prelude::*;

#[function_component]
pub fn OfficeScreen() -> Html {
    Html::default()
}
