//! A step that is on record, opened again: what was recorded stands in its fields. A count stays
//! blind.

use crate::book::State;
use crate::custody::{Done, Mass, ResidueSample, Stage};

use super::DestructionDraft;
use super::run::local_text;
use super::weighed::OFF_BECAUSE;
use crate::desk::forms::Typed;

impl DestructionDraft {
    /// Opens a step that is on record, to record it anew; none closes it again.
    pub fn open_anew(&mut self, stage: Option<Stage>, state: &State) {
        *self = Self {
            anew: stage,
            ..Self::default()
        };
        let log = state.session.as_ref();
        if let Some(step) = stage.and_then(|stage| log?.latest(stage)) {
            self.fill(&step.done);
        }
    }

    fn fill(&mut self, done: &Done) {
        match done {
            Done::Seals(list) => {
                for one in list {
                    let mut typed = Typed::default();
                    match one.seal {
                        Some(seal) => typed.set("found-seal", seal.to_string()),
                        None if one.broken => {}
                        None => typed.tick("not-found", true),
                    }
                    typed.tick("seal-broken", one.broken);
                    self.found.insert(one.container, typed);
                }
            }
            Done::Count(_) => {}
            Done::Weigh(list) => {
                for one in list {
                    let scale = one.scale.map_or_else(String::new, |id| id.to_string());
                    let typed = Typed::with([
                        ("found-gross", &*grams(one.gross)),
                        ("found-tare", &grams(one.tare)),
                        ("found-scale", &scale),
                        (OFF_BECAUSE, one.off_because.as_deref().unwrap_or_default()),
                    ]);
                    self.found.insert(one.container, typed);
                }
            }
            Done::Start(run) => {
                let class = run.particle_class.map_or("", |class| class.name());
                self.session = Typed::with([
                    ("machine", &*run.machine),
                    ("method", run.method.name()),
                    ("class", class),
                    ("started", &local_text(&run.started)),
                ]);
            }
            Done::End(end) => {
                self.session = Typed::with([("ended", &*local_text(&end.ended))]);
            }
            Done::Residue(residue) => {
                let particle = residue.largest_particle_mm2;
                let particle = particle.map_or_else(String::new, |mm2| mm2.to_string());
                let count = |of: fn(ResidueSample) -> u32| {
                    let sample = residue.sample.map(of);
                    sample.map_or_else(String::new, |count| count.to_string())
                };
                self.session = Typed::with([
                    ("particle", &*particle),
                    ("particles-measured", &count(|sample| sample.measured)),
                    ("particles-above", &count(|sample| sample.above)),
                    ("remarks", &residue.remarks),
                ]);
            }
        }
    }
}

/// A mass as it is typed, exactly.
fn grams(mass: Mass) -> String {
    let milligrams = mass.milligrams();
    let text = format!("{}.{:03}", milligrams / 1000, milligrams % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
