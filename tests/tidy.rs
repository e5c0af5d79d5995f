//! Reads the sources and holds them to the order of the rooms and the taste of the house.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms from left to right; one may use those to its left.
const ROOMS: [&str; 11] = [
    "sheet", "inspect", "people", "custody", "account", "quality", "book", "export", "desk",
    "browser", "ui",
];
/// Only these may know the web; and neither may use the other.
const WEB_ROOMS: [&str; 2] = ["browser", "ui"];
const WEB: [&str; 6] = [
    "yew",
    "web_sys",
    "js_sys",
    "gloo",
    "wasm_bindgen",
    "wasm_bindgen_futures",
];
const UNFINISHED: [&str; 3] = ["todo!", "unimplemented!", "dbg!"];
const LINES_MAX: usize = 400;

/// Everything that is wrong with one source file. `path` is relative to `src`.
fn faults(path: &str, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    if text.lines().count() > LINES_MAX {
        faults.push(format!("{path}: more than {LINES_MAX} lines"));
    }
    let room = path.split('/').next().filter(|room| ROOMS.contains(room));
    for (number, line) in (1..).zip(text.lines()) {
        let words = words(code(line));
        let mut fault = |what: String| faults.push(format!("{path}:{number}: {what}"));
        for word in UNFINISHED.iter().filter(|word| words.contains(*word)) {
            fault(format!("{word} is unfinished work"));
        }
        let Some(room) = room else { continue };
        for used in rooms_named(&words).filter(|used| !may_use(room, used)) {
            fault(format!("room {room} uses room {used}"));
        }
        if !WEB_ROOMS.contains(&room) {
            for word in WEB.iter().filter(|word| words.contains(*word)) {
                fault(format!("room {room} names {word}"));
            }
        }
    }
    faults
}

/// The line without its comment.
fn code(line: &str) -> &str {
    // No source holds "//" in a string before code that matters here: addresses stand at the end.
    line.split("//").next().unwrap_or_default()
}

/// Words and signs: a macro's name keeps its exclamation mark.
fn words(code: &str) -> Vec<&str> {
    let is_word = |c: char| c.is_alphanumeric() || c == '_' || c == '!';
    code.split(|c: char| !is_word(c) && c != ':')
        .flat_map(|path| path.split("::"))
        .map(|word| word.trim_matches(':'))
        .filter(|word| !word.is_empty())
        .collect()
}

/// Rooms that follow `crate`, as in `use crate::book::…`.
fn rooms_named<'a>(words: &'a [&'a str]) -> impl Iterator<Item = &'a str> {
    let pairs = words.windows(2).filter(|pair| pair[0] == "crate");
    pairs
        .map(|pair| pair[1])
        .filter(|word| ROOMS.contains(word))
}

fn may_use(room: &str, used: &str) -> bool {
    let place = |room| ROOMS.iter().position(|other| *other == room);
    let web_twins = room != used && WEB_ROOMS.contains(&room) && WEB_ROOMS.contains(&used);
    place(used) <= place(room) && !web_twins
}

/// Every Rust file under a folder.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("a readable folder").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

#[test]
fn sources_keep_the_order_of_the_rooms() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files = sources(&src);
    assert!(files.len() > 100, "only {} sources found", files.len());
    let faults: Vec<String> = files
        .iter()
        .flat_map(|file| {
            let path = file.strip_prefix(&src).expect("a file under src");
            let text = fs::read_to_string(file).expect("a source is text");
            faults(&path.to_string_lossy(), &text)
        })
        .collect();
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn every_room_is_a_folder_and_every_folder_a_room() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let folders = fs::read_dir(src)
        .expect("src is a folder")
        .filter_map(|entry| {
            let entry = entry.expect("a readable folder");
            let name = entry.file_name().to_string_lossy().into_owned();
            entry.path().is_dir().then_some(name)
        });
    let mut folders: Vec<_> = folders.filter(|name| name != "bin").collect();
    folders.sort();
    let mut rooms = ROOMS.map(str::to_owned).to_vec();
    rooms.sort();
    assert_eq!(folders, rooms);
}

#[test]
fn planted_faults_are_found() {
    let found = |path: &str, text: &str| faults(path, text).join("\n");
    let wrong = [
        (
            "sheet/x.rs",
            "use crate::inspect::Tag;",
            "room sheet uses room inspect",
        ),
        (
            "book/fold/x.rs",
            "    let x = crate::export::Table::new();",
            "book uses room export",
        ),
        (
            "account/x.rs",
            "use crate::book::State;",
            "account uses room book",
        ),
        (
            "ui/x.rs",
            "use crate::browser::save;",
            "ui uses room browser",
        ),
        (
            "browser/x.rs",
            "use crate::ui::App;",
            "browser uses room ui",
        ),
        ("desk/x.rs", "use yew::prelude::*;", "desk names yew"),
        (
            "desk/x.rs",
            "fn f(x: wasm_bindgen::JsValue) {}",
            "names wasm_bindgen",
        ),
        (
            "export/x.rs",
            "wasm_bindgen_futures::spawn_local(f)",
            "names wasm_bindgen_futures",
        ),
        ("main.rs", "fn main() { todo!() }", "todo! is unfinished"),
        (
            "desk/x.rs",
            "    unimplemented!(\"later\")",
            "unimplemented! is unfinished",
        ),
        ("ui/x.rs", "let y = dbg!(x);", "dbg! is unfinished"),
    ];
    for (path, text, fault) in wrong {
        assert!(
            found(path, text).contains(fault),
            "{text}: {}",
            found(path, text)
        );
    }
    assert!(found("ui/x.rs", &"\n".repeat(401)).contains("more than 400 lines"));
    let right = [
        ("desk/x.rs", "use crate::book::{Book, Entry};"),
        ("ui/x.rs", "use crate::ui::kit::count; use yew::prelude::*;"),
        ("sheet/x.rs", "// see crate::book and yew: todo!"),
        ("account/x.rs", "let bookish = yewtree;"),
        ("main.rs", "cullbook::browser::show_page_on_panic();"),
        ("ui/x.rs", ""),
    ];
    for (path, text) in right {
        assert_eq!(found(path, text), "", "{text}");
    }
    assert_eq!(found("ui/x.rs", &"\n".repeat(400)), "");
}
