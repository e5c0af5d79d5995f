//! SHA-256 against FIPS 180-4 and NIST CAVP examples, date-times against RFC 3339. Sources and
//! how each was got are named in the files; a file that flags an entry has it skipped by name.

use cullbook::book::Hash;
use cullbook::people::Stamp;
use serde_json::Value;

use super::quality_fixture::{json, list};

fn text<'a>(value: &'a Value, key: &str) -> Option<&'a str> {
    value[key].as_str()
}

fn unflagged<'a>(entries: &'a [Value], name: &str) -> impl Iterator<Item = &'a Value> {
    entries.iter().filter(move |entry| {
        let skipped = entry["match"] == Value::Bool(false);
        if skipped {
            println!("skipped, its sources do not match: {}", entry[name]);
        }
        !skipped
    })
}

/// The message of an entry: bytes in hexadecimal, or a character repeated.
fn message(entry: &Value) -> Vec<u8> {
    if let Some(hex) = text(entry, "message_hex") {
        let byte = |at| u8::from_str_radix(&hex[at..at + 2], 16).expect("two digits");
        return (0..hex.len()).step_by(2).map(byte).collect();
    }
    let repeat = entry["repeat"].as_u64().expect("a number of times");
    let character = text(entry, "repeat_ascii").expect("a character");
    character.repeat(repeat as usize).into_bytes()
}

#[test]
fn sha256_of_published_messages() {
    let file = json("sha256_vectors.json");
    let entries = file.as_array().expect("a list of vectors");
    let mut checked = 0;
    for entry in unflagged(entries, "source") {
        let digest = Hash::of_file(&message(entry)).to_string();
        assert_eq!(Some(&*digest), text(entry, "sha256"), "{}", entry["source"]);
        checked += 1;
    }
    assert!(checked >= 60, "{checked}");
}

/// A line's hash is that of no file: it says before it what it is.
#[test]
fn a_line_is_hashed_after_its_domain() {
    for line in ["", "abc", "{\"v\":1}"] {
        let file = format!("cullbook line v2\n{line}");
        assert_eq!(
            Hash::of_line(line.as_bytes()),
            Hash::of_file(file.as_bytes())
        );
        assert_ne!(
            Hash::of_line(line.as_bytes()),
            Hash::of_file(line.as_bytes())
        );
    }
}

#[test]
fn rfc_3339_examples_are_read_and_kept() {
    let file = json("time_vectors.json");
    let mut compared = 0;
    for entry in unflagged(list(&file["rfc3339"], "valid"), "text") {
        let given = text(entry, "text").expect("a date-time");
        let stamp: Stamp = given.parse().unwrap_or_else(|why| panic!("{why}"));
        assert_eq!(stamp.to_string(), given);
        if let Some(utc) = text(entry, "utc") {
            let same: Stamp = utc.parse().unwrap_or_else(|why| panic!("{why}"));
            assert_eq!(stamp, same, "{given}");
            compared += 1;
        }
    }
    assert!(compared >= 3, "{compared}");
}

/// RFC 3339 5.8: both examples of a leap second name the same one.
#[test]
fn a_leap_second_is_one_moment_at_every_offset() {
    let moments = ["1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"];
    let [utc, pacific] = moments.map(|text| text.parse::<Stamp>().expect(text));
    assert_eq!(utc, pacific);
    let before: Stamp = "1990-12-31T23:59:59Z".parse().unwrap();
    let after: Stamp = "1991-01-01T00:00:00Z".parse().unwrap();
    assert!(before < utc && utc < after);
}

#[test]
fn what_rfc_3339_does_not_allow_is_refused() {
    let file = json("time_vectors.json");
    let wrong = list(&file["rfc3339"], "not_rfc3339");
    let taken: Vec<&str> = wrong
        .iter()
        .map(|text| text.as_str().expect("a text"))
        .filter(|text| text.parse::<Stamp>().is_ok())
        .collect();
    assert_eq!(taken, Vec::<&str>::new());
}
