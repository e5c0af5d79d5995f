//! What is taken up when the page opens, and kept so that it can be: the unfinished sheet, and what
//! is typed for a destruction.

use super::action::Screen;
use super::core::Desk;
use super::forms::DestructionDraft;
use super::ports::Effect;

impl Desk {
    pub(super) fn resume_session(&mut self, kept: Option<&str>) {
        let state = self.book.state();
        if let Some(kept) = kept {
            self.destruction = DestructionDraft::take_up(kept, state);
        }
        if state.session.is_some() {
            self.screen = Screen::Destroy;
        }
    }

    /// A tab that only reads leaves what is typed in the one that writes alone.
    pub(super) fn keep_session(&self) -> Option<Effect> {
        let keep = |()| Effect::KeepSession {
            space: self.space,
            draft: self.destruction.kept(self.state()),
        };
        self.homes.may_write().ok().map(keep)
    }

    /// The same for the unfinished sheet.
    pub(super) fn keep_draft(&self) -> Option<Effect> {
        let keep = |()| Effect::KeepDraft {
            space: self.space,
            draft: self.bench.kept(self.book.state()),
        };
        self.homes.may_write().ok().map(keep)
    }
}
