//! The screens: one component a file, grouped by screen. They read the desk and send it actions;
//! what the browser must do for them goes through the desk's effects.

mod app;
mod balance;
mod bench;
mod book;
mod cage;
mod chart;
mod day;
mod destroy;
mod first;
pub mod kit;
mod machine;
mod office;
mod shell;
mod shop;
mod verdicts;

pub use app::{App, AppProps, OnMachine};
pub use shop::{Shop, use_shop};
