//! The four identities, both sides and the difference.

use yew::prelude::*;

use crate::account::{Identity, Term};
use crate::ui::kit::count;

pub fn identities(identities: &[Identity]) -> Html {
    html! { <div class="identities">{ for identities.iter().map(card) }</div> }
}

fn card(identity: &Identity) -> Html {
    let found = |term: &Term| {
        html! { <tr key={term.name}><th scope="row">{ term.name }</th><td class="num">{ count(term.count) }</td></tr> }
    };
    let owed = |term: &Term| {
        html! { <tr key={term.name}><th scope="row">{ capital(term.name) }</th><td class="num" data-side="owed">{ count(term.count) }</td></tr> }
    };
    let holds = identity.holds();
    html! {
        <section class={classes!("panel", "identity", (!holds).then_some("off"))} data-identity={identity.name}>
            <table class="data">
                <caption>
                    { identity.name }
                    // A spoiled sheet is one piece here, however many notes it carries.
                    if identity.name == Identity::SPOILS { <span class="hint">{ " sheets and notes, in pieces" }</span> }
                </caption>
                <thead>
                    { for identity.owed.iter().map(owed) }
                </thead>
                <tbody>{ for identity.found.iter().map(found) }</tbody>
                <tfoot>
                    <tr><th scope="row">{ "Accounted for" }</th><td class="num" data-side="found">{ count(identity.found_total()) }</td></tr>
                    <tr class="difference">
                        <th scope="row">{ "Difference" }</th>
                        <td class="num" data-side="difference">{ signed(identity.difference()) }</td>
                    </tr>
                </tfoot>
            </table>
            <p class={classes!("mark", if holds { "good" } else { "spoiled" })}>
                { if holds { "Holds" } else { "Does not hold" } }
            </p>
        </section>
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|first| first.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

/// A difference with its sign: "−12", "0", "+3".
pub fn signed(difference: i128) -> String {
    // A difference is one of counts, so its size is a count.
    let size = count(u64::try_from(difference.unsigned_abs()).unwrap_or(u64::MAX));
    match difference {
        0 => size,
        1.. => format!("+{size}"),
        _ => format!("−{size}"),
    }
}
