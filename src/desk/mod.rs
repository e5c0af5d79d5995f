//! The app without a screen: [`Desk`] is its state, [`Action`] what can happen to it, and
//! [`Desk::step`] answers with the [`Effect`]s that the browser must carry out.
//!
//! Time, ids and storage come in from outside ([`Env`], [`Effect`]), so everything here runs and
//! is tested natively.

mod action;
pub mod bench;
mod core;
pub mod findings;
pub mod forms;
pub mod import;
mod offline;
mod ports;
pub mod practice;
mod scanner;
mod signing;
pub mod stock;
mod told;

pub use self::core::Desk;
pub use action::{Action, Lamp, Screen, Space, VerdictsView};
pub use offline::{Held, NotHeld, Unfinished, Update};
pub use ports::{Download, Effect, Env, KeyringError, Later, Machine, StoreError, Stored};
pub use scanner::Burst;
pub use signing::Signing;
pub use told::{Notice, Saved, Startup, Tone};
