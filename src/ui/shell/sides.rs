//! The side bar: the screens to choose from, and what is wanted on any of them.

use yew::prelude::*;

use crate::desk::{Action, Screen, Space};
use crate::ui::Shop;

use super::frame::Over;
use super::newer::works_offline;

pub fn sides(shop: &Shop, onshow: &Callback<Over>) -> Html {
    let desk = shop.desk();
    let current = desk.screen;
    let item = |screen: Screen| {
        let onclick = shop.on(move |_: MouseEvent| Action::Go(screen));
        let aria_current = (screen == current).then_some("page");
        html! {
            <li key={screen.name()}>
                <button type="button" {onclick} aria-current={aria_current} data-screen={screen.name()}>{ screen.name() }</button>
            </li>
        }
    };
    let show = |over: Over| {
        let onshow = onshow.clone();
        Callback::from(move |_: MouseEvent| onshow.emit(over))
    };
    let other = desk.lamp.other();
    let lamp = shop.on(move |_: MouseEvent| Action::SetLamp(other));
    html! {
        <nav class="sides" aria-label="Screens">
            <ul>{ for Screen::ALL.into_iter().map(item) }</ul>
            <ul class="tools">
                if desk.space == Space::Practice {
                    <li><button type="button" onclick={show(Over::Leave)} title="Throw the practice book away and go back to the start">{ "Leave practice" }</button></li>
                }
                <li><button type="button" onclick={lamp} data-lamp-switch="">{ format!("{} lamp", other.title()) }</button></li>
                <li><button type="button" onclick={show(Over::Lookup)}>{ "Look up" }<kbd>{ "/" }</kbd></button></li>
                <li><button type="button" onclick={show(Over::Keys)}>{ "Keys" }<kbd>{ "?" }</kbd></button></li>
            </ul>
            { works_offline(&desk.held) }
        </nav>
    }
}
