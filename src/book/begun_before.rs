//! Sessions that were begun over the same containers before and abandoned. Every beginning draws
//! another sample, so whoever begins again and again until a convenient one comes must be seen.

use crate::custody::ContainerId;

use super::state::{AbandonedSession, SessionRecord, State};

impl State {
    /// The abandoned sessions, among those before a line, that had any of these containers.
    pub fn begun_before(&self, seq: u64, containers: &[ContainerId]) -> Vec<&AbandonedSession> {
        let before = self.abandoned.iter().filter(|one| one.seq < seq);
        let any = |one: &&AbandonedSession| containers.iter().any(|id| one.had(*id));
        before.filter(any).collect()
    }
}

impl AbandonedSession {
    fn had(&self, container: ContainerId) -> bool {
        self.log.declared(container).is_some()
    }

    /// "D-1, abandoned before the count in entry 12: no power".
    pub fn says(&self) -> String {
        let (session, next) = (self.log.session, self.log.next().name());
        let (entry, reason) = (self.seq, self.reason.trim());
        format!("{session}, abandoned before {next} in entry {entry}: {reason}")
    }
}

impl SessionRecord {
    /// Every container it was begun with, also those that were left out.
    pub fn called_for(&self) -> Vec<ContainerId> {
        match &self.log {
            Some(log) => log.called_for(),
            None => {
                let found = self.record.containers.iter();
                found.map(|found| found.container).collect()
            }
        }
    }
}
