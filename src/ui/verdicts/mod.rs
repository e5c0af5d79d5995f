//! The Verdicts screen.

use yew::prelude::*;

#[function_component]
pub fn VerdictsScreen() -> Html {
    Html::default()
}
