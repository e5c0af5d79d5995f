//! Checks against figures published outside this project, one file for each subject.

mod code128;
mod csv;
mod qr;
