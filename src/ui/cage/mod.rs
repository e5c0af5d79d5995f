//! The Cage screen.

use yew::prelude::*;

#[function_component]
pub fn CageScreen() -> Html {
    Html::default()
}
