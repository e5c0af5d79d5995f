//! What goes wrong at a session: somebody leaves, somebody comes, all of it is given up.

use crate::book::Entry;
use crate::custody::{SessionAbandoned, SessionLog, TeamChange, TeamChanged, TeamPart};
use crate::people::PersonId;

use crate::desk::forms::{FieldErrors, Reader, Typed};

/// The values of the field for what changes, and what is shown for each.
pub const LEAVING: [(&str, &str); 3] = [
    ("left", "A witness leaves"),
    ("came", "A witness comes"),
    ("operator", "Another works the machine"),
];

/// The fields of the form for people who leave and come.
pub struct TeamForm;

impl TeamForm {
    pub const WHAT: &str = "team-what";
    pub const WHO: &str = "team-who";
    pub const INSTEAD: &str = "team-instead";
    pub const REASON: &str = "team-reason";
}

/// Who leaves and who comes.
///
/// # Errors
/// What is missing, each at its field. Whether they may is the book's to say.
pub fn team_change(typed: &Typed, log: &SessionLog) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let change = match form.text(TeamForm::WHAT) {
        "left" => left(&mut form, log),
        "came" => named(&mut form, TeamForm::INSTEAD, "Choose who comes.")
            .map(|witness| TeamChange::WitnessCame { witness }),
        "operator" => {
            let instead = named(&mut form, TeamForm::INSTEAD, "Choose who works it now.");
            let reason = form.required(TeamForm::REASON, "Reason", 200);
            instead
                .zip(reason)
                .map(|(instead, reason)| TeamChange::OperatorReplaced { instead, reason })
        }
        _ => form.wrong(TeamForm::WHAT, "Choose what changes."),
    };
    let session = log.session;
    form.finish(change.map(|change| Entry::TeamChanged(TeamChanged { session, change })))
}

fn left(form: &mut Reader, log: &SessionLog) -> Option<TeamChange> {
    let witness = named(form, TeamForm::WHO, "Choose who leaves.");
    let reason = form.required(TeamForm::REASON, "Reason", 200);
    let instead = match form.text(TeamForm::INSTEAD) {
        "" => Some(None),
        _ => form.read(TeamForm::INSTEAD).map(Some),
    };
    if let Some(person) = witness
        && !log.here(TeamPart::Witness).any(|here| here == person)
    {
        let why = crate::custody::SessionError::NotAWitness(person);
        return form.wrong(TeamForm::WHO, why);
    }
    Some(TeamChange::WitnessLeft {
        witness: witness?,
        instead: instead?,
        reason: reason?,
    })
}

fn named(form: &mut Reader, field: &'static str, missing: &str) -> Option<PersonId> {
    match form.text(field) {
        "" => form.wrong(field, missing),
        _ => form.read(field),
    }
}

/// Gives the session up before anything is destroyed.
///
/// # Errors
/// When no reason is given.
pub fn abandon(typed: &Typed, log: &SessionLog) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let reason = form.required("abandon-reason", "Reason", 200);
    let session = log.session;
    form.finish(reason.map(|reason| Entry::SessionAbandoned(SessionAbandoned { session, reason })))
}
