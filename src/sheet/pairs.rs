//! A map written as a list of pairs, rising by key: so that a key cannot stand twice, and there is
//! one way to write a map.

use std::collections::BTreeMap;

use serde::de::{Deserializer, Error};
use serde::ser::Serializer;
use serde::{Deserialize, Serialize};

/// # Errors
/// What the serializer says.
pub fn serialize<K, V, S>(map: &BTreeMap<K, V>, serializer: S) -> Result<S::Ok, S::Error>
where
    K: Serialize,
    V: Serialize,
    S: Serializer,
{
    serializer.collect_seq(map)
}

/// # Errors
/// What the deserializer says, and a key that does not come after the one before it.
pub fn deserialize<'de, K, V, D>(deserializer: D) -> Result<BTreeMap<K, V>, D::Error>
where
    K: Deserialize<'de> + Ord,
    V: Deserialize<'de>,
    D: Deserializer<'de>,
{
    let pairs = Vec::<(K, V)>::deserialize(deserializer)?;
    if !pairs.is_sorted_by(|a, b| a.0 < b.0) {
        return Err(D::Error::custom("its pairs do not rise, each key once"));
    }
    // `collect` would sort them once more, by code of its own for every kind of pair.
    let mut map = BTreeMap::new();
    map.extend(pairs);
    Ok(map)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    struct Counts(#[serde(with = "super")] BTreeMap<u8, u64>);

    #[test]
    fn a_key_stands_once_and_in_its_place() {
        let counts = Counts(BTreeMap::from([(3, 1), (7, 20)]));
        let text = serde_json::to_string(&counts).unwrap();
        assert_eq!(text, "[[3,1],[7,20]]");
        assert_eq!(serde_json::from_str::<Counts>(&text).unwrap(), counts);
        for wrong in ["[[3,1],[3,1]]", "[[7,20],[3,1]]", "[[3]]", "{\"3\":1}"] {
            assert!(serde_json::from_str::<Counts>(wrong).is_err(), "{wrong}");
        }
    }
}
