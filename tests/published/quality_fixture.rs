//! Reads the reference files that the quality tests share.

use serde_json::Value;

/// The text of a file in tests/fixtures/reference.
pub fn text(name: &str) -> String {
    let path = format!(
        "{}/tests/fixtures/reference/{name}",
        env!("CARGO_MANIFEST_DIR")
    );
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A JSON file.
pub fn json(name: &str) -> Value {
    serde_json::from_str(&text(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The list under `key`, which must not be empty.
pub fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let list = value[key]
        .as_array()
        .unwrap_or_else(|| panic!("{key} is not a list"));
    assert!(!list.is_empty(), "{key} is empty");
    list
}

pub fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} is not a number in {value}"))
}

pub fn whole(value: &Value, key: &str) -> u64 {
    value[key]
        .as_u64()
        .unwrap_or_else(|| panic!("{key} is not a count in {value}"))
}

pub fn numbers(value: &Value, key: &str) -> Vec<f64> {
    list(value, key)
        .iter()
        .map(|item| item.as_f64().expect("a number"))
        .collect()
}

/// Asserts |got − want| ≤ relative × |want| (exact zero asks for exact zero, unless `absolute`
/// allows more).
#[track_caller]
pub fn assert_close(got: f64, want: f64, relative: f64, absolute: f64, what: &str) {
    let allowed = (relative * want.abs()).max(absolute);
    assert!(
        (got - want).abs() <= allowed,
        "{what}: got {got:e}, want {want:e}"
    );
}

pub fn wholes(value: &Value, key: &str) -> Vec<u64> {
    list(value, key)
        .iter()
        .map(|item| item.as_u64().unwrap_or_else(|| panic!("{item} in {key}")))
        .collect()
}
