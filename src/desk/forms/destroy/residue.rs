//! What is typed about the residue.

use crate::custody::{
    DestructionError, ParticleClass, ParticleError, Residue, ResidueSample, SessionLog,
    check_particles,
};

use super::DestructionDraft;
use crate::desk::forms::{FieldErrors, Reader};

/// Largest particle that is measured, mm².
const PARTICLE_MAX: u32 = 100_000;
/// Most particles of a sample.
const SAMPLE_MAX: u32 = 100_000;

/// Largest particle in mm², and the sample it is of.
type Particles = (u32, ResidueSample);

impl DestructionDraft {
    /// What was measured, where the method leaves particles, and the remarks.
    pub(super) fn residue(&self, log: &SessionLog) -> Result<Residue, FieldErrors> {
        let mut form = Reader::new(&self.session);
        let run = log.started();
        let particles = match run.is_some_and(|run| run.method.leaves_particles()) {
            false => Some(None),
            true => particles(&mut form, run.and_then(|run| run.particle_class)).map(Some),
        };
        let remarks = form.text("remarks").trim().to_owned();
        if remarks.chars().count() > 200 {
            form.wrong::<()>("remarks", DestructionError::TooLong("Remarks"));
        }
        form.finish(particles.map(|particles| Residue {
            largest_particle_mm2: particles.map(|(largest, _)| largest),
            sample: particles.map(|(_, sample)| sample),
            remarks,
        }))
    }
}

fn particles(form: &mut Reader, class: Option<ParticleClass>) -> Option<Particles> {
    let measured = number(
        form,
        ("particles-measured", "Particles measured"),
        "The number of particles measured is empty. Take a sample of the residue and measure it.",
        Some(ParticleError::EmptySample),
        SAMPLE_MAX,
    );
    let largest = number(
        form,
        ("particle", "The largest particle"),
        "The largest particle is empty. Measure a sample of the residue.",
        Some(ParticleError::NoSize),
        PARTICLE_MAX,
    );
    let above = number(
        form,
        ("particles-above", "Particles above the area"),
        "How many particles are above the class' area is empty. Count them; 0 if there are none.",
        None,
        SAMPLE_MAX,
    );
    let sample = ResidueSample {
        measured: measured?,
        above: above?,
    };
    fits_class(form, class, largest?, sample);
    Some((largest?, sample))
}

/// A number that must be there; where nought is no answer, `nought` says why.
fn number(
    form: &mut Reader,
    (field, name): (&'static str, &'static str),
    empty: &'static str,
    nought: Option<ParticleError>,
    most: u32,
) -> Option<u32> {
    match (form.text(field).trim(), nought) {
        ("", _) => form.wrong(field, empty),
        ("0", Some(why)) => form.wrong(field, why),
        (_, nought) => form.number(field, name, u32::from(nought.is_some())..=most),
    }
}

fn fits_class(
    form: &mut Reader,
    class: Option<ParticleClass>,
    largest: u32,
    sample: ResidueSample,
) {
    let Some(class) = class else {
        return;
    };
    if let Err(why) = check_particles(class, largest, Some(sample)) {
        let field = match why {
            ParticleError::TooLarge { .. } | ParticleError::NoSize => "particle",
            ParticleError::EmptySample => "particles-measured",
            ParticleError::MoreAboveThanMeasured { .. }
            | ParticleError::Contradiction { .. }
            | ParticleError::TooManyAbove { .. } => "particles-above",
        };
        form.wrong::<()>(field, why);
    }
}
