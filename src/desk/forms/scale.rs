//! The Office's forms for the weigh check: a scale, and the paper of a product.

use crate::book::{Entry, PaperSet, Refusal, State};
use crate::custody::{Mass, Paper, PaperError, Scale, ScaleError};

use super::product::thousandths;
use super::{FieldErrors, Reader, Typed};

/// What the form of a scale starts with.
pub fn scale_start(_: &State) -> Typed {
    Typed::with([("scale-interval", "365")])
}

/// Reads the form that registers a scale, or registers it anew after a calibration: `scale-id`,
/// `scale-resolution`, `scale-repeatability`, `scale-error` (grams, may be empty),
/// `scale-calibrated`, `scale-interval`.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn scale(typed: &Typed, _: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let id = form.read("scale-id");
    let resolution = form.read_with("scale-resolution", Mass::from_grams_text);
    let repeatability = form.read_with("scale-repeatability", Mass::from_grams_text);
    let error = match form.text("scale-error").trim() {
        "" => Some(None),
        _ => form
            .read_with("scale-error", Mass::from_grams_text)
            .map(Some),
    };
    let calibrated = form.read("scale-calibrated");
    let interval = form.number("scale-interval", "Calibrate every", 1..=3_650);
    let entry = (|| {
        Some(Entry::ScaleSet(Scale {
            scale: id?,
            resolution: resolution?,
            repeatability: repeatability?,
            error: error?,
            calibrated: calibrated?,
            interval_days: interval?,
        }))
    })();
    form.finish(entry)
}

/// The field that a refusal of the book is about.
pub fn scale_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::Scale(ScaleError::NoResolution | ScaleError::TooCoarse("Resolution")) => {
            "scale-resolution"
        }
        Refusal::Scale(ScaleError::TooCoarse("Repeatability")) => "scale-repeatability",
        Refusal::Scale(ScaleError::TooCoarse(_)) => "scale-error",
        Refusal::Scale(ScaleError::Interval(_)) => "scale-interval",
        Refusal::Scale(ScaleError::NotYet { .. }) => "scale-calibrated",
        _ => "",
    }
}

/// What the form of paper starts with: what is known of the only product, else an empty form.
pub fn paper_start(_: &State) -> Typed {
    Typed::default()
}

/// Reads the form that describes the paper of a product: `paper-product`, and `paper-bias`,
/// `paper-spread`, `paper-ink`, `paper-ink-bias` in g/m².
///
/// # Errors
/// Every wrong field, with what to do.
pub fn paper(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let product = match form.text("paper-product") {
        "" => form.wrong("paper-product", "Choose the product that is printed on it."),
        _ => form.read_with("paper-product", |text| {
            let id = text
                .parse()
                .map_err(|why: crate::sheet::IdError| why.to_string())?;
            state
                .product(id)
                .map(|product| product.id)
                .map_err(|why| why.to_string())
        }),
    };
    let mut figure = |field, name: &str| {
        form.read_with(field, |text| {
            let figure = thousandths(text).filter(|figure| *figure <= 300_000);
            figure.ok_or_else(|| {
                format!("{name} is not a number of g/m². Write it like 1.5, with at most 3 decimals, up to 300.")
            })
        })
    };
    let bias = figure("paper-bias", "Grammage, either way,");
    let spread = figure("paper-spread", "Sheet to sheet");
    let ink = figure("paper-ink", "Ink");
    let ink_bias = figure("paper-ink-bias", "Ink, either way,");
    let entry = (|| {
        let (product, bias, spread) = (product?, bias?, spread?);
        let (ink, ink_bias) = (ink?, ink_bias?);
        let paper = Paper {
            bias,
            spread,
            ink,
            ink_bias,
        };
        Some(Entry::PaperSet(PaperSet { product, paper }))
    })();
    form.finish(entry)
}

/// The field that a refusal of the book is about.
pub fn paper_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::UnknownProduct(_) => "paper-product",
        Refusal::Paper(PaperError::InkBelowZero) => "paper-ink-bias",
        Refusal::Paper(PaperError::TooMuch("Ink")) => "paper-ink",
        Refusal::Paper(PaperError::TooMuch("Sheet to sheet")) => "paper-spread",
        Refusal::Paper(PaperError::TooMuch(_)) => "paper-bias",
        _ => "",
    }
}

#[cfg(test)]
mod tests;
