//! Code 128, against fixtures/reference/code128_symbols.csv (ISO/IEC 15417, patterns from
//! python-barcode 0.16.1, sets from memory) and code128_vectors.json (published examples of
//! reference pages on Code 128, named in the file; the rest computed with python-barcode).

use cullbook::export::Code128;
use serde_json::Value;

const SYMBOLS: &str = include_str!("../fixtures/reference/code128_symbols.csv");
const VECTORS: &str = include_str!("../fixtures/reference/code128_vectors.json");

fn vectors() -> Value {
    serde_json::from_str(VECTORS).unwrap()
}

fn values(row: &Value) -> Vec<u8> {
    let list = row["values"].as_array().unwrap();
    list.iter()
        .map(|value| u8::try_from(value.as_u64().unwrap()).unwrap())
        .collect()
}

/// `1` for a dark module, `0` for a light one.
fn modules(widths: &[u8]) -> String {
    let sign = |place| if place % 2 == 0 { "1" } else { "0" };
    widths
        .iter()
        .enumerate()
        .map(|(place, &width)| sign(place).repeat(width.into()))
        .collect()
}

#[test]
fn every_symbol_has_its_published_widths() {
    let mut checked = 0;
    for line in SYMBOLS.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let (value, pattern, widths) = (fields[0].parse::<u8>().unwrap(), fields[4], fields[5]);
        let expected: Vec<u8> = widths.bytes().map(|figure| figure - b'0').collect();
        let drawn = match value {
            106 => Code128::widths_of(&[105])[12..].to_vec(),
            _ => Code128::widths_of(&[value])[..6].to_vec(),
        };
        assert_eq!(drawn, expected, "value {value}");
        assert_eq!(modules(&drawn), pattern, "value {value}");
        checked += 1;
    }
    assert_eq!(checked, 107);
}

#[test]
fn published_check_values() {
    let vectors = vectors();
    let rows = vectors["published"].as_array().unwrap();
    for row in rows {
        let check = u64::from(Code128::check_of(&values(row)));
        assert_eq!(
            check,
            row["check_value"].as_u64().unwrap(),
            "{}",
            row["text"]
        );
    }
    assert_eq!(rows.len(), 5);
}

#[test]
fn computed_check_values_and_modules() {
    let vectors = vectors();
    let rows = vectors["computed"]["rows"].as_array().unwrap();
    for row in rows {
        let (values, text) = (values(row), &row["text"]);
        assert_ne!(
            row["library_agrees"],
            Value::Bool(false),
            "a doubted row: skip it by name"
        );
        let check = u64::from(Code128::check_of(&values));
        assert_eq!(check, row["check_value"].as_u64().unwrap(), "{text}");
        assert_eq!(
            modules(&Code128::widths_of(&values)),
            row["modules"].as_str().unwrap(),
            "{text}"
        );
    }
    assert_eq!(rows.len(), 66);
}

/// Texts for which sets B and C leave no choice: our encoder must give the very same values.
#[test]
fn the_encoder_gives_the_listed_values() {
    let vectors = vectors();
    let rows = vectors["computed"]["rows"].as_array().unwrap();
    for row in rows {
        let text = row["text"].as_str().unwrap();
        let listed = values(row);
        let encoded = Code128::encode(text).unwrap();
        let four_figures = text
            .as_bytes()
            .windows(4)
            .any(|w| w.iter().all(u8::is_ascii_digit));
        match row["set"].as_str().unwrap() {
            "C" => assert_eq!(encoded.values(), listed, "{text}"),
            "B" if !four_figures => assert_eq!(encoded.values(), listed, "{text}"),
            // Set A rows hold letters that set B has too; the mixed ones may start in set A.
            // The values of the letters are the same, only the start value differs.
            "A" if !four_figures => assert_eq!(encoded.values()[1..], listed[1..], "{text}"),
            "python-barcode mixed" => {
                assert!(
                    encoded.values().len() <= listed.len(),
                    "{text} is longer than listed"
                );
            }
            set => panic!("no rule for {text} of set {set}"),
        }
    }
}
