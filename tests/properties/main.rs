//! Properties that hold for any input.

mod alike;
mod book;
mod checkpoint;
mod custody;
mod fuzz;
mod press;
mod quality;
#[path = "../book/session_steps.rs"]
mod session_steps;
mod several;
mod sheet;
#[path = "../book/works.rs"]
mod works;
