//! What each of several books brings to a comparison of a product's notes.

use crate::sheet::ProductId;

use super::super::guest::Chained;
use super::super::several::BookName;

/// One book's share in a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    pub book: BookName,
    /// Sheets of the product that it has examined, in lots that it still has.
    pub sheets: u64,
    /// Measured samples of the product.
    pub samples: u64,
    /// It knows the product under another definition (name, layout or finishing) than the first
    /// book does, so that the same code may stand for other notes.
    pub otherwise: bool,
}

/// What each open book brings, in the order given. The first is the one that others are held
/// against.
pub fn brought(books: &[&dyn Chained], product: ProductId) -> Vec<Brought> {
    let known = |book: &dyn Chained| book.verifier().state().products.get(&product).cloned();
    let own = books.first().and_then(|book| known(*book));
    let share = |book: &&dyn Chained| {
        let state = book.verifier().state();
        let lots = state.lots.values().filter(|lot| lot.product.id == product);
        let samples = state.samples.values();
        let samples = samples.filter(|sample| sample.taken.product == product);
        Some(Brought {
            book: BookName::of(*book)?,
            sheets: lots.map(|lot| lot.tally.examined()).sum(),
            samples: samples.count() as u64,
            otherwise: known(*book).is_some_and(|theirs| Some(&theirs) != own.as_ref()),
        })
    };
    books.iter().filter_map(share).collect()
}
