//! Measured samples in words.

use super::super::entry::{MeasureTaken, MeasureTarget};
use super::super::shelf::Book;
use super::before::{self, before};
use super::phrase;

pub fn target(data: &MeasureTarget) -> String {
    let (quantity, unit, limits) = (data.quantity.name(), data.quantity.unit(), data.tolerance);
    let range = match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => format!("{lower} to {upper}"),
        (Some(lower), None) => format!("at least {lower}"),
        (None, Some(upper)) => format!("at most {upper}"),
        (None, None) => "no limit".to_owned(),
    };
    let (product, target) = (data.product, limits.target);
    format!("Target for the {quantity} of {product}: {target} {unit}, {range}.")
}

pub fn taken(data: &MeasureTaken, book: &Book) -> String {
    let mut text = format!(
        "Measured {} of {}: {}",
        data.quantity.name(),
        data.product,
        data.says()
    );
    let named = [
        ("lot", data.lot.map(|lot| lot.to_string())),
        ("press", data.press.map(|press| press.to_string())),
        ("printed at", data.site.map(|site| site.to_string())),
    ];
    for (what, name) in named {
        if let Some(name) = name {
            text += &format!(", {what} {name}");
        }
    }
    if let (Some(seq), Some(reason)) = (data.corrects, &data.reason) {
        let was = before(before::sample(book, seq));
        text += &format!("; in place of entry {seq}{was}: {}", phrase(reason));
    }
    text + "."
}
