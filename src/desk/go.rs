//! Going from screen to screen.

use crate::people::Stamp;

use super::action::{BookView, Screen, VerdictsView};
use super::core::Desk;
use super::ports::Effect;

impl Desk {
    pub(super) fn go(&mut self, screen: Screen) -> Vec<Effect> {
        self.notice = None;
        self.screen = screen;
        Vec::new()
    }

    pub(super) fn go_verdicts(&mut self, view: VerdictsView) -> Vec<Effect> {
        self.verdicts = view;
        self.go(Screen::Verdicts)
    }

    pub(super) fn go_book(&mut self, view: BookView) -> Vec<Effect> {
        self.book_view = view;
        self.go(Screen::Book)
    }

    /// Keeps the moment at which the last signature taken on trust turned out to hold.
    pub(super) fn note_checked(&mut self, now: &Stamp) {
        let all = !self.book.is_empty() && self.book.unchecked() == 0;
        if all && self.checked.is_none() {
            self.checked = Some(now.clone());
        }
    }
}
