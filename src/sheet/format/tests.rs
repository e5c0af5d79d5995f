use super::*;
use crate::sheet::Printed;
use crate::sheet::sample::{format, format_spec};

fn with(check: CheckSystem, spec: SerialFormatSpec) -> SerialFormat {
    SerialFormat::new(SerialFormatSpec { check, ..spec }).unwrap()
}

fn refused(spec: SerialFormatSpec) -> String {
    SerialFormat::new(spec).unwrap_err().to_string()
}

#[test]
fn writes_padded_numbers() {
    let plain = format("KA", 7, "B");
    assert_eq!(plain.text(42).unwrap(), "KA0000042B");
    assert_eq!((plain.length(), plain.capacity()), (10, 10_000_000));
    assert_eq!(plain.text(9_999_999).unwrap(), "KA9999999B");
    assert_eq!(
        plain.text(10_000_000).unwrap_err().to_string(),
        "Number 10 000 000 needs more than the 7 digits of this serial format."
    );
    assert_eq!(plain.serial::<Printed>(42).unwrap().as_str(), "KA0000042B");
}

#[test]
fn check_characters_stand_where_they_are_told() {
    // Damm: 572 has check 4 (published example, see tests/published).
    let number = |spec| SerialFormatSpec {
        check_over: CheckOver::Number,
        ..spec
    };
    let end = with(CheckSystem::Damm, number(format_spec("K", 3, "B")));
    assert_eq!(end.text(572).unwrap(), "K572B4");
    let place = CheckPlace::AfterNumber;
    let inner = SerialFormatSpec {
        check_place: place,
        ..number(format_spec("K", 3, "B"))
    };
    let inner = with(CheckSystem::Damm, inner);
    assert_eq!(inner.text(572).unwrap(), "K5724B");
    assert_eq!(inner.parse("K5724B"), Ok(572));
    let two = with(CheckSystem::Mod97_10, format_spec("", 3, ""));
    assert_eq!(two.text(794).unwrap(), "79444"); // ISO/IEC 7064 worked example, from memory
}

#[test]
fn a_whole_check_guards_the_prefix_too() {
    let whole = with(CheckSystem::Mod37_36, format_spec("KA", 6, ""));
    let other = with(CheckSystem::Mod37_36, format_spec("KB", 6, ""));
    assert_ne!(whole.text(7).unwrap()[8..], other.text(7).unwrap()[8..]);
}

#[test]
fn parses_what_people_type() {
    let format = with(CheckSystem::Mod37_36, format_spec("KA", 6, ""));
    let text = format.text(123_456).unwrap();
    assert_eq!(format.parse(&text), Ok(123_456));
    let typed = format!(" ka-123.456\u{a0}{} ", text[8..].to_lowercase());
    assert_eq!(format.parse(&typed), Ok(123_456));
}

#[test]
fn refusals_say_why() {
    let format = with(
        CheckSystem::Luhn,
        SerialFormatSpec {
            check_over: CheckOver::Number,
            ..format_spec("KA", 6, "B")
        },
    );
    assert_eq!(format.text(799_273).unwrap(), "KA799273B8");
    let says = |text| format.parse(text).unwrap_err().to_string();
    assert_eq!(
        says("KA79927B8"),
        "This serial has 9 characters, but serials of this format have 10. Look for a missing or doubled character."
    );
    assert_eq!(
        says("KB799273B8"),
        "This serial starts with \"KB\", but serials of this format start with \"KA\"."
    );
    assert_eq!(
        says("KA79O273B8"),
        "Character 5 is \"O\", where a digit belongs."
    );
    assert_eq!(
        says("KA799273C8"),
        "This serial has the suffix \"C\", but serials of this format have \"B\"."
    );
    assert!(says("KA799274B8").starts_with("The check character \"8\" does not fit"));
    // The right character is for a supervisor to ask for: no refusal may show it.
    assert!(!says("KA799273B9").contains('8'));
    assert_eq!(
        says("KA/799273B8"),
        "\"/\" cannot stand in a serial. Use letters and digits."
    );
    assert!(matches!(
        format.parse("KÄ799273B8"),
        Err(SerialError::Character { found: 'Ä' })
    ));
    assert!(matches!(
        format.parse(""),
        Err(SerialError::Length { found: 0, .. })
    ));
}

#[test]
fn formats_are_checked() {
    assert_eq!(
        refused(format_spec("K", 0, "")),
        "The number has 0 digits. Give a width of 1 to 12."
    );
    assert!(refused(format_spec("K", 13, "")).contains("13 digits"));
    assert!(refused(format_spec("Ka", 6, "")).starts_with("The prefix \"Ka\" contains \"a\"."));
    assert!(refused(format_spec("K", 6, "É")).starts_with("The suffix \"É\" contains \"É\"."));
    assert!(refused(format_spec("KAKAK", 11, "")).contains("would have 16 characters"));
    assert!(SerialFormat::new(format_spec("KAKA", 11, "")).is_ok());
    let check = SerialFormatSpec {
        check: CheckSystem::Luhn,
        ..format_spec("KA", 6, "")
    };
    assert_eq!(
        refused(check),
        "Check system Luhn cannot read \"K\" (character 1). It reads digits only. Choose another check system, or let it guard the number alone."
    );
    let letters = SerialFormatSpec {
        check: CheckSystem::Mod27_26,
        ..format_spec("KA", 6, "")
    };
    assert_eq!(
        refused(letters),
        "Check system MOD 27,26 cannot read \"0\" (character 1). It reads the letters A to Z only. Choose another check system: every serial has digits."
    );
}

#[test]
fn a_star_may_mark_a_replacement() {
    let star = format("B", 8, "*");
    assert_eq!(star.parse(&star.text(3_200_001).unwrap()), Ok(3_200_001));
    assert_eq!(star.text(1).unwrap(), "B00000001*");
}

#[test]
fn display_groups_the_text() {
    let grouped = |grouping: &[u8]| {
        SerialFormat::new(SerialFormatSpec {
            grouping: grouping.to_vec(),
            ..format_spec("KA", 6, "B")
        })
    };
    assert_eq!(
        grouped(&[2, 3, 3, 1]).unwrap().display(42).unwrap(),
        "KA 000 042 B"
    );
    assert_eq!(grouped(&[]).unwrap().display(42).unwrap(), "KA000042B");
    assert_eq!(grouped(&[9]).unwrap().display(42).unwrap(), "KA000042B");
    assert!(matches!(
        grouped(&[2, 3]),
        Err(FormatError::Grouping {
            groups: 5,
            length: 9
        })
    ));
    assert!(matches!(
        grouped(&[2, 7, 0]),
        Err(FormatError::Grouping { .. })
    ));
}

#[test]
fn serde_is_the_checked_spec() {
    let read = serde_json::from_str::<SerialFormat>(r#"{"prefix":"KA","width":6,"check":"damm"}"#);
    assert!(
        read.unwrap_err()
            .to_string()
            .contains("Check system Damm cannot read \"K\"")
    );
    let format = format("KA", 6, "");
    let json = serde_json::to_string(&format).unwrap();
    assert_eq!(serde_json::from_str::<SerialFormat>(&json).unwrap(), format);
}

#[test]
fn a_serial_is_shown_in_groups_and_another_text_as_it_is() {
    let spec = SerialFormatSpec {
        grouping: vec![2, 4],
        ..crate::sheet::sample::format_spec("KA", 4, "")
    };
    let format = SerialFormat::new(spec).unwrap();
    assert_eq!(format.in_groups("KA0123"), "KA 0123");
    assert_eq!(format.in_groups("KA01234"), "KA01234");
    assert_eq!(format.in_groups("KÄ0"), "KÄ0");
}
