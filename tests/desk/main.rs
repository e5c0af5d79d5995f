//! The desk without a screen, on a machine of the test's own.

mod archive;
mod bench;
mod faults;
mod findings;
mod homes;
mod machine;
mod reading;
mod session;
mod storing;
mod update;
mod visit;
mod whole_day;
#[path = "../book/works.rs"]
mod works;
