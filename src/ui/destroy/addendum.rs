//! What was corrected after a certificate was made, on a page of its own that follows it.

use yew::prelude::*;

use crate::custody::Fact;
use crate::export::{Certificate, CertifiedCorrection};

use super::annex::of_certificate;
use super::paper::{moment, practice};

/// A word on the screen, above the certificate.
pub fn later(corrections: &[CertifiedCorrection]) -> Html {
    match corrections {
        [] => Html::default(),
        _ => html! {
            <p class="caution no-print" role="note">{ "Something was corrected after this certificate was signed. The certificate stays as it was; its addendum below is printed with it." }</p>
        },
    }
}

pub fn addendum(it: &Certificate, corrections: &[CertifiedCorrection]) -> Html {
    if corrections.is_empty() {
        return Html::default();
    }
    html! {
        <article class="print-document certificate addendum" data-addendum={it.session.to_string()}>
            { practice(it) }
            <div class="annex-head">
                <h2>{ "Addendum: corrected since" }</h2>
                { of_certificate(it) }
            </div>
            <p>{ "Each of these was written down wrongly, and corrected by two people who signed for it. The certificate stands as it was signed." }</p>
            <table class="print-table">
                <thead><tr>
                    <th scope="col">{ "Entry" }</th><th scope="col">{ "Fact" }</th><th scope="col">{ "As certified" }</th>
                    <th scope="col">{ "As it should be" }</th><th scope="col">{ "Reason" }</th><th scope="col">{ "By, and when" }</th>
                </tr></thead>
                <tbody>{ for corrections.iter().map(row) }</tbody>
            </table>
        </article>
    }
}

fn row(one: &CertifiedCorrection) -> Html {
    let [by, second] = &one.by;
    html! {
        <tr>
            <td class="num">{ one.entry }</td><td>{ one.now.name() }</td><td>{ said(&one.was) }</td>
            <td>{ said(&one.now) }if let Some(so) = &one.so { <br />{ so } }</td>
            <td>{ &one.reason }</td><td>{ format!("{by} and {second}, {}", moment(&one.at)) }</td>
        </tr>
    }
}

/// A fact with its moments as the certificate prints them.
fn said(fact: &Fact) -> String {
    match fact {
        Fact::Started(at) | Fact::Ended(at) => moment(at),
        other => other.to_string(),
    }
}
