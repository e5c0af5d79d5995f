//! Laws that hold for any input.

mod quality;
