//! The Book screen: whether the book is well, every line of it, and heads that leave and come
//! back.

mod archive;
mod back;
mod heads;
mod health;
mod homes;
mod line;
mod log;
mod out;
mod rows;
mod screen;

pub use heads::{head_code, head_qr};
pub use homes::{tab_slug, tab_words};
pub use screen::BookScreen;
