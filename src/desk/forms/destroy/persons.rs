//! Who is here: the lead, the operator, the witnesses, and who may not witness and why.

use std::collections::BTreeMap;

use crate::book::State;
use crate::custody::{ContainerId, DestructionError, SessionId};
use crate::people::{Duty, Part, Person, PersonId, conflicts};

use super::{DestructionDraft, Setting};
use crate::desk::forms::{FieldErrors, Reader};

/// One person who is enrolled, and whether they may witness.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    pub person: PersonId,
    /// Why they may not, in a sentence; nothing when they may.
    pub barred: Option<String>,
    /// For whoever may: sealed containers they must not witness, with the part they had.
    pub not_for: Vec<(ContainerId, Part)>,
}

/// Who had a part in a sealed container: whoever sealed it or counted it again, whoever tagged
/// what lies in it.
type PartsIn = BTreeMap<ContainerId, Vec<(PersonId, Part)>>;

fn parts_in(state: &State, containers: impl Iterator<Item = ContainerId>) -> PartsIn {
    let parts = |id: ContainerId| {
        let known = state.cage.containers.get(&id);
        let sealings = known.into_iter().flat_map(|known| known.sealings());
        let sealed = sealings.flat_map(|by| [by.by, by.second]);
        let recounted = known.into_iter().flat_map(|known| known.recounters());
        let tagged = state.taggers(&[id]).into_iter();
        let sealed = sealed.map(|person| (person, Part::Sealed));
        sealed
            .chain(recounted.map(|person| (person, Part::Recounted)))
            .chain(tagged.map(|person| (person, Part::Tagged)))
            .collect()
    };
    containers.map(|id| (id, parts(id))).collect()
}

impl DestructionDraft {
    /// Everyone who has the witness role and how they stand to every sealed container.
    pub fn standings(&self, at: &Setting) -> Vec<Standing> {
        let state = at.state;
        let sealed = state.cage.containers.values();
        let sealed =
            sealed.filter(|container| matches!(container.seal, crate::custody::Seal::Sealed(_)));
        let sealed = sealed.map(|container| container.id);
        self.standings_for(sealed, at)
    }

    fn standings_for(
        &self,
        containers: impl Iterator<Item = ContainerId>,
        at: &Setting,
    ) -> Vec<Standing> {
        let state = at.state;
        let parts = parts_in(state, containers);
        let witnesses = state
            .people
            .values()
            .filter(|person| Duty::Witness.allows(person));
        witnesses
            .map(|person| self.standing(person, &parts, at))
            .collect()
    }

    fn standing(&self, person: &Person, parts: &PartsIn, at: &Setting) -> Standing {
        let id = person.person;
        let not_for: Vec<(ContainerId, Part)> = parts
            .iter()
            .flat_map(|(container, parts)| parts.iter().map(move |part| (*container, *part)))
            .filter(|(_, (who, _))| *who == id)
            .map(|(container, (_, part))| (container, part))
            .collect();
        let chosen = not_for
            .iter()
            .find(|(container, _)| self.found.contains_key(container));
        let name = &person.name;
        let barred = if id == at.lead {
            Some(format!("{name} leads this session and cannot witness it."))
        } else if self.session.get("operator") == id.as_str() {
            Some(format!(
                "{name} {} and cannot witness it.",
                Part::Operated.did()
            ))
        } else {
            chosen.map(|(container, part)| {
                format!(
                    "{name} {} (container {container}) and cannot witness it.",
                    part.did()
                )
            })
        };
        Standing {
            person: id,
            barred,
            not_for,
        }
    }

    /// Session number, place and operator, when everyone who must be here is.
    pub(super) fn persons(
        &self,
        at: &Setting,
    ) -> Result<(SessionId, String, PersonId), FieldErrors> {
        let state = at.state;
        let mut form = Reader::new(&self.session);
        if let Err(why) = state.person(at.lead) {
            form.wrong::<()>("", why);
        }
        let session = form
            .read("session")
            .and_then(|id: SessionId| match used_by(state, id) {
                None => Some(id),
                Some(seq) => form.wrong(
                    "session",
                    format!("Session number {id} is used by entry {seq}. Give the next one."),
                ),
            });
        let place = form.required("place", "Place", 200);
        let operator = self.operator(&mut form, state);
        self.check_witnesses(&mut form, at);
        let read = (|| Some((session?, place?, operator?)))();
        form.finish(read)
    }

    fn operator(&self, form: &mut Reader, state: &State) -> Option<PersonId> {
        if form.text("operator").is_empty() {
            return form.wrong("operator", "Choose who works the machine.");
        }
        let operator: PersonId = form.read("operator")?;
        match state.person(operator) {
            Ok(person) if Duty::OperateDestruction.allows(person) => Some(operator),
            Ok(_) => {
                let duty = Duty::OperateDestruction;
                let person = operator;
                form.wrong("operator", DestructionError::NotAllowed { person, duty })
            }
            Err(why) => form.wrong("operator", why),
        }
    }

    fn check_witnesses(&self, form: &mut Reader, at: &Setting) {
        let rules = &at.state.rules;
        let (have, need) = (self.witnesses.len(), rules.witnesses.max(2));
        if have < usize::from(need) {
            form.wrong::<()>(
                "witnesses",
                DestructionError::TooFewWitnesses { have, need },
            );
        }
        let standings = self.standings_for(self.found.keys().copied(), at);
        for witness in &self.witnesses {
            let standing = standings.iter().find(|known| known.person == *witness);
            match standing {
                None => {
                    let (person, duty) = (*witness, Duty::Witness);
                    form.wrong::<()>("witnesses", DestructionError::NotAllowed { person, duty });
                }
                Some(Standing {
                    barred: Some(why), ..
                }) => {
                    form.wrong::<()>("witnesses", format!("{why} Name another witness."));
                }
                Some(_) => {}
            }
        }
        let parts = self
            .witnesses
            .iter()
            .map(|id| (*id, Part::Witnessed))
            .collect();
        if let Some(twice) = conflicts(&parts).first() {
            form.wrong::<()>("witnesses", twice);
        }
        let outside = |id: &PersonId| at.state.people.get(id).is_some_and(|person| person.outside);
        if rules.outside_witness && !self.witnesses.iter().any(outside) {
            form.wrong::<()>("witnesses", DestructionError::NoOutsideWitness);
        }
    }
}

/// The entry that used a session number.
fn used_by(state: &State, id: SessionId) -> Option<u64> {
    let done = state.sessions.iter();
    let done = done.map(|one| (one.record.session, one.seq));
    let abandoned = state.abandoned.iter();
    let mut all = done.chain(abandoned.map(|one| (one.log.session, one.log.seq)));
    all.find(|(used, _)| *used == id).map(|(_, seq)| seq)
}
