//! Properties that hold for any input.

mod book;
mod fuzz;
mod press;
mod quality;
mod several;
mod sheet;
#[path = "../book/works.rs"]
mod works;
