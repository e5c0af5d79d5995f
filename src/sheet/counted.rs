//! Things counted from 1, as people say them: sheets of a lot, bundles, boxes.

use std::fmt;
use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};

use super::grouped;

/// The most sheets a lot may have. Far above any real lot, and low enough that bundles and boxes
/// of the largest layout still count in a `u32`.
pub const MAX_SHEETS: u32 = 10_000_000;

macro_rules! counted_from_one {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(
            Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
        )]
        #[serde(transparent)]
        pub struct $name(NonZeroU32);

        impl $name {
            /// From the number people say; `None` for 0.
            pub fn new(number: u32) -> Option<Self> {
                NonZeroU32::new(number).map(Self)
            }

            /// From a place counted from 0.
            pub fn from_index(index: u32) -> Self {
                Self(NonZeroU32::MIN.saturating_add(index))
            }

            /// The number people say, from 1.
            pub fn number(self) -> u32 {
                self.0.get()
            }

            /// The place counted from 0.
            pub fn index(self) -> u32 {
                self.0.get() - 1
            }
        }

        /// The bare number, with no grouping.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

counted_from_one! {
    /// A sheet's place in its lot, from 1.
    SheetNo
}
counted_from_one! {
    /// A bundle's place in its lot, from 1.
    BundleNo
}
counted_from_one! {
    /// A box's place in its lot, from 1.
    BoxNo
}

/// Sheets `from` to `to`, both included, `from <= to`.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Ends", into = "Ends")]
pub struct SheetRange {
    from: SheetNo,
    to: SheetNo,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends {
    from: SheetNo,
    to: SheetNo,
}

/// A range that runs backwards.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("The range starts at sheet {} but ends before it, at sheet {}. Give the lower sheet first.", grouped(.from.number().into()), grouped(.to.number().into()))]
pub struct RangeError {
    from: SheetNo,
    to: SheetNo,
}

impl SheetRange {
    pub fn new(from: SheetNo, to: SheetNo) -> Result<Self, RangeError> {
        if from > to {
            return Err(RangeError { from, to });
        }
        Ok(Self { from, to })
    }

    /// The range of a single sheet.
    pub fn one(sheet: SheetNo) -> Self {
        Self {
            from: sheet,
            to: sheet,
        }
    }

    pub fn first(self) -> SheetNo {
        self.from
    }

    pub fn last(self) -> SheetNo {
        self.to
    }

    pub fn iter(self) -> impl ExactSizeIterator<Item = SheetNo> + DoubleEndedIterator + Clone {
        (0..self.len() as usize).map(move |i| SheetNo::from_index(self.from.index() + i as u32))
    }

    /// At least 1.
    #[allow(clippy::len_without_is_empty)] // never empty
    pub fn len(self) -> u32 {
        self.to.index() - self.from.index() + 1
    }

    /// As people read it, its figures in groups: `1 200–3 400`.
    pub fn readable(self) -> String {
        let [from, to] = [self.from, self.to].map(|sheet| grouped(sheet.number().into()));
        if self.len() == 1 {
            from
        } else {
            format!("{from}–{to}")
        }
    }

    pub fn contains(self, sheet: SheetNo) -> bool {
        self.from <= sheet && sheet <= self.to
    }
}

impl TryFrom<Ends> for SheetRange {
    type Error = RangeError;

    fn try_from(ends: Ends) -> Result<Self, RangeError> {
        Self::new(ends.from, ends.to)
    }
}

impl From<SheetRange> for Ends {
    fn from(SheetRange { from, to }: SheetRange) -> Ends {
        Ends { from, to }
    }
}

/// `12` for one sheet, `12–40` for several.
impl fmt::Display for SheetRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.from == self.to {
            return self.from.fmt(f);
        }
        write!(f, "{}–{}", self.from, self.to)
    }
}

/// The first sheet of a lot.
impl Default for SheetNo {
    fn default() -> Self {
        Self::from_index(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(number: u32) -> SheetNo {
        SheetNo::new(number).unwrap()
    }

    #[test]
    fn sheets_count_from_one() {
        assert_eq!(SheetNo::new(0), None);
        assert_eq!(SheetNo::from_index(0), sheet(1));
        assert_eq!(sheet(10_000).to_string(), "10000");
        assert_eq!(serde_json::to_string(&sheet(7)).unwrap(), "7");
        assert!(serde_json::from_str::<SheetNo>("0").is_err());
    }

    #[test]
    fn ranges_include_both_ends() {
        let range = SheetRange::new(sheet(3), sheet(5)).unwrap();
        assert_eq!(
            range.iter().map(SheetNo::number).collect::<Vec<_>>(),
            [3, 4, 5]
        );
        assert_eq!((range.len(), range.iter().len()), (3, 3));
        assert!(range.contains(sheet(5)) && !range.contains(sheet(6)));
        assert_eq!(range.to_string(), "3–5");
        let wide = SheetRange::new(sheet(3), sheet(1_203)).unwrap();
        assert_eq!(wide.readable(), format!("3–{}", grouped(1_203)));
        assert_eq!(SheetRange::one(sheet(9)).readable(), "9");
        assert_eq!(SheetRange::one(sheet(9)).to_string(), "9");
    }

    #[test]
    fn backward_ranges_are_refused() {
        let error = SheetRange::new(sheet(1200), sheet(3)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "The range starts at sheet 1 200 but ends before it, at sheet 3. Give the lower sheet first."
        );
        assert!(serde_json::from_str::<SheetRange>(r#"{"from":5,"to":3}"#).is_err());
        let back = serde_json::from_str::<SheetRange>(r#"{"from":3,"to":5}"#).unwrap();
        assert_eq!(
            serde_json::to_string(&back).unwrap(),
            r#"{"from":3,"to":5}"#
        );
    }
}
