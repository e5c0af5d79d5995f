//! The Destroy screen.

use yew::prelude::*;

#[function_component]
pub fn DestroyScreen() -> Html {
    Html::default()
}
