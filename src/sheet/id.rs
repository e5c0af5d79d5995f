//! Ids that people write on labels: one shape for lots, products, series, persons, containers.

/// The longest id, in characters.
pub(crate) const MAX: usize = 24;

/// What is wrong with an id that was typed or read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    #[error("The {what} is empty. Give 1 to 24 letters, digits, dots, underscores or hyphens.")]
    Empty { what: &'static str },
    #[error("The {what} \"{given}\" has {length} characters. Shorten it to 24 or fewer.")]
    TooLong {
        what: &'static str,
        given: String,
        length: usize,
    },
    #[error("The {what} \"{given}\" starts with \"{found}\". Start it with a letter or a digit.")]
    BadStart {
        what: &'static str,
        given: String,
        found: char,
    },
    #[error(
        "The {what} \"{given}\" contains \"{found}\". Use only the letters A to Z, digits, dot, underscore and hyphen."
    )]
    BadCharacter {
        what: &'static str,
        given: String,
        found: char,
    },
}

/// The one rule for ids: 1..=24 of `A-Z a-z 0-9 . _ -`, starting with a letter or digit.
pub(crate) fn check_id(what: &'static str, text: &str) -> Result<super::ShortText<MAX>, IdError> {
    let given = || text.to_owned();
    let first = text.chars().next().ok_or(IdError::Empty { what })?;
    let allowed = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-');
    if let Some(found) = text.chars().find(|&c| !allowed(c)) {
        return Err(IdError::BadCharacter {
            what,
            given: given(),
            found,
        });
    }
    if !first.is_ascii_alphanumeric() {
        return Err(IdError::BadStart {
            what,
            given: given(),
            found: first,
        });
    }
    super::ShortText::new(text.as_bytes()).ok_or_else(|| IdError::TooLong {
        what,
        given: given(),
        length: text.len(),
    })
}

/// Makes a checked id type. `name_id!(LotId, "lot", "docs")` gives `FromStr` (with [`IdError`]),
/// `Display`, `Debug`, order, hash and serde as a plain string. Ids are `Copy`.
macro_rules! name_id {
    ($name:ident, $what:literal, $doc:literal) => {
        #[doc = $doc]
        ///
        /// 1 to 24 of `A-Z a-z 0-9 . _ -`, starting with a letter or a digit; serde as a string.
        #[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name($crate::sheet::ShortText<24>);

        impl $name {
            pub fn as_str(&self) -> &str {
                self.0.as_str()
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::sheet::IdError;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                $crate::sheet::check_id($what, text).map(Self)
            }
        }

        $crate::sheet::serde_as_text!($name);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self.0)
            }
        }
    };
}
pub(crate) use name_id;

super::name_id!(
    LotId,
    "lot id",
    "A lot: sheets printed, numbered and accounted for together."
);
super::name_id!(
    ProductId,
    "product id",
    "A product: one denomination in one design, with its layout."
);
super::name_id!(
    AcceptanceId,
    "acceptance number",
    "An acceptance sample: passed sheets drawn to be looked at again."
);
super::name_id!(SeriesId, "series id", "A replacement series.");
super::name_id!(PressId, "press name", "A printing press.");
super::name_id!(
    SiteId,
    "site name",
    "A works that prints the same notes as this one."
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn takes_label_like_names() {
        for good in ["L1", "2026-11.A_7", "a", "9", "ABCDEFGHIJKLMNOPQRSTUVWX"] {
            assert_eq!(good.parse::<LotId>().unwrap().to_string(), good);
        }
    }

    #[test]
    fn says_what_is_wrong() {
        let says = |text: &str| text.parse::<LotId>().unwrap_err().to_string();
        assert!(says("").starts_with("The lot id is empty"));
        assert!(says("ABCDEFGHIJKLMNOPQRSTUVWXY").contains("25 characters"));
        assert!(says("-7").contains("starts with \"-\""));
        assert!(says("L 7").contains("contains \" \""));
        assert!(says("Löt").contains("contains \"ö\""));
    }

    #[test]
    fn serde_is_a_checked_string() {
        let id: SeriesId = serde_json::from_str("\"R-01\"").unwrap();
        assert_eq!(serde_json::to_string(&id).unwrap(), "\"R-01\"");
        assert!(serde_json::from_str::<SeriesId>("\"R 01\"").is_err());
        let escaped: SeriesId = serde_json::from_str("\"R\\u002d01\"").unwrap();
        assert_eq!(escaped, id);
    }
}
