//! The desk without a screen, on a machine of the test's own.

mod archive;
mod bench;
mod findings;
mod machine;
mod storing;
mod update;
mod whole_day;
