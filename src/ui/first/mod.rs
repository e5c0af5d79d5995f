//! First visit: open a book, practise, or bring one in; and what to do when a stored book cannot
//! be read.

mod bring_in;
mod broken;
mod visit;

pub use broken::broken;
pub use visit::first_visit;
