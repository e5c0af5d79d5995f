//! The book itself: where it is kept.

mod homes;

pub use homes::{homes, tab_slug};
