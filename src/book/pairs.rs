//! Witnesses who sign again and again together.

use crate::people::PersonId;

use super::state::State;

impl State {
    /// Two of these witnesses who both witnessed each of the last sessions, as many as the rules
    /// say. They may witness; that they are always the same is worth a warning.
    pub fn same_pair(&self, witnesses: &[PersonId]) -> Option<(PersonId, PersonId)> {
        let sessions = usize::from(self.rules.same_pair_after);
        let last: Vec<&[PersonId]> = self.witnesses().rev().take(sessions).collect();
        if sessions == 0 || last.len() < sessions {
            return None;
        }
        let always = |person: &PersonId| last.iter().all(|witnesses| witnesses.contains(person));
        let mut always = witnesses.iter().copied().filter(always);
        always.next().zip(always.next())
    }
}
