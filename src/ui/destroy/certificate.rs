//! The certificate on the screen, with the ways it leaves the machine.

use yew::prelude::*;

use crate::book::{Copied, CopyTaken, Entry};
use crate::custody::SessionId;
use crate::desk::{Action, Download};
use crate::export::{Certificate, CertifiedCorrection, certificate, corrections_of};
use crate::people::Duty;
use crate::ui::{Shop, use_shop};

use super::addendum::{addendum, later};
use super::paper::paper;

#[derive(Properties, PartialEq)]
pub struct CertificateProps {
    pub session: SessionId,
}

/// The certificate with its buttons.
#[function_component]
pub fn ShowCertificate(props: &CertificateProps) -> Html {
    let shop = use_shop();
    let made = {
        let shop = shop.clone();
        use_memo(props.session, move |session| make(&shop, *session))
    };
    let Some((made, corrections)) = &*made else {
        return Html::default();
    };
    let on = |act: fn(&Shop, &Certificate)| {
        let (shop, made) = (shop.clone(), made.clone());
        Callback::from(move |_: MouseEvent| act(&shop, &made))
    };
    html! {
        <section class="certificate-view" aria-label="Certificate">
            <div class="actions no-print">
                <button type="button" class="primary" onclick={on(print)} data-action="print-certificate">{ "Print the certificate" }</button>
                <button type="button" onclick={on(save)} data-action="save-certificate">{ "Save as JSON" }</button>
            </div>
            { later(corrections) }
            { paper(made, corrections.len()) }
            { addendum(made, corrections) }
        </section>
    }
}

fn make(shop: &Shop, session: SessionId) -> Option<(Certificate, Vec<CertifiedCorrection>)> {
    let desk = shop.desk();
    let state = desk.state();
    let mut sessions = state.sessions.iter();
    let record = sessions.find(|record| record.record.session == session)?;
    Some((certificate(state, record), corrections_of(state, record)))
}

fn print(shop: &Shop, certificate: &Certificate) {
    shop.act(Action::Print);
    note_copy(shop, certificate);
}

fn save(shop: &Shop, certificate: &Certificate) {
    match certificate.to_json() {
        Ok(json) => {
            shop.act(Action::Save(Download {
                name: format!("certificate-{}.json", certificate.session),
                mime: "application/json",
                bytes: json.into_bytes(),
            }));
            note_copy(shop, certificate);
        }
        Err(why) => shop.act(Action::Problem(format!(
            "The certificate cannot be written: {why}."
        ))),
    }
}

/// The book notes that its head has left the machine, with the head that the copy carries.
fn note_copy(shop: &Shop, certificate: &Certificate) {
    if shop.desk().may(Duty::NoteCopy) {
        let (what, head) = (Copied::Certificate, certificate.head);
        shop.act(Action::Record(vec![Entry::CopyTaken(CopyTaken::new(
            what, head,
        ))]));
    }
}
