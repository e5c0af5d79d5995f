//! Properties that hold for any input.

mod sheet;
