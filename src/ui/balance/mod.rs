//! The Balance screen: what must be accounted for, where it is, and what stands behind a
//! difference or a remainder.

mod behind;
mod close;
mod identities;
mod lots;
mod pools;

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::{book_account, lot_account};
use crate::sheet::LotId;
use crate::ui::kit::{Empty, Panel};
use crate::ui::{Shop, use_shop};

use behind::behind;
use close::CloseLot;
use identities::identities;
pub use identities::signed;
use lots::lots;
use pools::pools;

/// What is balanced.
#[derive(Clone, Copy, PartialEq)]
enum Scope {
    Book,
    Lot(LotId),
}

/// The value that stands for the whole book in the picker; no lot is called so.
const WHOLE_BOOK: &str = "*";

#[function_component]
pub fn BalanceScreen() -> Html {
    let shop = use_shop();
    let scope = use_state(|| match shop.desk().bench.lot(&shop.state()) {
        Some(lot) => Scope::Lot(lot.id),
        None => Scope::Book,
    });
    if shop.state().lots.is_empty() && shop.state().archive.lots.is_empty() {
        return html! { <Empty text="There is no lot yet. A supervisor opens one in the Office." /> };
    }
    let choose = {
        let scope = scope.clone();
        Callback::from(move |chosen| scope.set(chosen))
    };
    let body = match *scope {
        Scope::Book => whole_book(&shop, choose.reform(Scope::Lot)),
        Scope::Lot(lot) => one_lot(&shop, lot),
    };
    html! {
        <div class="page balance">
            <header class="screen-head">
                <h1>{ "Balance" }</h1>
                <p class="lead">{ "Both sides of every account are counted apart and must agree." }</p>
                <div class="actions">{ scope_pick(&shop, *scope, &choose) }</div>
            </header>
            { body }
        </div>
    }
}

/// The lot or the whole book.
fn scope_pick(shop: &Shop, scope: Scope, choose: &Callback<Scope>) -> Html {
    let choose = choose.clone();
    let onchange = Callback::from(move |event: Event| {
        let value = event.target_unchecked_into::<HtmlSelectElement>().value();
        choose.emit(value.parse().map_or(Scope::Book, Scope::Lot));
    });
    let option = |id: LotId, closed: bool| {
        let shown = if closed {
            format!("Lot {id} (closed)")
        } else {
            format!("Lot {id}")
        };
        html! { <option key={id.to_string()} value={id.to_string()} selected={scope == Scope::Lot(id)}>{ shown }</option> }
    };
    let options = shop
        .state()
        .lots
        .values()
        .map(|lot| option(lot.id, lot.closed.is_some()))
        .collect::<Html>();
    html! {
        <label class="pick-one no-print">
            <span>{ "Balance of" }</span>
            <select id="balance-scope" data-pick="balance" {onchange}>
                <option value={WHOLE_BOOK} selected={scope == Scope::Book}>{ "The whole book" }</option>
                { options }
            </select>
        </label>
    }
}

fn whole_book(shop: &Shop, choose: Callback<LotId>) -> Html {
    let account = book_account(&shop.state());
    html! {
        <>
            { identities(&account.identities) }
            { lots(&shop, &choose) }
            { pools(&shop) }
        </>
    }
}

fn one_lot(shop: &Shop, id: LotId) -> Html {
    let state = shop.state();
    let Ok(lot) = state.lot(id) else {
        return html! { <Empty text={format!("Lot {id} is not in this book. Choose another.")} /> };
    };
    let account = lot_account(&state, lot);
    html! {
        <>
            { identities(&account.identities) }
            <div class="columns">
                <Panel title="What is behind it" class={classes!("behind")}>{ behind(&shop, id) }</Panel>
                <CloseLot lot={id} />
            </div>
            { pools(&shop) }
        </>
    }
}
