//! The frame: bar above, screens at the side, the chosen screen, dialogs.

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};
use yew::prelude::*;

use crate::desk::{Action, Screen, Space};
use crate::ui::balance::BalanceScreen;
use crate::ui::bench::bench_screen;
use crate::ui::book::BookScreen;
use crate::ui::cage::CageScreen;
use crate::ui::day::DayScreen;
use crate::ui::destroy::DestroyScreen;
use crate::ui::office::OfficeScreen;
use crate::ui::verdicts::VerdictsScreen;
use crate::ui::{Shop, use_shop};

use super::bar::Bar;
use super::idle::lock_when_idle;
use super::keys::keys;
use super::leave::leave;
use super::lookup::Lookup;
use super::message::message;
use super::newer::newer;
use super::sides::sides;
use super::sign_in::SignIn;
use super::signatures::signing_dialog;

/// A dialog of the frame.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Over {
    Keys,
    Leave,
    Lookup,
    SignIn,
}

/// Everything, once a book is on the desk.
#[function_component]
pub fn Frame() -> Html {
    let shop = use_shop();
    let over = use_state(|| None::<Over>);
    let open = over.clone();
    use_effect_with((), move |()| {
        listen_for_keys(move |dialog| open.set(Some(dialog)))
    });
    let (leaving, practice) = (shop.clone(), shop.desk().space == Space::Practice);
    use_effect_with(practice, move |practice| {
        // A practice book has nothing to protect.
        let watch = (!practice).then(|| lock_when_idle(move || leaving.act(Action::SignOut)));
        move || drop(watch)
    });
    // What comes on the screen is read from its top.
    use_effect_with((shop.desk().screen, shop.desk().book_view), |_| {
        if let Some(screen) = gloo::utils::document().get_element_by_id("screen") {
            screen.set_scroll_top(0);
        }
    });
    let close = {
        let over = over.clone();
        Callback::from(move |()| over.set(None))
    };
    let show = {
        let over = over.clone();
        Callback::from(move |dialog| over.set(Some(dialog)))
    };
    let desk = shop.desk();
    let signed_in = desk.signed_in.is_some();
    let practice = desk
        .state()
        .opened
        .as_ref()
        .is_some_and(|opened| opened.practice);
    let dialog = match *over {
        Some(Over::Keys) => keys(&close),
        Some(Over::Leave) => leave(&shop, &close),
        Some(Over::Lookup) => html! { <Lookup onclose={close} /> },
        Some(Over::SignIn) if signed_in => html! { <SignIn onclose={close} /> },
        _ if !signed_in => html! { <SignIn /> },
        _ => Html::default(),
    };
    html! {
        <div class={classes!("frame", practice.then_some("practice"))}>
            <div class="top"><Bar onshow={show.clone()} />{ newer(&shop) }</div>
            { sides(&shop, &show) }
            <main id="screen" class={classes!("screen", format!("screen-{}", desk.screen.name().to_lowercase()))}>
                { message(&shop) }
                if signed_in { { screen(&shop, desk.screen) } }
            </main>
            { dialog }
            { signing_dialog(&shop) }
        </div>
    }
}

fn screen(shop: &Shop, screen: Screen) -> Html {
    match screen {
        Screen::Bench => bench_screen(shop),
        Screen::Verdicts => html! { <VerdictsScreen /> },
        Screen::Cage => html! { <CageScreen /> },
        Screen::Destroy => html! { <DestroyScreen /> },
        Screen::Balance => html! { <BalanceScreen /> },
        Screen::Day => html! { <DayScreen /> },
        Screen::Book => html! { <BookScreen /> },
        Screen::Office => html! { <OfficeScreen /> },
    }
}

/// `/` looks a serial up and `?` shows the keys, unless someone is typing.
fn listen_for_keys(open: impl Fn(Over) + 'static) -> impl FnOnce() {
    let options = EventListenerOptions::enable_prevent_default();
    let listener = EventListener::new_with_options(
        &gloo::utils::document(),
        "keydown",
        options,
        move |event| {
            let Some(event) = event.dyn_ref::<KeyboardEvent>() else {
                return;
            };
            let dialog = match event.key().as_str() {
                "/" => Over::Lookup,
                "?" => Over::Keys,
                _ => return,
            };
            let target = event
                .target()
                .and_then(|target| target.dyn_into::<Element>().ok());
            let typing = target.is_some_and(|element| {
                matches!(element.tag_name().as_str(), "INPUT" | "SELECT" | "TEXTAREA")
            });
            if !typing && !event.ctrl_key() && !event.alt_key() && !event.meta_key() {
                event.prevent_default();
                open(dialog);
            }
        },
    );
    move || drop(listener)
}
