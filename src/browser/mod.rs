//! The browser side of the desk's ports: where lines are kept, what time it is, how a file is
//! offered for saving.

pub mod clock;
pub mod lines;
mod panic_page;
pub mod pocket;
mod runner;
mod save;
mod service;

pub use panic_page::show_page_on_panic;
pub use runner::Runner;
