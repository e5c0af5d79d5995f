//! The Balance screen.

use yew::prelude::*;

#[function_component]
pub fn BalanceScreen() -> Html {
    Html::default()
}
