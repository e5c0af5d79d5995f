//! Keys by name, and the WebDriver actions that press them.

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;

/// The keys of a chord such as `Shift+F2`, in the order they go down.
pub fn chord(name: &str) -> Vec<char> {
    // The last character is always part of the key itself: "+" and "Shift++" are the plus key.
    let last = name.char_indices().next_back().map_or(0, |(at, _)| at);
    let cut = name[..last].rfind('+').map_or(0, |at| at + 1);
    let held = name[..cut].split_terminator('+').map(key_named);
    held.chain([key_named(&name[cut..])]).collect()
}

/// Each chord: its keys go down in order and up in reverse.
pub fn strokes(chords: impl Iterator<Item = Vec<char>>) -> KeyActions {
    let mut actions = KeyActions::new("keyboard".into());
    for chord in chords {
        for &value in &chord {
            actions = actions.then(KeyAction::Down { value });
        }
        for &value in chord.iter().rev() {
            actions = actions.then(KeyAction::Up { value });
        }
    }
    actions
}

/// The WebDriver code of a key: its own character, or the name it has in `KeyboardEvent.key`.
fn key_named(name: &str) -> char {
    let key = match name {
        "Enter" => Key::Enter,
        "Escape" => Key::Escape,
        "Tab" => Key::Tab,
        "Space" => return ' ',
        "Backspace" => Key::Backspace,
        "Delete" => Key::Delete,
        "ArrowUp" => Key::Up,
        "ArrowDown" => Key::Down,
        "ArrowLeft" => Key::Left,
        "ArrowRight" => Key::Right,
        "Home" => Key::Home,
        "End" => Key::End,
        "PageUp" => Key::PageUp,
        "PageDown" => Key::PageDown,
        "Shift" => Key::Shift,
        "Control" => Key::Control,
        "Alt" => Key::Alt,
        "F1" => Key::F1,
        "F2" => Key::F2,
        _ => {
            let mut characters = name.chars();
            let first = characters.next().expect("a key has a name");
            assert!(characters.next().is_none(), "no key is named {name}");
            return first;
        }
    };
    key.into()
}
