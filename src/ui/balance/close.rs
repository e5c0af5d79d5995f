//! Closing a lot.

use yew::prelude::*;

use crate::book::{Entry, LotClosed};
use crate::people::Duty;
use crate::sheet::LotId;
use crate::ui::kit::{Confirm, Panel};
use crate::ui::use_shop;

#[derive(Properties, PartialEq)]
pub struct CloseLotProps {
    pub lot: LotId,
}

#[function_component]
pub fn CloseLot(props: &CloseLotProps) -> Html {
    let shop = use_shop();
    let problem = use_state(|| None::<String>);
    let (closed, obstacles) = {
        let state = shop.state();
        let Ok(lot) = state.lot(props.lot) else {
            return Html::default();
        };
        let obstacles = state.stands_in_the_way(lot).into_iter();
        (
            lot.closed,
            obstacles
                .map(|obstacle| obstacle.to_string())
                .collect::<Vec<_>>(),
        )
    };
    let may = shop.desk().may(Duty::Close);
    let asking = use_state(|| false);
    let ask = |now: bool| {
        let asking = asking.clone();
        Callback::from(move |()| asking.set(now))
    };
    let onclick = ask(true).reform(|_: MouseEvent| ());
    let onconfirm = {
        let (shop, problem, lot) = (shop.clone(), problem.clone(), props.lot);
        let done = ask(false);
        Callback::from(move |()| {
            done.emit(());
            let refused = shop.record(vec![Entry::LotClosed(LotClosed { lot })]).err();
            problem.set(refused.map(|why| why.to_string()));
        })
    };
    let body = match closed {
        Some(entry) => html! {
            <p data-lot-closed={entry.to_string()}>{ format!("Closed in entry {entry}. Nothing more can be recorded for it.") }</p>
        },
        None => html! {
            <>
                if obstacles.is_empty() {
                    <p>{ "Everything is accounted for. After closing, nothing more can be recorded for this lot." }</p>
                } else {
                    <p>{ "What stands in the way:" }</p>
                    <ul class="obstacles">{ for obstacles.iter().map(|why| html! { <li>{ why }</li> }) }</ul>
                }
                if !may { <p class="hint">{ "Closing a lot is for a supervisor." }</p> }
                if let Some(why) = &*problem { <p class="error" role="alert">{ why }</p> }
                <button type="button" class="primary" data-action="close-lot" disabled={!may || !obstacles.is_empty()} {onclick}>
                    { format!("Close lot {}", props.lot) }
                </button>
                if *asking {
                    <Confirm action={format!("Close lot {}", props.lot)} {onconfirm} oncancel={ask(false)}
                        text="Nothing more can be recorded for this lot afterwards, and it cannot be opened again." />
                }
            </>
        },
    };
    html! { <Panel title={format!("Close lot {}", props.lot)} class={classes!("no-print")}>{ body }</Panel> }
}
