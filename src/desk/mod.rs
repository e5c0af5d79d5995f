//! TODO

pub mod practice;
