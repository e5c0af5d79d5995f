//! The form for residue that leaves the works.

use crate::book::{Entry, Refusal, SessionRecord, State};
use crate::custody::{Mass, MassBalance, ResidueError, ResidueSent, SessionId};
use crate::people::Day;

use super::{FieldErrors, Reader, Typed};

/// Sessions whose residue was not sent yet, the oldest first.
pub fn unsent(state: &State) -> impl Iterator<Item = &SessionRecord> {
    let sessions = state.sessions.iter();
    sessions.filter(|session| state.residue_of(session.record.session).is_none())
}

/// Reads the form: the ticked `sessions`, `residue-mass` (grams), `residue-destination`,
/// `residue-receipt`, `residue-date`; `today` is the local day.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn residue_sent(
    typed: &Typed,
    sessions: &[SessionId],
    today: Day,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    if sessions.is_empty() {
        form.wrong::<()>("residue-sessions", ResidueError::NoSessions);
    }
    let mass = form.read_with("residue-mass", |text| match text {
        "" => Err("The mass is empty. Weigh the residue, without its bags.".to_owned()),
        _ => Mass::from_grams_text(text).map_err(|why| why.to_string()),
    });
    let destination = form.required("residue-destination", "Destination", 120);
    let receipt = form.required("residue-receipt", "Receipt number", 60);
    let date = form.read_with("residue-date", |text| match text {
        "" => Err("The day it left is empty. Choose it.".to_owned()),
        _ => text.parse::<Day>().map_err(|why| why.to_string()),
    });
    let data = (|| {
        Some(ResidueSent {
            sessions: sessions.to_vec(),
            mass: mass?,
            destination: destination?,
            receipt: receipt?,
            date: date?,
        })
    })();
    if let Some(Err(why)) = data.as_ref().map(|data| data.check(today)) {
        form.wrong::<()>(residue_field(&why.clone().into()), why);
    }
    form.finish(data.map(Entry::ResidueSent))
}

/// The mass that is typed against the paper of the ticked sessions, as soon as both are there.
pub fn residue_compared(
    typed: &Typed,
    sessions: &[SessionId],
    state: &State,
) -> Option<MassBalance> {
    let mass = Mass::from_grams_text(typed.get("residue-mass")).ok()?;
    let known = unsent(state).filter(|one| sessions.contains(&one.record.session));
    let known: Vec<&SessionRecord> = known.collect();
    (!known.is_empty()).then(|| state.balance_of(&known, mass))
}

/// The field that a refusal of the book is about.
pub fn residue_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::Residue(why) => match why {
            ResidueError::NoSessions
            | ResidueError::SessionTwice(_)
            | ResidueError::UnknownSession(_)
            | ResidueError::SentBefore { .. } => "residue-sessions",
            ResidueError::NoMass => "residue-mass",
            ResidueError::Empty("Destination")
            | ResidueError::TooLong {
                field: "Destination",
                ..
            } => "residue-destination",
            ResidueError::Empty(_)
            | ResidueError::TooLong { .. }
            | ResidueError::ReceiptUsed { .. } => "residue-receipt",
            ResidueError::BeforeSession { .. } | ResidueError::NotYet { .. } => "residue-date",
        },
        _ => "",
    }
}

#[cfg(test)]
mod tests;
