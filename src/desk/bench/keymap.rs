//! Which key does what on the bench. Acts only while the sheet has the keyboard, so that single
//! letters never fire elsewhere (WCAG 2.2, 2.1.4).

use super::command::{Command, Edge, Way};
use super::range::TypedFor;

/// A key as the browser names it (UI Events `key`), with its modifiers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key<'a> {
    pub name: &'a str,
    pub shift: bool,
    pub ctrl: bool,
}

/// The keys as the help and the README show them.
pub const KEYS: &[(&str, &str)] = &[
    (
        "Enter",
        "record this sheet and go to the next open one; a clean sheet is one key",
    ),
    (
        "two letters",
        "tag the selection with that class, or take it off",
    ),
    (".", "tag the selection with the last class again"),
    ("=", "add the tags of the sheet recorded last"),
    ("arrows", "move; with Shift select a rectangle"),
    (
        "Home, End",
        "ends of the row; with Ctrl first and last note",
    ),
    ("Shift+Space, Ctrl+Space", "select the row, the column"),
    ("Ctrl+A", "select every note"),
    (
        "Space",
        "turn the sheet over; what is selected stays selected",
    ),
    ("Delete", "take all tags off the selection"),
    ("Ctrl+Z, Ctrl+Y", "take back, do again"),
    (
        "Page Down, Page Up",
        "look at the next, the previous sheet without recording",
    ),
    ("figures, Enter", "go to that sheet"),
    (
        "- figures, Enter",
        "pass as clean up to that sheet, leaving those with machine tags",
    ),
    (
        "* figures, Enter",
        "record as the machine says up to that sheet",
    ),
    (
        "+ figures, Enter",
        "record these tags for every sheet up to that one",
    ),
    ("Esc", "drop what is being typed, or the selection"),
    ("/", "look up a serial"),
    ("?", "show these keys"),
];

/// The command of a key; nothing when the bench leaves the key to the browser.
pub fn command_for(key: Key) -> Option<Command> {
    let Key { name, shift, ctrl } = key;
    let moved = |way| Some(Command::Move { way, extend: shift });
    let jump = |to| Some(Command::Jump { to, extend: shift });
    match name {
        "ArrowUp" => moved(Way::Up),
        "ArrowDown" => moved(Way::Down),
        "ArrowLeft" => moved(Way::Left),
        "ArrowRight" => moved(Way::Right),
        "Home" => jump(if ctrl { Edge::First } else { Edge::RowStart }),
        "End" => jump(if ctrl { Edge::Last } else { Edge::RowEnd }),
        "PageDown" => Some(Command::NextSheet),
        "PageUp" => Some(Command::PreviousSheet),
        "Enter" => Some(Command::Enter),
        "Escape" => Some(Command::Escape),
        "Delete" | "Backspace" => Some(Command::Erase),
        " " if shift => Some(Command::SelectRow),
        " " if ctrl => Some(Command::SelectColumn),
        " " => Some(Command::Flip),
        _ => character(name, shift, ctrl),
    }
}

fn character(name: &str, shift: bool, ctrl: bool) -> Option<Command> {
    let mut characters = name.chars();
    let (Some(c), None) = (characters.next(), characters.next()) else {
        return None;
    };
    match (c.to_ascii_lowercase(), ctrl) {
        ('z', true) if shift => Some(Command::Redo),
        ('z', true) => Some(Command::Undo),
        ('y', true) => Some(Command::Redo),
        ('a', true) => Some(Command::SelectAll),
        (_, true) => None,
        ('a'..='z', false) => Some(Command::Letter(c)),
        ('0'..='9', false) => Some(Command::Figure(c)),
        ('-', false) => Some(Command::Range(TypedFor::Pass)),
        ('+', false) => Some(Command::Range(TypedFor::Same)),
        ('*', false) => Some(Command::Range(TypedFor::Machine)),
        ('.', false) => Some(Command::Again),
        ('=', false) => Some(Command::Repeat),
        _ => None,
    }
}
