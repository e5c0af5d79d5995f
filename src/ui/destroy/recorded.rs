//! After the record: it stands, under this number, and here is its certificate.

use yew::prelude::*;

use crate::custody::SessionId;
use crate::desk::Action;
use crate::desk::forms::DestructionDraft;
use crate::ui::use_shop;

use super::certificate::ShowCertificate;

#[derive(Properties, PartialEq)]
pub struct RecordedProps {
    pub session: SessionId,
}

#[function_component]
pub fn Recorded(props: &RecordedProps) -> Html {
    let shop = use_shop();
    let again =
        shop.on(|_: MouseEvent| Action::TypeDestruction(Box::<DestructionDraft>::default()));
    let state = shop.state();
    let mut sessions = state.sessions.iter();
    let entry = sessions
        .find(|session| session.record.session == props.session)
        .map_or(0, |session| session.seq);
    html! {
        <>
            <section class="panel recorded" role="status" data-recorded-session={props.session.to_string()}>
                <h2>{ "Recorded: session " }<span class="mono">{ props.session.to_string() }</span></h2>
                <p>{ format!("It is entry {entry} of the book. Print the certificate now and give each witness a copy: the head on it is what shows later that the book was not replaced.") }</p>
                <button type="button" onclick={again} data-action="new-session">{ "Begin another session" }</button>
            </section>
            <ShowCertificate session={props.session} />
        </>
    }
}
