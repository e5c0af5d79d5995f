//! A destruction that is under way when the page opens: its screen comes back, with what was
//! typed and not recorded.

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

    pub(super) fn keep_session(&self) -> Effect {
        Effect::KeepSession {
            space: self.space,
            draft: self.destruction.kept(self.state()),
        }
    }
}
