//! Check character systems against published examples and against python-stdnum.

use cullbook::sheet::CheckSystem;
use serde_json::Value;

const EXAMPLES: &str = include_str!("../fixtures/check_digit_examples.json");
const VECTORS: &str = include_str!("../fixtures/check_digit_vectors.json");

fn text<'a>(entry: &'a Value, key: &str) -> &'a str {
    entry[key]
        .as_str()
        .unwrap_or_else(|| panic!("{key} in {entry}"))
}

fn system(name: &str) -> CheckSystem {
    match name {
        "luhn" => CheckSystem::Luhn,
        "verhoeff" => CheckSystem::Verhoeff,
        "damm" => CheckSystem::Damm,
        "iso7064_mod_11_2" | "orcid (mod_11_2)" | "isni (mod_11_2)" => CheckSystem::Mod11_2,
        "iso7064_mod_37_2" => CheckSystem::Mod37_2,
        "iso7064_mod_97_10" | "iban (mod_97_10)" | "lei (mod_97_10)" => CheckSystem::Mod97_10,
        "iso7064_mod_11_10" => CheckSystem::Mod11_10,
        "iso7064_mod_27_26" => CheckSystem::Mod27_26,
        "iso7064_mod_37_36" => CheckSystem::Mod37_36,
        "euro_first_series" | "euro_second_series" => CheckSystem::LetterSum9,
        "german_mark" => CheckSystem::DihedralLetters,
        other => panic!("no check system for {other}"),
    }
}

/// IBAN and LEI examples are listed whole: what their check digits guard.
fn guarded(name: &str, listed: &str) -> String {
    match name {
        // ISO 13616: country and check digits move behind the account, check digits left out.
        "iban (mod_97_10)" => format!("{}{}", &listed[4..], &listed[..2]),
        // ISO 17442: the last two of twenty.
        "lei (mod_97_10)" => listed[..18].to_owned(),
        _ => listed.to_owned(),
    }
}

/// Sources: the standards' and encyclopaedic worked examples named entry by entry in the file,
/// mostly from memory, each confirmed by python-stdnum 2.2 (`library_agrees`).
#[test]
fn well_known_examples() {
    let file: Value = serde_json::from_str(EXAMPLES).unwrap();
    let entries = file["examples"].as_array().unwrap();
    let (agreed, disputed): (Vec<_>, Vec<_>) = entries
        .iter()
        .partition(|entry| entry["library_agrees"] == true);
    let disputed: Vec<_> = disputed.iter().map(|entry| text(entry, "source")).collect();
    assert_eq!(disputed, Vec::<&str>::new(), "skipped, name them here");
    assert_eq!(agreed.len(), 17);
    for entry in agreed {
        let name = text(entry, "system");
        let payload = guarded(name, text(entry, "payload"));
        let check = system(name).check(&payload).unwrap();
        assert_eq!(check, text(entry, "check"), "{}", text(entry, "source"));
    }
}

/// Source: computed with python-stdnum 2.2 (MOD 27,26 with its hybrid routine over A..Z; the
/// letter sum and the dihedral scheme with the reference set's own code): 100 good serials of
/// each system, 50 with one character changed, 50 with two neighbours swapped, each with the
/// verdict, also where a system is known not to see the slip.
#[test]
fn two_hundred_vectors_of_each_system() {
    let file: Value = serde_json::from_str(VECTORS).unwrap();
    let sets = file.as_array().unwrap();
    assert_eq!(sets.len(), 12);
    let mut checked = 0;
    for set in sets {
        let name = text(set, "system");
        for vector in set["vectors"].as_array().unwrap() {
            let full = text(vector, "full");
            let holds = system(name).verify(full).is_ok();
            assert_eq!(vector["valid"], holds, "{name}: {vector}");
            if vector["kind"] == "valid" {
                let check = system(name).check(text(vector, "payload")).unwrap();
                assert_eq!(check, text(vector, "check"), "{name}: {vector}");
            }
            checked += 1;
        }
    }
    // The two letter sums have five more each: 0 taken for 9, which they never see.
    assert_eq!(checked, 12 * 200 + 2 * 5);
}

/// Source: public code retrieved with the Damm examples: 5724 and 112946 hold, 5727 and 112949 do
/// not.
#[test]
fn damm_examples_hold_and_their_variants_do_not() {
    for (full, holds) in [
        ("5724", true),
        ("5727", false),
        ("112946", true),
        ("112949", false),
    ] {
        assert_eq!(CheckSystem::Damm.verify(full).is_ok(), holds, "{full}");
    }
}
