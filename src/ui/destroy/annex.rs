//! The annexes of a certificate, each on a page of its own.

use yew::prelude::*;

use crate::export::{Annex, AnnexLine, Certificate};

use super::paper::{containers, practice};

pub fn annexes(it: &Certificate) -> Html {
    let annexes = it.annexes();
    let of = annexes.len();
    let page = |(at, annex): (usize, &Annex)| {
        html! {
            <section class="annex" data-annex={(at + 1).to_string()}>
                { practice(it) }
                { title(it, at + 1, of) }
                { match annex {
                    Annex::Containers(part) => containers(part),
                    Annex::Contents(columns) => html! {
                        <div class={classes!("annex-columns", (columns.len() > 2).then_some("three"))}>{ for columns.iter().map(|lines| column(lines)) }</div>
                    },
                } }
            </section>
        }
    };
    html! { <>{ for annexes.iter().enumerate().map(page) }</> }
}

/// Which annex of what, so that a loose page finds its certificate again.
fn title(it: &Certificate, at: usize, of: usize) -> Html {
    html! {
        <header class="annex-head">
            <h2>{ format!("Annex {at} of {of}") }</h2>
            { of_certificate(it) }
        </header>
    }
}

/// Three lines that name the certificate.
pub(super) fn of_certificate(it: &Certificate) -> Html {
    html! {
        <>
            <p>{ format!("Certificate of destruction no. {}, session {}, entry {}", it.session, it.session, it.entry) }</p>
            <p>{ format!("{} · book {} · bench {}", it.works, it.book, it.bench) }</p>
            <p>{ "Head " }<span class="mono">{ it.head.to_string() }</span></p>
        </>
    }
}

fn column(lines: &[AnnexLine]) -> Html {
    let line = |line: &AnnexLine| match line {
        AnnexLine::Head { text, goes_on } => {
            let more = if *goes_on { ", continued" } else { "" };
            html! { <li class="annex-title">{ format!("{text}{more}") }</li> }
        }
        AnnexLine::Range(text) => html! { <li class="mono">{ text }</li> },
    };
    html! { <ul>{ for lines.iter().map(line) }</ul> }
}
