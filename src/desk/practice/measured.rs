//! Invented samples of two presses and of another works, one of which cuts its notes wider.

use crate::book::{Entry, MeasureTaken, MeasureTarget};
use crate::inspect::{Quantity, Reading, Tolerance};
use crate::sheet::{IdError, Layout, LotId, ProductId};

use super::random::Random;

/// What the supervisor has set.
pub fn targets(product: ProductId, layout: &Layout) -> Vec<Entry> {
    let width = layout.spec().note_width.micrometres() as i32;
    let target = |quantity, target: i32, lower: Option<i32>, upper: Option<i32>| {
        Entry::MeasureTarget(MeasureTarget {
            product,
            quantity,
            tolerance: Tolerance {
                target: Reading(target),
                lower: lower.map(Reading),
                upper: upper.map(Reading),
            },
        })
    };
    vec![
        target(
            Quantity::NoteWidth,
            width,
            Some(width - 250),
            Some(width + 250),
        ),
        target(Quantity::ColourCiede2000, 0, None, Some(2_000)),
    ]
}

/// What the inspector has measured.
///
/// # Errors
/// A name that is none, which a test rules out.
pub fn samples(
    product: ProductId,
    lot: LotId,
    layout: &Layout,
    seed: u64,
) -> Result<Vec<Entry>, IdError> {
    let width = layout.spec().note_width.micrometres() as i32;
    let mut random = Random::new(seed);
    let mut entries = Vec::new();
    for (press, site, wider) in [
        ("P-1", None, 0),
        ("P-2", None, 12),
        ("P-1", Some("Hallowmere"), 95),
    ] {
        for (quantity, middle, most) in [
            (Quantity::NoteWidth, width + wider, 30),
            (Quantity::ColourCiede2000, 900, 90),
        ] {
            // Five even numbers together are nearly normal.
            let mut reading = |_| {
                let off: i32 = (0..5)
                    .map(|_| random.below(2 * most + 1) as i32 - most as i32)
                    .sum();
                Reading(middle + off)
            };
            entries.push(Entry::MeasureTaken(MeasureTaken {
                product,
                quantity,
                readings: (0..30).map(&mut reading).collect(),
                lot: site.is_none().then_some(lot),
                press: Some(press.parse()?),
                site: site.map(str::parse).transpose()?,
                corrects: None,
                reason: None,
            }));
        }
    }
    Ok(entries)
}
