//! Facts of a recorded session that were written down wrongly.

use super::destruction::{Destruction, DestructionError, check_length, check_residue, check_text};
use super::particle::ParticleError;
use super::session::{Fact, Weighed};
use super::session_error::SessionError;

/// The record with one fact as it should have been, and the fact as it was.
///
/// # Errors
/// Why the fact cannot be so: it is that already, or the record would not hold.
pub fn corrected<E: From<DestructionError> + From<SessionError>>(
    record: &Destruction,
    fact: &Fact,
) -> Result<(Destruction, Fact), E> {
    let mut new = record.clone();
    let was = match fact {
        Fact::Place(place) => Fact::Place(std::mem::replace(&mut new.place, place.clone())),
        Fact::Machine(name) => Fact::Machine(std::mem::replace(&mut new.machine, name.clone())),
        Fact::Started(at) => Fact::Started(std::mem::replace(&mut new.started, at.clone())),
        Fact::Ended(at) => Fact::Ended(std::mem::replace(&mut new.ended, at.clone())),
        Fact::Remarks(text) => Fact::Remarks(std::mem::replace(&mut new.remarks, text.clone())),
        Fact::LargestParticle(mm2) => match new.largest_particle_mm2.replace(*mm2) {
            Some(was) => Fact::LargestParticle(was),
            None => return Err(DestructionError::ParticleWithoutClass.into()),
        },
        Fact::Masses(masses) => Fact::Masses(weigh_again(&mut new, masses)?),
    };
    if was == *fact {
        return Err(SessionError::SameFact(fact.name()).into());
    }
    check_facts(&new)?;
    Ok((new, was))
}

fn weigh_again(record: &mut Destruction, masses: &Weighed) -> Result<Weighed, SessionError> {
    let (session, container) = (record.session, masses.container);
    let mut containers = record.containers.iter_mut();
    let found = containers.find(|found| found.container == container);
    let found = found.ok_or(SessionError::NoContainer { session, container })?;
    if masses.scale != found.scale {
        return Err(SessionError::OtherScale(container));
    }
    Ok(Weighed {
        container,
        gross: std::mem::replace(&mut found.gross, masses.gross),
        tare: std::mem::replace(&mut found.tare, masses.tare),
        scale: found.scale,
        off_because: masses.off_because.clone(),
    })
}

fn check_facts(record: &Destruction) -> Result<(), DestructionError> {
    check_text("Place", &record.place)?;
    check_text("Machine", &record.machine)?;
    check_length("Remarks", &record.remarks)?;
    if record.ended <= record.started {
        return Err(DestructionError::EndBeforeStart);
    }
    for found in &record.containers {
        if found.gross < found.tare {
            return Err(DestructionError::BelowTare(found.container));
        }
    }
    let (method, class) = (record.method, record.particle_class);
    match check_residue(method, class, record.largest_particle_mm2, record.sample) {
        // Too coarse is refused before anything is recorded. Found out afterwards, it is said.
        Err(DestructionError::Particles(
            ParticleError::TooLarge { .. } | ParticleError::Contradiction { .. },
        )) => Ok(()),
        checked => checked,
    }
}
