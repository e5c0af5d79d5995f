//! CSV, against fixtures/reference/csv_rules.json: RFC 4180 section 2 (from memory), examples
//! computed with Python's csv module, and the OWASP page on CSV injection (retrieved).

use std::collections::BTreeSet;

use cullbook::export::{Cell, Table, guarded, reader, unguarded};
use serde_json::Value;

const RULES: &str = include_str!("../fixtures/reference/csv_rules.json");

fn rules() -> Value {
    serde_json::from_str(RULES).unwrap()
}

fn strings(list: &Value) -> Vec<String> {
    list.as_array()
        .unwrap()
        .iter()
        .map(|text| text.as_str().unwrap().to_owned())
        .collect()
}

/// One row without its header.
fn line<const N: usize>(fields: &[String]) -> String {
    let mut table = Table::<N>::new(["h"; N]);
    let header = table.clone().into_text();
    table.push(std::array::from_fn(|i| Cell::Text(&fields[i])));
    table.into_text().split_off(header.len())
}

#[test]
fn every_parse_example() {
    let rules = rules();
    let examples = rules["rfc4180"]["parse_examples"].as_array().unwrap();
    for example in examples {
        let text = example["text"].as_str().unwrap();
        let expected: Vec<_> = example["records"]
            .as_array()
            .unwrap()
            .iter()
            .map(strings)
            .collect();
        let records = reader(text.as_bytes()).into_records();
        let read: Vec<Vec<String>> = records
            .map(|record| record.unwrap().iter().map(str::to_owned).collect())
            .collect();
        assert_eq!(read, expected, "{text:?}");
    }
    assert_eq!(examples.len(), 14);
}

#[test]
fn every_write_example() {
    let rules = rules();
    let examples = rules["rfc4180"]["write_examples"].as_array().unwrap();
    for example in examples {
        let fields = strings(&example["fields"]);
        let written = match fields.len() {
            1 => line::<1>(&fields),
            2 => line::<2>(&fields),
            other => panic!("an example of {other} fields"),
        };
        assert_eq!(written, example["line"].as_str().unwrap(), "{fields:?}");
    }
    assert_eq!(examples.len(), 8);
}

#[test]
fn every_owasp_example() {
    let rules = rules();
    let examples = rules["owasp"]["examples"].as_array().unwrap();
    for example in examples {
        let input = example["input"].as_str().unwrap().to_owned();
        let written = line::<1>(std::slice::from_ref(&input));
        assert_eq!(
            written,
            format!("{}\r\n", example["output"].as_str().unwrap()),
            "{input:?}"
        );
        let row = reader(written.as_bytes())
            .into_records()
            .next()
            .unwrap()
            .unwrap();
        assert_eq!(unguarded(&row[0]), input);
    }
    assert_eq!(examples.len(), 2);
}

/// OWASP's own list, and the two other lists beside it (ASVS 1.2.10, CWE-1236).
#[test]
fn every_listed_leading_character_is_guarded() {
    let rules = rules();
    let owasp = &rules["owasp"];
    let others = owasp["other_lists"]
        .as_array()
        .unwrap()
        .iter()
        .map(|list| &list["characters"]);
    let listed: BTreeSet<String> = others
        .chain([&owasp["leading_characters"]])
        .flat_map(strings)
        .collect();
    assert_eq!(listed.len(), 8);
    for sign in listed {
        let text = format!("{sign}1");
        assert_eq!(guarded(&text), format!("'{text}"), "{sign:?}");
        assert!(
            line::<1>(&[text]).starts_with("\"'"),
            "{sign:?} is also quoted"
        );
    }
}
