//! Properties that hold for any input.

mod quality;
mod sheet;
