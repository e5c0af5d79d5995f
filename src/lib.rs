//! Cullbook accounts for every spoiled banknote sheet: what the bench marks, what follows for
//! the sheet, which notes replace the bad ones, what the cage holds, what was destroyed before
//! whom, and whether it all balances.
//!
//! The rooms, and the one-way rule. A room may use rooms to its left, never to its right:
//!
//! ```text
//! sheet → inspect → people → custody → account → quality → book → export → desk → { browser, ui } → main
//! ```
//!
//! Only `browser` and `ui` know the web. `tests/tidy.rs` reads the sources and enforces both.
#![forbid(unsafe_code)]

pub mod account;
pub mod book;
#[cfg(feature = "web")]
pub mod browser;
pub mod custody;
pub mod desk;
pub mod export;
pub mod inspect;
pub mod people;
pub mod quality;
pub mod sheet;
#[cfg(feature = "web")]
pub mod ui;
