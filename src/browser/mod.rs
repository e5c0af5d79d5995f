//! The browser side of the desk's ports: where lines are kept, what time it is, how a file is
//! offered for saving.

mod clock;
mod lines;
mod panic_page;
mod pocket;
mod runner;
mod save;

pub use clock::{new_id, now};
pub use panic_page::show_page_on_panic;
pub use pocket::stored_lamp;
pub use runner::Runner;
