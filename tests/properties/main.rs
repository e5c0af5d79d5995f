//! Properties that hold for any input.

mod book;
<<<<<<< HEAD
mod checkpoint;
=======
mod custody;
>>>>>>> main
mod fuzz;
mod press;
mod quality;
#[path = "../book/session_steps.rs"]
mod session_steps;
mod several;
mod sheet;
#[path = "../book/works.rs"]
mod works;
