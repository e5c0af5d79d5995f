//! What is taken up when the page opens, and kept so that it can be: the unfinished sheet, what
//! is typed for a destruction, a book brought in.

use std::rc::Rc;

use super::action::{Screen, Space};
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

    pub(super) fn keep_draft(&self) -> Effect {
        Effect::KeepDraft {
            space: self.space,
            draft: self.bench.kept(self.book.state()),
        }
    }
}

/// Stores a whole book as the book of a space, and opens it.
pub(super) fn adopt(space: Space, lines: Vec<Rc<str>>) -> Vec<Effect> {
    // A practice book always starts afresh; a real one is never overwritten.
    let clear = (space == Space::Practice).then_some(Effect::ClearPractice);
    let append = Effect::Append {
        space,
        expected_seq: 0,
        lines,
    };
    clear
        .into_iter()
        .chain([append, Effect::Load(space)])
        .collect()
}
