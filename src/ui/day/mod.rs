//! The Day screen.

use yew::prelude::*;

#[function_component]
pub fn DayScreen() -> Html {
    Html::default()
}
