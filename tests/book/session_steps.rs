//! Short ways to write the steps of a destruction session.
#![allow(dead_code, reason = "each test program uses its own part of it")]

use cullbook::book::{Entry, PassphraseFailed, Refusal};
use cullbook::custody::*;

use crate::works::{Works, id};

/// What the witnesses of these tests sign.
pub const SAW: &str = "I saw every container emptied into the shredder.";

pub fn begun(session: &str, containers: &[&str]) -> SessionBegun {
    SessionBegun {
        session: id(session),
        place: "Hall 3".to_owned(),
        operator: id("cas"),
        witnesses: vec![id("wim"), id("wes")],
        containers: containers.iter().map(|name| id(name)).collect(),
    }
}

pub fn begin(session: &str, containers: &[&str]) -> Entry {
    Entry::SessionBegun(begun(session, containers))
}

pub fn abandoned(session: &str) -> Entry {
    Entry::SessionAbandoned(SessionAbandoned {
        session: id(session),
        reason: "the shredder does not start".to_owned(),
    })
}

pub fn team(session: &str, change: TeamChange) -> Entry {
    let session = id(session);
    Entry::TeamChanged(TeamChanged { session, change })
}

pub fn left(session: &str, witness: &str, instead: Option<&str>) -> Entry {
    let change = TeamChange::WitnessLeft {
        witness: id(witness),
        instead: instead.map(id),
        reason: "taken ill".to_owned(),
    };
    team(session, change)
}

pub fn came(session: &str, witness: &str) -> Entry {
    let witness = id(witness);
    team(session, TeamChange::WitnessCame { witness })
}

pub fn failed_key(person: &str, tries: u32) -> Entry {
    let person = id(person);
    Entry::PassphraseFailed(PassphraseFailed { person, tries })
}

pub fn fact_corrected(session: &str, fact: Fact, second: &str) -> Entry {
    Entry::SessionCorrected(SessionCorrected {
        session: id(session),
        fact,
        reason: "mistyped".to_owned(),
        second: id(second),
    })
}

pub fn started() -> Started {
    Started {
        machine: "Shredder 2".to_owned(),
        method: Method::Shredding,
        particle_class: Some(ParticleClass::P5),
        started: id("2026-11-25T13:00:00+01:00"),
    }
}

impl Works {
    pub fn log(&self) -> &SessionLog {
        self.state().session.as_ref().expect("a session under way")
    }

    /// A step of the session that is under way, which corrects the same step when it is on record.
    pub fn step(&self, done: Done) -> SessionStep {
        let known = self.log().latest(done.stage()).map(|step| step.seq);
        SessionStep {
            session: self.log().session,
            done,
            corrects: known,
            reason: known.map(|_| "looked again".to_owned()),
        }
    }

    /// What is found when everything is as it should be.
    pub fn right(&self, stage: Stage) -> Done {
        let log = self.log();
        let fit = log.fit(stage).into_iter();
        let declared = |id| log.declared(id).expect("of the session");
        match stage {
            Stage::Seals => Done::Seals(
                fit.map(|container| SealFound {
                    container,
                    seal: Some(declared(container).seal),
                    broken: false,
                })
                .collect(),
            ),
            Stage::Count => Done::Count(
                fit.map(|container| Counted {
                    container,
                    counted: all_there(declared(container)),
                })
                .collect(),
            ),
            Stage::Weigh => Done::Weigh(
                fit.map(|container| Weighed {
                    container,
                    gross: Mass::from_milligrams(5_000_000),
                    tare: Mass::from_milligrams(4_000_000),
                    scale: self.state().scales.keys().next().copied(),
                    off_because: None,
                })
                .collect(),
            ),
            Stage::Start => Done::Start(started()),
            Stage::End => Done::End(Ended {
                ended: id("2026-11-25T13:20:00+01:00"),
            }),
            Stage::Residue | Stage::Statement => Done::Residue(Residue {
                largest_particle_mm2: Some(28),
                sample: Some(ResidueSample {
                    measured: 60,
                    above: 0,
                }),
                remarks: String::new(),
            }),
        }
    }

    pub fn try_step(&mut self, by: &str, done: Done) -> Result<(), Refusal> {
        let step = self.step(done);
        self.write(by, Entry::SessionStep(step))
    }

    /// Records every step before this one as right.
    #[track_caller]
    pub fn up_to(&mut self, stage: Stage) {
        while self.log().next() < stage {
            let step = self.step(self.right(self.log().next()));
            self.must("cal", Entry::SessionStep(step));
        }
    }

    /// The record that follows from the steps.
    pub fn record(&self) -> Destruction {
        let record = self.log().record(SAW.to_owned());
        record.expect("every step is on record")
    }

    /// A whole session before `wim` and `wes`, step by step.
    #[track_caller]
    pub fn hold_session(&mut self, session: &str, containers: &[&str]) {
        self.must("cal", begin(session, containers));
        self.up_to(Stage::Statement);
        let record = self.record();
        self.must("cal", Entry::SpoilsDestroyed(record));
    }
}

fn all_there(declared: &Declared) -> Counting {
    match &declared.drawn {
        Some(drawn) => Counting::Sample {
            pieces: drawn.len() as u32,
            absent: Vec::new(),
        },
        None => Counting::All {
            sheets: declared.contents.sheets,
            notes: declared.contents.notes,
        },
    }
}
