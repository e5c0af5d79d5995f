//! Going from screen to screen.

use crate::book::Finish;
use crate::people::Stamp;

use super::action::{Action, BookView, Screen, VerdictsView};
use super::core::Desk;
use super::ports::Effect;

/// The way to where an unfinished thing is finished: what to do, and the screen it leads to.
pub fn way_to(finish: Finish) -> (Action, Screen) {
    let verdicts = |view| (Action::GoVerdicts(view), Screen::Verdicts);
    let whole = |screen| (Action::Go(screen), screen);
    match finish {
        Finish::Bench => whole(Screen::Bench),
        Finish::Acceptance => verdicts(VerdictsView::Acceptance),
        Finish::Replacements => verdicts(VerdictsView::Replacements),
        Finish::Cage => whole(Screen::Cage),
        Finish::Destroy => whole(Screen::Destroy),
    }
}

impl Desk {
    pub(super) fn go(&mut self, screen: Screen) -> Vec<Effect> {
        self.notice = None;
        self.screen = screen;
        match screen {
            Screen::Bench => vec![Effect::FocusSheet],
            _ => Vec::new(),
        }
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
