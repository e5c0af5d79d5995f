//! The forms of measured samples: a sample as it was read off, and what a quantity should be.

use crate::book::{Entry, MeasureTaken, MeasureTarget, Refusal, State};
use crate::inspect::{MeasureError, Quantity, Reading, Tolerance};
use crate::sheet::ProductId;

use super::{FieldErrors, Reader, Typed};

pub const QUANTITY: &str = "measure-quantity";
pub const READINGS: &str = "measure-readings";
pub const LOT: &str = "measure-lot";
pub const PRESS: &str = "measure-press";
pub const SITE: &str = "measure-site";
pub const CORRECTS: &str = "measure-corrects";
pub const REASON: &str = "measure-reason";
pub const TARGET_QUANTITY: &str = "target-quantity";
pub const TARGET: &str = "target-value";
pub const LOWER: &str = "target-lower";
pub const UPPER: &str = "target-upper";

/// Readings as they are pasted or typed: one a line, or with blanks, semicolons or commas
/// between. A comma within a piece is a decimal comma, unless the piece has a point too, or more
/// than one comma.
///
/// # Errors
/// The first piece that is no reading, with its number.
pub fn readings(text: &str) -> Result<Vec<Reading>, String> {
    let pieces = text.split(|c: char| c.is_whitespace() || c == ';');
    let pieces = pieces.map(|piece| piece.trim_matches(','));
    let split = pieces.flat_map(|piece| {
        let commas = piece.matches(',').count();
        let between = commas > 1 || (commas == 1 && piece.contains('.'));
        piece.split(move |c| between && c == ',')
    });
    let read = |(n, piece): (usize, &str)| {
        piece
            .parse()
            .map_err(|why: MeasureError| format!("Reading {n}: {why}"))
    };
    (1..)
        .zip(split.filter(|piece| !piece.is_empty()))
        .map(read)
        .collect()
}

/// Reads the form of a sample: the fields named above; lot, press, site, and a corrected entry
/// with its reason may be empty.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn sample(typed: &Typed, product: ProductId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let quantity: Option<Quantity> = form.read(QUANTITY);
    let readings = form.read_with(READINGS, |text| match text {
        "" => Err("\"Readings\" is empty. Type what was read, one a line.".to_owned()),
        text => readings(text),
    });
    let lot = optional(&mut form, LOT);
    let press = optional(&mut form, PRESS);
    let site = optional(&mut form, SITE);
    let corrects = match form.text(CORRECTS).trim() {
        "" => Some(None),
        _ => form.number(CORRECTS, "Corrects", 0..=u64::MAX).map(Some),
    };
    let reason = match form.text(REASON).trim() {
        "" => None,
        reason => Some(reason.to_owned()),
    };
    let entry = (|| {
        Some(Entry::MeasureTaken(MeasureTaken {
            product,
            quantity: quantity?,
            readings: readings?,
            lot: lot?,
            press: press?,
            site: site?,
            corrects: corrects?,
            reason,
        }))
    })();
    form.finish(entry)
}

fn optional<T: std::str::FromStr<Err: std::fmt::Display>>(
    form: &mut Reader,
    field: &'static str,
) -> Option<Option<T>> {
    match form.text(field).trim() {
        "" => Some(None),
        _ => form.read(field).map(Some),
    }
}

/// The field of a sample that a refusal of the book is about.
pub fn sample_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::UnknownLot(_) | Refusal::Measure(MeasureError::OtherProduct) => LOT,
        Refusal::Measure(MeasureError::NoSuchSample(_)) => CORRECTS,
        Refusal::Measure(MeasureError::ReasonAlone)
        | Refusal::Empty { .. }
        | Refusal::TooLong { .. } => REASON,
        Refusal::Measure(MeasureError::Count(_) | MeasureError::Implausible { .. }) => READINGS,
        _ => "",
    }
}

/// What the form starts over with: the next sample is often of the same press.
pub fn sample_again(typed: &Typed) -> Typed {
    let kept = [QUANTITY, LOT, PRESS, SITE].map(|field| (field, typed.get(field)));
    Typed::with(kept)
}

/// Reads the form of a target: quantity, target, and at least one limit.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn target(typed: &Typed, product: ProductId) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let quantity = form.read(TARGET_QUANTITY);
    let target = form.read(TARGET);
    let lower = optional(&mut form, LOWER);
    let upper = optional(&mut form, UPPER);
    let entry = (|| {
        Some(Entry::MeasureTarget(MeasureTarget {
            product,
            quantity: quantity?,
            tolerance: Tolerance {
                target: target?,
                lower: lower?,
                upper: upper?,
            },
        }))
    })();
    form.finish(entry)
}

/// The field of a target that a refusal of the book is about.
pub fn target_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::Measure(MeasureError::Implausible { field, .. }) => match *field {
            "Lower limit" => LOWER,
            "Upper limit" => UPPER,
            _ => TARGET,
        },
        Refusal::Measure(MeasureError::LowerAboveTarget | MeasureError::NoLimit) => LOWER,
        Refusal::Measure(MeasureError::UpperBelowTarget | MeasureError::NoRoom) => UPPER,
        _ => "",
    }
}

/// What the readings typed so far were read as, so that a comma taken amiss is seen.
pub fn read_as(typed: &Typed) -> Option<String> {
    let quantity: Quantity = typed.get(QUANTITY).parse().ok()?;
    let readings = readings(typed.get(READINGS)).ok()?;
    let (first, last) = (readings.first()?, readings.last()?);
    let unit = quantity.unit();
    Some(match readings.len() {
        1 => format!("Read as one reading: {first} {unit}."),
        n => format!("Read as {n} readings: the first {first} {unit}, the last {last} {unit}."),
    })
}

/// Presses named so far, for the field's list.
pub fn presses(state: &State) -> Vec<String> {
    let named = state.samples.values().filter_map(|one| one.taken.press);
    let named: std::collections::BTreeSet<String> = named.map(|press| press.to_string()).collect();
    named.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thousandths(text: &str) -> Vec<i32> {
        readings(text)
            .unwrap()
            .into_iter()
            .map(|one| one.0)
            .collect()
    }

    #[test]
    fn readings_are_taken_however_they_are_written() {
        let expected = [136_050, 136_100, 135_980];
        for text in [
            "136.05\n136.1\n135.98",
            "136,05\r\n136,10\r\n135,98\r\n",
            "136.05, 136.10, 135.98",
            "136,05, 136,10, 135,98",
            "136.05,136.1,135.98",
            "136,05; 136,1; 135,98",
            " 136.05\t136.1  135,98 ",
        ] {
            assert_eq!(thousandths(text), expected, "{text:?}");
        }
        assert_eq!(
            thousandths("136,05"),
            [136_050],
            "one comma is a decimal comma"
        );
        assert_eq!(thousandths("1,2,3"), [1_000, 2_000, 3_000]);
        let wrong = readings("136.05\n13x\n1").unwrap_err();
        assert!(wrong.starts_with("Reading 2: \"13x\""), "{wrong}");
    }

    #[test]
    fn every_wrong_field_of_a_sample_is_named_at_once() {
        let product = "M20".parse().unwrap();
        let errors = sample(&Typed::default(), product).unwrap_err();
        assert!(errors.of(QUANTITY).unwrap().contains("not chosen"));
        assert!(errors.of(READINGS).unwrap().contains("is empty"));
        let typed = Typed::with([
            (QUANTITY, "thickness"),
            (READINGS, "92.5, x"),
            (PRESS, "press 1"),
            (CORRECTS, "last"),
        ]);
        let errors = sample(&typed, product).unwrap_err();
        for (field, says) in [
            (READINGS, "Reading 2"),
            (PRESS, "The press name"),
            (CORRECTS, "not a whole number"),
        ] {
            assert!(errors.of(field).unwrap().contains(says), "{field}");
        }
        let typed = Typed::with([
            (QUANTITY, "thickness"),
            (READINGS, "92,5 93"),
            (LOT, "BW-1"),
            (PRESS, "P1"),
            (SITE, " Hallowmere "),
            (CORRECTS, "7"),
            (REASON, "typed amiss"),
        ]);
        let Ok(Entry::MeasureTaken(data)) = sample(&typed, product) else {
            panic!("every field is right")
        };
        assert_eq!(data.readings, [Reading(92_500), Reading(93_000)]);
        assert_eq!(data.site.unwrap().as_str(), "Hallowmere");
        assert_eq!(
            (data.corrects, data.reason.as_deref()),
            (Some(7), Some("typed amiss"))
        );
        assert!(
            read_as(&typed)
                .unwrap()
                .contains("2 readings: the first 92.5 µm")
        );
        let again = sample_again(&typed);
        assert_eq!((again.get(PRESS), again.get(READINGS)), ("P1", ""));
    }

    #[test]
    fn a_refused_target_points_at_its_field() {
        use crate::desk::forms::sample as desk;
        let mut book = desk::book();
        let typed = crate::desk::forms::product::product_start();
        let mut typed = typed;
        typed.set("product-id", "M20".to_owned());
        typed.set("product-title", "20 merin".to_owned());
        let product = crate::desk::forms::product::product(&typed).unwrap();
        desk::take(&mut book, product).unwrap();
        let id = "M20".parse().unwrap();
        let form = |target: &str, lower: &str, upper: &str| {
            Typed::with([
                (TARGET_QUANTITY, "note_width"),
                (TARGET, target),
                (LOWER, lower),
                (UPPER, upper),
            ])
        };
        for (typed, field) in [
            (form("136", "", ""), LOWER),
            (form("136", "137", ""), LOWER),
            (form("136", "", "135"), UPPER),
            (form("13.6", "", "137"), TARGET),
            (form("136", "13.6", ""), LOWER),
            (form("136", "", "1360"), UPPER),
        ] {
            let why = desk::take(&mut book, super::target(&typed, id).unwrap()).unwrap_err();
            assert_eq!(target_field(&why), field, "{why}");
        }
        let wrong = super::target(&form("wide", "", "x"), id).unwrap_err();
        assert!(wrong.of(TARGET).is_some() && wrong.of(UPPER).is_some());
        desk::take(
            &mut book,
            super::target(&form("136", "135,9", "136.1"), id).unwrap(),
        )
        .unwrap();
        let typed = Typed::with([(QUANTITY, "note_width"), (READINGS, "136 13.6")]);
        let why = desk::take(&mut book, sample(&typed, id).unwrap()).unwrap_err();
        assert_eq!(sample_field(&why), READINGS, "{why}");
        assert!(
            why.to_string().contains("\"Reading 2\" is 13.6 mm"),
            "{why}"
        );
    }
}
