//! The fields of a serial format, shared by the lot's form and the replacement series' form.

use crate::sheet::{
    CheckOver, CheckPlace, CheckSystem, FormatError, SerialFormat, SerialFormatSpec,
};

use super::Reader;

/// The fields of one serial format on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FormatFields {
    pub prefix: &'static str,
    pub width: &'static str,
    pub suffix: &'static str,
    pub check: &'static str,
    pub place: &'static str,
    pub over: &'static str,
    pub groups: &'static str,
}

/// The values of the check-place field, and what is shown for each.
pub const CHECK_PLACES: [(&str, &str); 2] =
    [("end", "last of all"), ("after-number", "after the number")];
/// The values of the check-over field, and what is shown for each.
pub const CHECK_OVERS: [(&str, &str); 2] = [
    ("whole", "prefix, number and suffix"),
    ("number", "the number alone"),
];

/// The check systems by name, none first.
pub fn check_systems() -> impl Iterator<Item = &'static str> {
    CheckSystem::ALL.into_iter().map(CheckSystem::name)
}

/// Reads a serial format: prefix, number width, suffix, check system, its place and what it
/// guards, display groups. Small letters are taken for capitals.
pub(super) fn format(form: &mut Reader, fields: &FormatFields) -> Option<SerialFormat> {
    let capitals = |text: &str| text.trim().to_ascii_uppercase();
    let (prefix, suffix) = (
        capitals(form.text(fields.prefix)),
        capitals(form.text(fields.suffix)),
    );
    let width = form.number(fields.width, "Digits of the number", 1..=12);
    let check = form.read_with(fields.check, check_system);
    let check_place = match form.text(fields.place) {
        "after-number" => CheckPlace::AfterNumber,
        _ => CheckPlace::End,
    };
    let check_over = match form.text(fields.over) {
        "number" => CheckOver::Number,
        _ => CheckOver::Whole,
    };
    let grouping = form.read_with(fields.groups, groups);
    let spec = SerialFormatSpec {
        prefix,
        width: width?,
        suffix,
        check: check?,
        check_place,
        check_over,
        grouping: grouping?,
    };
    match SerialFormat::new(spec) {
        Ok(format) => Some(format),
        Err(why) => form.wrong(field_of(&why, fields), why),
    }
}

fn check_system(name: &str) -> Result<CheckSystem, String> {
    let found = CheckSystem::ALL
        .into_iter()
        .find(|system| system.name() == name);
    found.ok_or_else(|| {
        "\"Check system\" is not chosen. Choose one, or none if serials carry no check character."
            .to_owned()
    })
}

/// Sizes of display groups: `2 4 3`, or nothing for one piece.
fn groups(text: &str) -> Result<Vec<u8>, String> {
    let size = |word: &str| match word.parse() {
        Ok(size @ 1..=15) => Ok(size),
        _ => Err(format!(
            "\"{word}\" is not the size of a display group. Give sizes of 1 to 15 with spaces between, like 2 4 3, or leave it empty."
        )),
    };
    text.split_whitespace().map(size).collect()
}

fn field_of(why: &FormatError, fields: &FormatFields) -> &'static str {
    match why {
        FormatError::Width(_) => fields.width,
        FormatError::Character { part, .. } if *part == "suffix" => fields.suffix,
        FormatError::Character { .. } | FormatError::TooLong(_) => fields.prefix,
        FormatError::CheckOfNumber(_) | FormatError::CheckOfWhole(_) => fields.check,
        FormatError::Grouping { .. } => fields.groups,
    }
}

#[cfg(test)]
mod tests {
    use super::super::Typed;
    use super::*;

    const FIELDS: FormatFields = FormatFields {
        prefix: "prefix",
        width: "width",
        suffix: "suffix",
        check: "check",
        place: "place",
        over: "over",
        groups: "groups",
    };

    fn read(change: &[(&'static str, &str)]) -> Result<SerialFormat, super::super::FieldErrors> {
        let mut typed = Typed::with([("prefix", "ka"), ("width", "7"), ("check", "none")]);
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        let mut form = Reader::new(&typed);
        let format = format(&mut form, &FIELDS);
        form.finish(format)
    }

    #[test]
    fn a_format_is_read_with_its_groups() {
        let format = read(&[("groups", "2 4 3")]).unwrap();
        assert_eq!(format.display(12_345).unwrap(), "KA 0012 345");
        let after = [
            ("suffix", "z"),
            ("check", "Luhn"),
            ("over", "number"),
            ("place", "after-number"),
        ];
        // Luhn of 0012345: doubled from the right 10 → 1, 4, 6 (3·2), 2, 2 (1·2), 0, 0 = 15 → 5.
        assert_eq!(read(&after).unwrap().text(12_345).unwrap(), "KA00123455Z");
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        for (change, field, says) in [
            ([("width", "0")], "width", "Give 1 to 12."),
            ([("width", "13")], "width", "Give 1 to 12."),
            ([("width", "")], "width", "not a whole number"),
            ([("prefix", "K/")], "prefix", "contains \"/\""),
            ([("suffix", "ä")], "suffix", "contains \"ä\""),
            ([("prefix", "KAKAKAKAK")], "prefix", "at most 15"),
            ([("check", "")], "check", "Choose one"),
            (
                [("check", "Luhn")],
                "check",
                "let it guard the number alone",
            ),
            ([("groups", "2 4")], "groups", "add up to 6"),
            ([("groups", "2 x")], "groups", "\"x\" is not the size"),
            ([("groups", "0 9")], "groups", "\"0\" is not the size"),
        ] {
            let errors = read(&change).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }
}
