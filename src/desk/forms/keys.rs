//! The file of sealed keys: one JSON object a line, for another machine or a safe.

use crate::book::State;
use crate::people::SealedKey;

/// Writes the sealed keys of everyone who can sign in this book.
///
/// # Errors
/// What could not be written, which does not happen to keys that were read.
pub fn write_keys<'a>(
    keys: impl Iterator<Item = &'a SealedKey>,
    state: &State,
) -> Result<String, String> {
    let mut file = String::new();
    for key in keys.filter(|key| is_of(key, state)) {
        let line = serde_json::to_string(key);
        file.push_str(&line.map_err(|why| format!("The keys could not be written ({why})."))?);
        file.push('\n');
    }
    Ok(file)
}

/// Reads such a file; every key must be one that this book knows.
///
/// # Errors
/// The first line that is not a key of this book.
pub fn read_keys(text: &str, state: &State) -> Result<Vec<SealedKey>, String> {
    let mut keys = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        let key: SealedKey = serde_json::from_str(line)
            .map_err(|why| format!("Line {number} is not a saved key ({why}). Choose the file that \"Save the keys\" made."))?;
        if !is_of(&key, state) {
            return Err(format!(
                "Line {number} is a key of {} that this book does not know. Choose the keys saved with this book.",
                key.person
            ));
        }
        keys.push(key);
    }
    if keys.is_empty() {
        return Err("The file is empty. Choose the file that \"Save the keys\" made.".to_owned());
    }
    Ok(keys)
}

fn is_of(key: &SealedKey, state: &State) -> bool {
    let person = state.people.get(&key.person);
    person.is_some_and(|person| person.key == key.key)
}

#[cfg(test)]
mod tests {
    use super::super::sample::book;
    use super::*;
    use crate::desk::practice::practice_key;
    use crate::people::SealingDice;

    fn sealed(code: &str) -> SealedKey {
        let person = code.parse().unwrap();
        let dice = SealingDice {
            seed: *practice_key(person).seed(),
            salt: [1; 16],
        };
        SealedKey::make(person, "long meadow at dusk", &dice)
            .unwrap()
            .0
    }

    #[test]
    fn keys_of_the_book_come_back_and_others_do_not() {
        let book = book();
        let (ada, stranger) = (sealed("ada"), sealed("zed"));
        let file = write_keys([&ada, &stranger].into_iter(), book.state()).unwrap();
        assert_eq!(read_keys(&file, book.state()), Ok(vec![ada]));
        let foreign = serde_json::to_string(&stranger).unwrap();
        let why = read_keys(&foreign, book.state()).unwrap_err();
        assert!(why.contains("a key of zed"), "{why}");
        for text in ["", "{}", "{\"person\":\"ada\"}"] {
            assert!(read_keys(text, book.state()).is_err(), "{text}");
        }
    }
}
