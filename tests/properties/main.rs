//! Properties that hold for any input.

mod book;
mod quality;
mod sheet;
#[path = "../book/works.rs"]
mod works;
