//! The Verdicts screen: what the lot's examination adds up to, and what replaces what was lost.

mod acceptance;
mod alike;
mod alike_books;
mod classes;
mod draw;
mod figures;
mod filter;
mod findings;
mod labels;
mod limit;
mod measure_forms;
mod overrule;
mod paper;
mod picks;
mod screen;
mod sheets;

pub use overrule::Overrule;
pub use screen::VerdictsScreen;
