//! The browser side of the desk's ports: where lines are kept, what time it is, how a file is
//! offered for saving.

pub mod clock;
mod keyring;
pub mod lines;
mod lock;
mod panic_page;
pub mod pocket;
mod room;
mod runner;
mod save;
mod service;
mod trusted;
mod workbook;

pub use keyring::serve as serve_as_worker;
pub use panic_page::show_page_on_panic;
pub use runner::Runner;
