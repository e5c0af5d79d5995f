//! The Bench: the sheet, what follows for it, the classes, the ribbon.

mod chip;
mod examined;
mod note;
mod palette;
mod panel;
mod repeating;
mod ribbon;
mod rosette;
mod screen;
mod sheet;
mod tags;

pub use screen::bench_screen;
