//! Whether two sets of serials share a printed text.

use super::comb::Combs;
use super::{CheckOver, CheckPlace, CheckSystem, SerialFormat};

/// The serials that a numbering or a series uses.
pub(super) struct Claim<'a> {
    format: &'a SerialFormat,
    space: Space<'a>,
    /// What was added to the numbers of the format to get the numbers in `combs`.
    base: u64,
    combs: Combs,
}

impl<'a> Claim<'a> {
    pub fn new(format: &'a SerialFormat, combs: &Combs) -> Self {
        let (space, base) = Space::of(format);
        Self {
            format,
            space,
            base,
            combs: combs.shifted(base),
        }
    }

    /// A range of serial texts that both use.
    pub fn clash(&self, other: &Claim<'_>) -> Option<(String, String)> {
        if self.space != other.space {
            return None;
        }
        let (from, to) = self.combs.clash(&other.combs)?;
        let text = |number: u64| self.format.text(number - self.base).ok();
        Some((text(from)?, text(to)?))
    }
}

/// All that decides a serial's text besides its number. Digits that end the prefix count as part
/// of the number, so that `A1` + 3 digits and `A` + 4 digits are known to print the same texts.
#[derive(PartialEq, Eq)]
struct Space<'a> {
    prefix: &'a str,
    digits: usize,
    suffix: &'a str,
    check: CheckSystem,
    place: Option<CheckPlace>,
    over: Option<CheckOver>,
}

impl<'a> Space<'a> {
    /// The space, and what to add to a number of the format to get its number in the space.
    fn of(format: &'a SerialFormat) -> (Self, u64) {
        let spec = format.spec();
        let guards_number = !spec.check.is_empty() && spec.check_over == CheckOver::Number;
        let prefix = match guards_number {
            true => spec.prefix.as_str(),
            false => spec.prefix.trim_end_matches(|c: char| c.is_ascii_digit()),
        };
        let led = &spec.prefix[prefix.len()..];
        let base = led.bytes().fold(0, |n, b| n * 10 + u64::from(b - b'0')) * format.capacity();
        let checked = !spec.check.is_empty();
        let space = Space {
            prefix,
            digits: led.len() + usize::from(spec.width),
            suffix: &spec.suffix,
            check: spec.check,
            // With no suffix both places are the same.
            place: (checked && !spec.suffix.is_empty()).then_some(spec.check_place),
            over: checked.then_some(spec.check_over),
        };
        (space, base)
    }
}
